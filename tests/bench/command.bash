#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The whole command `fit --rigs 10`, reading, chances and printing included: rows of docs/speed.md, CPU
# time of 5 runs. $1: the program.
set -eu
TIMEFORMAT="%U %S"
for build in larch-minnow board-lip cedar-floater too-light; do
    for _ in 1 2 3 4 5; do
        { time "$1" fit --rigs 10 "examples/$build.json" >/dev/null 2>&1 || [ $? = 1 ]; } 2>&1
    done | awk '{print 1e3 * ($1 + $2)}' | sort -n |
        awk -v build="$build" '{t[NR] = $1} END {printf "| the whole command `fit --rigs 10` on `examples/%s.json` | %.0f ms (%.0f ms) | none set |  |\n", build, t[3], t[NR]}'
done
