#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs test programs and scripts, as many at once as there are cores, those that took longest the last
# time first. $1: folder for logs and times; then the tests; LEFT: scripts that are left to another run.
# Last come the names of what failed or was skipped, and the tally alone on a line.
#
# A program is cmocka's; each of its tests counts. A script counts what its last line says, ".. N
# passed, M failed", or else as one by its exit status; what it leaves out it says on a line of its own,
# "skipped: WHAT: why". A test that counts nothing has failed.
set -u
export LOGS=$1/test-logs WHOLE; shift
mkdir -p "$LOGS"
[ $# -gt 0 ] || { echo "no such tests"; exit 1; }
patience=1800 # seconds, for what would never end
export patience

# What a program of cmocka's said: passed, then a line for each that failed or was skipped
count_program() { # log, exit status
    grep -c '^\[       OK \] ' "$1"
    sed -nE '/test\(s\)/!s/^\[  (FAILED|SKIPPED) *\] (.+)/\1 \2/p' "$1" | sort -u
    grep -q '^\[==========\] .* run\.$' "$1" ||
        echo "FAILED $(sed -n 's/^\[ RUN      \] //p' "$1" | tail -1) ended the program with status $2"
}
count_script() { # log, exit status
    local said; said=$(grep -oE '[0-9]+ passed, [0-9]+ failed$' "$1" | tail -1)
    if [ -n "$said" ]; then
        echo "${said%% *}"; said=${said#*, }
        # Named by the script's own words, as far as it has any for each
        { sed -nE 's/^FAILED:? /FAILED /p' "$1"; yes "FAILED unnamed"; } | head -n "${said%% *}"
    elif [ "$2" = 0 ] && ! grep -q '^skipped: ' "$1"; then echo 1
    else echo 0
    fi
    sed -nE 's/^skipped: /SKIPPED /p' "$1"
}
one() { # test: leaves its log, its counts and its CPU seconds
    local name=${1#"${LOGS%/test-logs}/"} status TIMEFORMAT="%U %S"
    local log=$LOGS/${name//\//_}
    case " ${WHOLE:-} " in *" $1 "*) export FULL=1 ;; esac
    { time timeout -k 5 $patience "$1" >"$log.log" 2>&1 </dev/null; } 2>"$log.time"; status=$?
    [ $status != 124 ] || echo "no end within $patience s" >>"$log.log"
    if [[ $1 == *.sh ]]; then count_script "$log.log" $status; else count_program "$log.log" $status; fi >"$log.count"
    if [ $status != 0 ] && ! grep -q ^FAILED "$log.count"; then
        echo "FAILED ended with status $status" >>"$log.count"
    elif [ "$(head -1 "$log.count")" = 0 ] && ! grep -q ^SKIPPED "$log.count"; then
        echo "FAILED asserts nothing" >>"$log.count"
    fi
    awk -v name="$name" '{ print $1 + $2, name }' <(tail -1 "$log.time") >"$log.cpu"
    sed -n "2,\$s|^\([A-Z]*\) |\1 $name: |p" "$log.count" >"$log.names"
    if grep -q ^FAILED "$log.names"; then
        printf 'FAILED  %s\n%s\n' "$name" "$(tail -n 400 "$log.log")"
    else
        printf '%7s  %s\n' "$(head -1 "$log.count")" "$name"
    fi
}
export -f one count_program count_script

first=$(dirname "$0")/longest.txt known=$LOGS/times
[ -s "$known" ] || known=/dev/null
rm -f "$LOGS"/*.count "$LOGS"/*.names "$LOGS"/*.cpu
# By the last time's CPU seconds; what is new goes by the list of those known to be long, then as given.
printf '%s\n' "$@" | awk -v out="${LOGS%/test-logs}" -v first="$first" -v known="$known" '
    BEGIN { while ((getline line < first) > 0) if (line !~ /^#/) long[line] = 1000 - ++n
            while ((getline line < known) > 0) { split(line, f, " "); took[f[2]] = f[1] } }
    { name = $0; sub("^" out "/", "", name)
      print ((name in took) ? took[name] : (name in long) ? long[name] : 0), $0 }' |
    sort -srn | cut -d' ' -f2- | xargs -P"$(nproc)" -I{} bash -c 'said=$(one {}); printf "%s\n" "$said"'
cat "$LOGS"/*.cpu "$known" | sort -u -k2,2 | sort -rn >"$LOGS/times.new" && mv "$LOGS/times.new" "$LOGS/times"
sed -nE 's/^FAILED /failed: /p' "$LOGS"/*.names
sed -nE 's/^SKIPPED /skipped: /p' "$LOGS"/*.names
for left in ${LEFT:-}; do echo "skipped: $left: left to make later"; done
awk -v skipped="$(wc -w <<<"${LEFT:-}")" 'FNR == 1 { passed += $1 } /^FAILED/ { failed++ } /^SKIPPED/ { skipped++ }
    END { printf "%d passed, %d failed, %d skipped\n", passed, failed, skipped; exit failed > 0 }' "$LOGS"/*.count
