#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# `fit` on builds as newcomers make them, and the programmes of some of them given to cbc. Prints the
# section of docs/speed.md. $1: folder of the bench programs, $2: a folder for files. An instance
# that takes cbc over 20 s counts as 20 s and is told.
set -eu
bin=$1 work=$2; every=9 starters=64
"$bin/bench_battery" >"$work/battery"
rows() { awk '/ columns .* nodes / {print}' "$work/battery"; }
table() { # of the rows on standard input: a row a kind, and all
    sed -E 's/^ *([0-9]+) +([0-9.]+) s +([a-z]+) +([a-z-]+) .* rounds  ([^:]*): .*/\5|\2|\3|\4/' | sort -t'|' -k1,1 -k2,2n |
    awk -F'|' 'function out(k, n,   i, m) { m = (t[k, int((n + 1) / 2)] + t[k, int((n + 2) / 2)]) / 2
            printf "| %s | %d | %.2f s | %.2f s | %d | %d | %d | %d |\n", k, n, m, t[k, n], met[k], miss[k], design[k], none[k] }
        { n[$1]++; t[$1, n[$1]] = $2; met[$1] += $3 == "met"; miss[$1] += $3 == "misses"; none[$1] += $3 == "error" || $3 == "none"; design[$1] += $4 == "by-design" }
        END { for (k in n) out(k, n[k]) }' | sort
}
echo '| builds | how many | `fit`, median | worst | meet the target | nearest misses | off by design | refused |'
echo '| --- | --- | --- | --- | --- | --- | --- | --- |'
rows | table
rows | sed -E 's/rounds  [^:]*:/rounds  all:/' | table
echo
command -v cbc >/dev/null || { echo 'cbc is not installed.'; exit 0; }
seconds() { # CPU seconds of cbc on a file, its output to $work/log
    local TIMEFORMAT='%U %S'
    { time timeout 20 cbc "$1" solve quit >"$work/log" 2>&1 || true; } 2>&1 | awk '{print $1 + $2}'
}
for ((n = 0; n < 192; n += every)); do
    ((n >= starters && n < 2 * starters)) && continue # like hooks are no part of the model
    BENCH_MPS=$work/battery "$bin/bench_battery" "$n" 1 >"$work/one"
    read -r ours z <<<"$(awk '/ columns / {t = $2} /^model/ {z = $3} END {print t, z == "" ? "-" : z}' "$work/one")"
    [ "$z" = - ] && continue
    theirs=$(seconds "$work/battery-$n.mps")
    other=$(awk '/^Objective value:/ {v = $3} END {print v == "" ? "-" : v}' "$work/log")
    echo "$ours $theirs $z $other"
    rm -f "$work/battery-$n.mps"
done >"$work/beside"
sort -n "$work/beside" | awk '{ t[NR] = $1; u[NR] = $2; r[NR] = $2 / $1
        d = $3 - $4; if ($4 == "-") open++; else if (d <= 1e-4 * (1 + $3) && d >= -1e-4 * (1 + $3)) same++; else if (d > 0) less++ }
    function mid(x, n,   i, j, s) { for (i = 1; i < n; i++) for (j = i + 1; j <= n; j++) if (x[j] < x[i]) { s = x[i]; x[i] = x[j]; x[j] = s }
        return (x[int((n + 1) / 2)] + x[int((n + 2) / 2)]) / 2 }
    END { m = mid(t, NR); k = mid(u, NR); q = mid(r, NR)
        print "Every '$every'th of them without the rule of like hooks, the programme of its last round given to cbc for the best"
        print "rig alone, default settings, at most 20 s, beside our whole `fit --on-paper` (rounds, full physics, polishing):"
        print ""
        print "| builds | `fit`, median | worst | cbc, median | worst | times ours, median | same best | less, touching hooks left out | not ended |"
        print "| --- | --- | --- | --- | --- | --- | --- | --- | --- |"
        printf "| %d | %.2f s | %.2f s | %.1f s | %.1f s | %.0f | %d | %d | %d |\n", NR, m, t[NR], k, u[NR], q, same, less, open }'
