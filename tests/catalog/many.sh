#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Catalogs of 10,000 parts (100,000 with FULL=1), and catalogs that mean harm. Work, counted in
# instructions by valgrind, and memory must not grow faster than the catalog; what is harmful is refused
# on one line with its place.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
sizes=(1000 10000); [ -z "${FULL:-}" ] || sizes=(1000 100000)
case $prog in */.build/san*) sizes=(300 3000) ;; esac # a sanitizer is slow, and keeps memory of its own

# ---- many
measure() { python3 -c "
import resource, subprocess, sys
status = subprocess.run(sys.argv[2:], stdout=open(sys.argv[1], 'w'), stderr=subprocess.STDOUT).returncode
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(status, int(1000 * (used.ru_utime + used.ru_stime)), used.ru_maxrss)" "$work/out" "$prog" "$@"; }
declare -A ms kb
for n in "${sizes[@]}"; do
    awk -v n="$n" -f tests/catalog/many_parts.awk >"$work/$n.json"
    for words in "catalog check" "rest examples/cedar-floater.json" "fit examples/board-lip.json" "fit examples/light-by-design.json"; do
        read -r status time memory < <(measure $words --catalog "$work/$n.json")
        ms[$words,$n]=$time kb[$words,$n]=$memory
        check "$words with $n parts ends with $status" [ "$status" = 0 ]
    done
    check "all parts are there" [ "$("$prog" catalog list --json --catalog "$work/$n.json" | grep -c '"id": "many-')" = "$n" ]
done
least=${sizes[0]} most=${sizes[1]}
for words in "catalog check" "rest examples/cedar-floater.json" "fit examples/board-lip.json" "fit examples/light-by-design.json"; do
    echo "many parts: $words: $least and $most parts: ${ms[$words,$least]} and ${ms[$words,$most]} ms," \
        "$((kb[$words,$least] / 1024)) and $((kb[$words,$most] / 1024)) MB"
    # Below the parts' own growth, 10 kB a part
    case $prog in */.build/opt*) check "$words: memory" [ "${kb[$words,$most]}" -lt $((150000 + 10 * most)) ] ;; esac
done

# Four times the parts may take four times the work that one part's catalog does not, and a fifth more
# for the sort, not sixteen times.
instructions() { # command, parts
    awk -v n="$2" -f tests/catalog/many_parts.awk >"$work/counted.json"
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$prog" $1 --catalog "$work/counted.json" 2>&1 >/dev/null |
        sed -n 's/.*Collected : *//p'
}
counted=("catalog check"); [ -z "${FULL:-}" ] || counted+=("rest examples/cedar-floater.json")
case $prog in
*/.build/san*) echo "skipped: the work of many parts: a sanitizer does not run under valgrind" ;;
*)  for words in "${counted[@]}"; do
        one=$(instructions "$words" 1); few=$(instructions "$words" 400); more=$(instructions "$words" 1600)
        echo "many parts: $words: 1, 400, 1600 parts: $one, $few, $more instructions"
        check "$words: work" [ $((more - one)) -lt $((4 * (few - one) * 6 / 5)) -a "$few" -gt "$one" ]
    done ;;
esac

# ---- harmful
material='"origin": "measured", "source": "a scale"'
refused() { # text of a catalog, words of the error
    printf '%s' "$1" >"$work/harm.json"
    "$prog" rest examples/cedar-floater.json --catalog "$work/harm.json" >"$work/out" 2>"$work/err" </dev/null
    [ $? = 3 ] && [ ! -s "$work/out" ] && [ "$(wc -l <"$work/err")" = 1 ] && ! LC_ALL=C grep -q '[[:cntrl:]]' "$work/err" &&
        grep -qe "$2" "$work/err" || { cat "$work/err"; return 1; }
}
one() { printf '{"ballastry_catalog": 1, "materials": [{"id": "ash", "name": "%s", "density": %s, "give": %s, %s}]}' "$1" "$2" "$3" "$material"; }
check "a sound one" bash -c "printf '%s' '$(one ash 0.65 0.05)' >'$work/sound.json' && '$prog' catalog materials --catalog '$work/sound.json' | grep -q '^ash '"
check "an escape in a name" refused "$(one 'a\u001b[31m' 0.65 0.05)" "/materials/0/name: .*control character (code 27)"
check "a bare escape in a name" refused "$(one $'a\x1b[31m' 0.65 0.05)" "column .*control character (code 27)"
check "a newline in a name" refused "$(one 'a\nb' 0.65 0.05)" "/materials/0/name: .*control character"
check "NUL in a name" refused "$(one 'a\u0000b' 0.65 0.05)" "column "
check "half a character" refused "$(one $'a\xff' 0.65 0.05)" "UTF-8"
check "1e308" refused "$(one ash 1e308 0.05)" "/materials/0/density: "
check "1e999" refused "$(one ash 1e999 0.05)" "/materials/0/density: "
check "1e300" refused "$(one ash 1e300 0.05)" "/materials/0/density: is 1e+300 g/cm3; nothing is denser than 23"
check "kg/m3 without the unit" refused "$(one ash 650 50)" "/materials/0/density: is 650 g/cm3; nothing .*in kg/m3 write the unit"
for density in 4.9e-324 1e-300; do # read, for a catalog says what it says; found by the check, and no body
    one urethane $density $density | sed s/ash/urethane/ >"$work/thin.json"
    check "$density is found" bash -c "'$prog' catalog check --catalog '$work/thin.json' | grep -q '^material urethane: no material has a density of '"
    check "$density is no body" bash -c "! '$prog' rest examples/sinker-swap.json --catalog '$work/thin.json' >'$work/out' 2>'$work/err'"
    check "told on one line" grep -q "^ballastry: examples/sinker-swap.json: /body/material: the body.s density is not above 0" "$work/err"
done
check "minus zero" refused "$(one ash -0.0 0.05)" "/materials/0/density: "
check "a denormal give is no harm" bash -c "printf '%s' '$(one ash 0.65 4.9e-324)' >'$work/sound.json' && '$prog' catalog materials --catalog '$work/sound.json' >/dev/null"
check "1e308 as a text" refused "$(one ash '"1e308 g/cm3"' 0.05)" "/materials/0/density: "
check "deep nesting" refused "$(head -c 1000000 /dev/zero | tr '\0' '[')" "column 65: .*nested"
check "deep nesting behind a key" refused "{\"parts\": $(head -c 1000000 /dev/zero | tr '\0' '[')" "nested"
head -c 70000000 /dev/zero | tr '\0' ' ' >"$work/blank.json"
check "more than 64 MiB" bash -c "! '$prog' rest examples/cedar-floater.json --catalog '$work/blank.json' >'$work/out' 2>'$work/err' && [ \$(wc -l <'$work/err') = 1 ]"
echo "many parts: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -ge 28 ]
