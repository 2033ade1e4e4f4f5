#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Same input, same bytes: every example through every command, twice with the first program, once
# with each of two others (another compiler, other optimisation). Called by `make reproduce`;
# arguments are the programs. A program's repeated run must give the same bytes; another program's
# text must be the same, and its JSON and drawings within the digits they print. EXAMPLES names those
# to run, all when it is not set.
set -eu
cd "$(dirname "$0")/../.."
export LC_ALL=C NO_COLOR=1
work=.build/reproduce; rm -rf "$work"; mkdir -p "$work"

# name: command, for one example
commands() { # example
    local e=examples/$1.json
    printf '%s\n' "fit-text: fit $e" "fit-json: fit $e --json" "rest-text: rest $e" "rest-json: rest $e --json" \
        "finished-text: fit --finished $e" "surest-json: fit --surest $e --json --rigs 2" \
        "waters-text: rest --waters $e" "waters-json: rest --waters $e --json" "inch-text: rest $e --units inch" \
        "swap-text: swap $e --at tail.hook=none" "swap-json: swap $e --at tail.hook=none --json" \
        "tank-text: tank $e --scale 14g" "tank-json: tank $e --scale 14g --json" \
        "pour-text: pour $e --filler 0.2g/cm3 --target 0.75g/cm3 --stirred --by-weight 2:1 --cured 1.05g/cm3" \
        "pour-json: pour $e --filler 0.2g/cm3 --target 0.75g/cm3 --stirred --by-weight 2:1 --cured 1.05g/cm3 --json"
    local view
    for view in page side outlines curves chance influence; do echo "$view.svg: sheet $e --view $view -o OUT/$1-$view.svg"; done
    echo "page.pdf: sheet $e -o OUT/$1-page.pdf"; echo "page.png: sheet $e -o OUT/$1-page.png"
}
run_all() { # program, folder
    local program=$1 out=$2 e name words
    mkdir -p "$out"
    for e in ${EXAMPLES:-$(cd examples && ls ./*.json | sed 's|^./||; s|.json$||')}; do
        while IFS=: read -r name words; do
            read -ra words <<<"${words//OUT/$out}"
            "$program" "${words[@]}" >"$out/$e-$name.out" 2>"$out/$e-$name.err" </dev/null || echo "exit $?" >>"$out/$e-$name.err"
            sed -i "s|$out|OUT|g" "$out/$e-$name.out" "$out/$e-$name.err"
        done < <(commands "$e")
    done
    "$program" catalog list >"$out/catalog-text.out"; "$program" catalog --json >"$out/catalog-json.out"
    "$program" catalog check >"$out/check-text.out"
}
first=$1; shift
failed=0
( run_all "$first" "$work/first" ) &
[ $# = 0 ] || ( run_all "$1" "$work/1" ) &
wait
# Once more at another time, in another zone, for another home.
( export TZ=XYZ-9 HOME=/nowhere; run_all "$first" "$work/again" ) &
[ $# -lt 2 ] || ( run_all "$2" "$work/2" ) &
wait
diff -rq "$work/first" "$work/again" && echo "reproduce: $(ls "$work/first" | wc -l) outputs of $first twice: same bytes" || failed=1
for ((i = 1; i <= $#; i++)); do
    python3 tests/reproduce/compare.py "$work/first" "$work/$i" "${!i}" || failed=1
done
exit $failed
