#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# `--water` and `--salt` give what the same build gives whose file says that water; what is written
# keeps the file's own. Salt water carries more: by TEOS-10's tables 35 g/kg at 10 C is 2.7 % denser.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
same() { cmp -s "$2" "$3" && [ -s "$2" ] && good || bad "$1: $(diff "$2" "$3" | head -5)"; }
as_set() { # command, build, pointers and values
    echo "{\"set\": {$3}}" | "$prog" "$1" --lines - "$2" ${4:-}
}

for build in sinker-swap larch-minnow cedar-floater; do
    file=examples/$build.json
    "$prog" rest "$file" --water 24C --salt "35 g/kg" --json | tr -d ' \n' >"$work/said"
    as_set rest "$file" '"/water/temperature": "24 C", "/water/salinity": "35 g/kg", "/target/water": null' |
        tr -d ' \n' >"$work/set"
    same "rest $build" "$work/said" "$work/set"
done
leader='"/seats/tie/leader": {"length": "60 cm", "diameter": "0.5 mm", "density": "1.78 g/cm3"}'
echo "{\"set\": {$leader}}" | "$prog" rest --lines - examples/sinker-swap.json --salt "35 g/kg" >"$work/said"
as_set rest examples/sinker-swap.json "$leader, \"/water/salinity\": \"35 g/kg\"" >"$work/set"
same "a leader in salt water, on lines" "$work/said" "$work/set"
"$prog" swap examples/sinker-swap.json --at belly.hook=treble-8-fine --water 4C --json >"$work/cold"
grep -q '"temperature_c": 4,' "$work/cold" && good || bad "swap in cold water: $(head -c 300 "$work/cold")"

# The target's two waters become one; the file that is written keeps its own words.
cp examples/larch-minnow.json "$work/two.json"
"$prog" fit "$work/two.json" --rigs 1 --salt "20 g/kg" --json --write "$work/out.json" >"$work/fit"
grep -q '"salinity_g_kg": 20' "$work/fit" && ! grep -q '"salinity_g_kg": 0[,}]' "$work/fit" && good ||
    bad "fit in brackish water"
grep -q '"water"' "$work/out.json" && ! grep -q '20 g/kg' "$work/out.json" && good || bad "fit --write wrote the water"

for words in "--water 99C" "--salt 300g/kg" "--water warm" "--salt ''"; do
    eval "'$prog' rest examples/sinker-swap.json $words" >"$work/o" 2>"$work/e"
    [ $? = 2 ] && [ ! -s "$work/o" ] && [ "$(wc -l <"$work/e")" = 1 ] && good || bad "$words: $(cat "$work/e")"
done
echo "cli water: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 8 ]
