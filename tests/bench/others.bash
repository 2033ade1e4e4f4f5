#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The same choice, written with a whole number per part, given to cbc and glpsol with their default
# settings for the best rig alone, beside our ten best. Prints rows of a table. $1: folder of the
# bench programs, $2: a folder for files. A solver that is not installed is named and left out; an
# instance that takes over 30 s counts as 30 s and is told.
set -eu
bin=$1 work=$2; sizes=(12 50 200) seeds=15
BENCH_MPS=$work/m BENCH_ONLY=best BENCH_VERBOSE=1 "$bin/bench_programme" $seeds "${sizes[@]}" >"$work/ours"
# seconds of user and system time of a command, its output to $work/log
cpu_secs() {
    local TIMEFORMAT='%U %S'
    { time timeout 30 "$@" >"$work/log" 2>&1 || true; } 2>&1 | awk '{print $1 + $2}'
}
solve() { # solver, file
    case $1 in
    cbc) cpu_secs cbc "$2" solve quit ;;
    glpsol) cpu_secs glpsol --freemps "$2" ;;
    esac
}
best_of() { # solver: the objective in the log, "-" when it did not end
    case $1 in
    cbc) awk '/^Objective value:/ {v = $3} END {print v == "" ? "-" : v}' "$work/log" ;;
    glpsol) awk '/INTEGER OPTIMAL SOLUTION FOUND/ {good = 1} /mip =/ {v = $4} /^\+.*mip =/ {for (i = 1; i < NF; i++) if ($i == "mip" && $(i + 1) == "=") v = $(i + 2)} END {print good ? v : "-"}' "$work/log" ;;
    esac
}
for n in "${sizes[@]}"; do
    # our instances of this size follow each other: seed, best objective, milliseconds
    awk -v n="$n" '/^  seed/ {for (i = 1; i <= NF; i++) {if ($i == "z1") z = $(i + 1); if ($i == "all") t = $(i + 1)}
            held[$2] = $2 " " z " " t}
        /^best/ {if ($2 == n) for (s = 1; s <= '$seeds'; s++) print held[s]}' "$work/ours" >"$work/ours.$n"
    for solver in cbc glpsol; do
        command -v "$solver" >/dev/null || { echo "| $solver is not installed | $n | | | | |"; continue; }
        : >"$work/ratios"
        while read -r seed z ms; do
            secs=$(solve "$solver" "$work/m-$n-$seed.mps"); other=$(best_of "$solver")
            awk -v s="$secs" -v ms="$ms" -v a="$z" -v b="$other" 'BEGIN {
                d = a - b; if (d < 0) d = -d
                print 1000 * s / ms, 1000 * s, (b == "-" ? "open" : d > 1e-4 * (1 + a) ? "other" : "same")}' >>"$work/ratios"
        done <"$work/ours.$n"
        sort -n "$work/ratios" | awk -v who="$solver" -v n="$n" '
            {r[NR] = $1; t[NR] = $2; c[$3]++}
            END {
                m = (r[int((NR + 1) / 2)] + r[int((NR + 2) / 2)]) / 2
                goal = who == "cbc" && n == 200 ? 40 : ""
                verdict = goal == "" ? "" : m >= goal ? "met" : "missed: " m
                printf "| %s | %d | %.0f (%.0f) | %d of %d%s | %s | %s |\n", who, n, m, r[1], c["same"], NR,
                    c["open"] ? ", " c["open"] " not ended" : "", goal, verdict}'
    done
done
