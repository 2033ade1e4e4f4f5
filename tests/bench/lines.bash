#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Many builds, one a line: lines a second with one worker and with one a core, a process for each
# build beside them, and memory over the number of lines. Prints the rows of a table.
# Called by run.bash; $1 is the program.
set -eu
cd "$(dirname "$0")/../.."
prog=$1; work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
cores=$(nproc)
printf '%s\n' '{"ballastry":1,"name":"plain sinker","body":{"material":{"density":"1.3 g/cm3","give":"0.02 g/cm3"},"stations":[' \
    '{"x":0,"diameter":0},{"x":20,"diameter":16},{"x":80,"diameter":0}]}}' >"$work/plain.json"
awk 'BEGIN { for (i = 0; i < 3000; i++) printf "{\"set\":{\"/body/material/density\":\"%.4f g/cm3\"}}\n", 1.2 + i / 10000 }' >"$work/lines"
head -100 "$work/lines" >"$work/hundred"
for i in $(seq 100); do sed "s/1.3 g/1.$((200 + i)) g/" "$work/plain.json" >"$work/build$i.json"; done
many() { "$prog" rest "$work/plain.json" --lines "$work/hundred" --workers "$1"; }
alone() { printf '%s\n' "$work"/build*.json | xargs -P "$cores" -n 1 "$prog" rest --json; }
seconds() { local begin; begin=$(date +%s%N); "$@" >"$work/out"; echo "$begin $(date +%s%N)" | awk '{ print ($2 - $1) / 1e9 }'; }
for i in 1 2 3 4 5; do echo "$(seconds many 1) $(seconds many "$cores") $(seconds alone)"; done >"$work/times"
median() { awk -v a="$1" -v b="$2" '{ print $a / $b }' "$work/times" | sort -g | sed -n 3p; }
awk -v n="$cores" -v ratio="$(median 1 2)" -v alone="$(median 3 2)" -v each="$(awk '{ print 100 / $1 }' "$work/times" | sort -g | sed -n 3p)" 'BEGIN {
    printf "| `rest --lines`, plain sinkers, lines a second with 1 worker | %.0f |\n", each
    printf "| the same with %d workers, times as many | %.2f |\n", n, ratio
    printf "| a process for each build, %d at a time, times as long | %.2f |\n", n, alone }'
for n in 300 3000; do
    head -$n "$work/lines" >"$work/some"
    python3 -c "
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True)
print('| most memory over $n lines | %.1f MB |' % (resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024))" \
        "$prog" rest "$work/plain.json" --lines "$work/some" --workers "$cores"
done
