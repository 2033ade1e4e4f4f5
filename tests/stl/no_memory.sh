#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The n-th request for memory fails while an STL file is read and becomes a body, one that is closed
# and one that admesh has to mend: exit 4 with one line, or 3 where mending went without, or the very
# output of a good run. No signal. Reading is over after some hundred requests.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
case $prog in */.build/san*) echo "stl no memory: left out, the sanitizer has an allocator of its own"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
${CC:-cc} -std=c17 -O2 -fPIC -shared -fno-builtin tests/faults/no_memory.c -o "$work/shim.so" -D_POSIX_C_SOURCE=200809L || exit 1
failed=0 tries=0 refused=0
cp tests/fuzz/stl/brick tests/fuzz/stl/brick-hollow tests/fuzz/stl/brick-turned "$work/"
run() { env LD_PRELOAD="$work/shim.so" FAIL_AT="$1" COUNT_TO="$work/count" "$prog" rest "$work/in.json" >"$work/out" 2>"$work/err"; }
for mesh in brick brick-hollow brick-turned; do
    printf '{"ballastry": 1, "name": "brick", "body": {"mesh": "%s", "unit": "mm", "wall": 2, "infill": "10 %%", "material": "balsa"}}\n' $mesh >"$work/in.json"
    run 0 || { echo "FAILED: $mesh: the good run"; cat "$work/err"; exit 1; }
    cp "$work/out" "$work/good"
    for ((n = 1; n <= 600; n += 1 + n / 8)); do
        run $n 2>/dev/null; got=$?; tries=$((tries + 1))
        case $got in
            4 | 3) refused=$((refused + 1)); [ "$(wc -l <"$work/err")" = 1 ] ;;
            0) cmp -s "$work/out" "$work/good" ;;
            *) false ;;
        esac || { failed=$((failed + 1)); echo "FAILED: $mesh: request $n: exit $got: $(head -c 200 "$work/err")"; }
    done
done
[ $refused -ge 40 ] || { failed=$((failed + 1)); echo "FAILED: only $refused of $tries were refused"; }
echo "stl no memory: $tries requests failed, $refused runs refused, $failed wrong"
[ $failed = 0 ]
