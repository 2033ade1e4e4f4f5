# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of ballastry's commands, options and files for bash. What there is to choose from is
# asked of the program itself (--help), so that it is always its own.

_ballastry_ids() { # id of every part
    ballastry catalog list 2>/dev/null | awk 'NF > 1 {print $2}' | grep -E '^[a-z0-9][a-z0-9.-]*$'
}

_ballastry() {
    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]}
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "$(ballastry --help 2>/dev/null | sed -n 's/^  \([a-z]*\)  .*/\1/p') --help --version" -- "$cur"))
        return
    fi
    # SEAT.PART=ID is three words to bash: complete what follows the sign.
    if [ "$cur" = = ] || [ "$prev" = = ]; then
        [ "$cur" = = ] && cur=
        COMPREPLY=($(compgen -W "none $(_ballastry_ids)" -- "$cur"))
        return
    fi
    if [[ $cur == -* ]]; then
        COMPREPLY=($(compgen -W "$(ballastry "$command" --help 2>/dev/null |
            sed -n 's/^  \(-[a-z-]*\).*/\1/p')" -- "$cur"))
        return
    fi
    # After an option: what its help names, files where it says FILE.
    local takes=
    [[ $prev == -* ]] && takes=$(ballastry "$command" --help 2>/dev/null |
        sed -n "s/^  $prev \([^ ]*\)  .*/\1/p")
    case $takes in
    *'|'*) COMPREPLY=($(compgen -W "${takes//|/ }" -- "$cur")) ;;
    '' | FILE | FOLDER | BUILD) compopt -o filenames; COMPREPLY=($(compgen -f -- "$cur")) ;;
    esac
}
complete -F _ballastry ballastry
