#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs the benches and writes docs/speed.md. Called by `make bench`; $1 is the folder of the programs.
set -eu
cd "$(dirname "$0")/../.."
bin=$1; page=docs/speed.md; work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
sizes=(12 50 200 1000 5000)
"$bin/bench_lure" >"$work/lure"
tests/bench/command.bash "$bin/../../ballastry" >>"$work/lure"
"$bin/bench_page" >"$work/edits"
"$bin/bench_mesh" >"$work/mesh"
"$bin/bench_programme" 15 "${sizes[@]}" >"$work/programme"
for n in "${sizes[@]}"; do BENCH_MEMORY=1 "$bin/bench_programme" 5 "$n"; done >"$work/memory"
"$bin/bench_middle" 20 >"$work/middle"
tests/bench/others.bash "$bin" "$work" >"$work/others"
tests/bench/battery.bash "$bin" "$work" >"$work/newcomers"
tests/bench/lines.bash "$bin/../../ballastry" >"$work/lines"

if tests/alone/built.bash >"$work/alone"; then
    node tests/bench/alone.mjs "$bin/../../ballastry" .build/alone "$PWD/.build/page/node_modules" >"$work/alone"
fi

# name, n, ratio, worst ratio, all in ms, unproven: one line a question and size
awk '/^(best|unlike|hopeless|no dead)/ {
        name = $1; n = $2; if ($1 == "no") { name = "bare"; n = $3 }
        unproven = $NF; gsub(/[()]/, " "); k = NF
        # from the end: unproven, treed, ok, nodes, worst ratio, ratio, worst all, all
        print name, n, $(k - 5), $(k - 4), $(k - 7), unproven }' "$work/programme" >"$work/ratios"
of() { awk -v q="$1" -v n="$2" -v c="$3" '$1 == q && $2 == n {print $c}' "$work/ratios"; }
# what, target, measured, whether it is met
target() { echo "| $1 | $2 | $3 | $4 |"; }
most() { # what, target words, measured words, measured number, most
    target "$1" "$2" "$3" "$(awk -v a="$4" -v b="$5" 'BEGIN {print (a <= b) ? "met" : "missed by " sprintf("%.0f", 100 * (a / b - 1)) " %"}')"
}
least() { target "$1" "$2" "$3" "$(awk -v a="$4" -v b="$5" 'BEGIN {print (a >= b) ? "met" : "missed by " sprintf("%.0f", 100 * (1 - a / b)) " %"}')"; }
lure() { sed -n "s/^| $1 | \([^|]*\) | .*/\1/p" "$work/lure" | sed 's/ *$//'; }
number() { sed -E 's/^[^0-9]*([0-9.]+).*/\1/'; }
targets() {
    local n m w a b
    for n in "12 10 200" "200 3 15" "1000 2 10" "5000 1 5"; do
        read -r n m w <<<"$n"; a=$(of best "$n" 3); b=$(of best "$n" 4)
        most "ten best rigs over one plain LP, $n parts a class: median" "$m" "$a" "$a" "$m"
        most "the worst of 15" "$w" "$b" "$b" "$w"
    done
    a=$(awk '$1 == "unlike" && $3 > m {m = $3} END {print m}' "$work/ratios")
    most "ten visibly different rigs over one plain LP, any size: median" 12 "$a" "$a" 12
    a=$(awk '/^\| cbc \| 200/ {print $6}' "$work/others")
    least "times ahead of cbc's best rig alone, 200 parts" 40 "${a:-not installed}" "${a:-0}" 40
    a=$(awk -F'|' '$2 == " 200 " {print $6}' "$work/middle")
    least "times ahead of exhaustive enumeration, 200 parts, as far as that ends" 20 "$(number <<<"$a")" "$(number <<<"$a")" 20
    a=$(awk -v x="$(of best 5000 5)" -v y="$(of best 200 5)" 'BEGIN {printf "%.1f", x / y}')
    most "t(5,000) / t(200)" 8 "$a" "$a" 8
    a=$(awk '{s += $6} END {print s + 0}' "$work/ratios")
    most "instances left unproven" 0 "$a" "$a" 0
    a=$(awk '$1 == "best" {t[$2] = $5} $1 == "hopeless" {r = $5 / t[$2]; if (r > m) m = r} END {printf "%.2f", m}' "$work/ratios")
    most "a hopeless target over a solvable one, the slowest size: median" "1, and 0.05 that such runs scatter" "$a" "$a" 1.05
    read -r a b <<<"$(awk -F'|' '$2 ~ / 1000000 / {print $5, $6}' "$work/mesh")"
    most '`fit` on 1,000,000 facets over the same body of stations, afloat' "1, and 0.05" "$a" "$a" 1.05
    most "the same, sinking" "1, and 0.05" "$b" "$b" 1.05
    a=$(awk '/ columns .* nodes / {t[++n] = $2} END {for (i in t) if (t[i] > m) m = t[i]; print m}' "$work/battery")
    most "a newcomer's build through \`fit\`, the worst of 192" "2 s" "$a s" "$a" 2
    a=$(lure '`rest` of 50 stations, afloat'); most '`rest` of 50 stations' "2 ms" "$a" "$(number <<<"$a")" 2
    a=$(lure '200 draws on the line at three speeds'); most '200 draws on the line at three speeds' "500 ms" "$a" "$(number <<<"$a")" 500
    a=$(lure '100,000 samples of spread, in single `rest`s'); most '100,000 samples of spread, in single `rest`s' 1000 "$a" "$(number <<<"$a")" 1000
}

{
    echo '# Speed'
    echo
    echo 'Written by `make bench`; do not edit. Medians of 15 runs or seeded instances, the worst beside'
    echo 'them. Compare ratios, not milliseconds: another machine has other milliseconds.'
    echo
    echo "Machine: $(nproc) cores, $(uname -m)$(grep -owm1 -e avx512f -e sve /proc/cpuinfo | sed 's/^/ with /'), $(uname -s)."
    echo "Compiler: $(${CC:-cc} --version | head -1). GLPK $(dpkg-query -W -f='${Version}' libglpk-dev 2>/dev/null || echo '?'), GSL $(pkg-config --modversion gsl)."
    echo
    echo '## Targets'
    echo
    echo '| what | target | measured | |'
    echo '| --- | --- | --- | --- |'
    targets
    echo
    echo '## One lure'
    echo
    echo '| what | median (worst) | target | |'
    echo '| --- | --- | --- | --- |'
    cat "$work/lure"
    echo
    echo 'The search works every rig through the full physics. It leaves out what the command does besides: reading, the'
    echo 'chances and trims of each rig, printing; the whole command is timed by itself.'
    echo
    echo '## The page'
    echo
    echo 'The `rest` route over one kept connection, 101 builds one after the other, each dragged a little:'
    echo '50 stations, five seats, three hooks. The worst counts: it is what a maker feels.'
    echo
    echo '| what | median (worst) | target | |'
    echo '| --- | --- | --- | --- |'
    cat "$work/edits"
    echo
    echo '## The page as one file'
    echo
    echo 'docs/alone.md. The same routes asked of the program and of the file under Node.js, CPU time, medians of 7 (warm:'
    echo 'of the last 5); `fit` is all that the page shows of a search.'
    echo
    cat "$work/alone"
    echo
    echo '## Bodies of triangles'
    echo
    echo 'An ellipsoid from an STL file; `rest` and `fit` as ratios to the same body of three stations,'
    echo 'without reading: afloat, sinking, and afloat with a lump to one side beside the stations without'
    echo 'it.'
    echo
    echo '| facets | reading the build | `rest` afloat | `fit` | `fit` sinking | `rest` uneven | `fit` |'
    echo '| --- | --- | --- | --- | --- | --- | --- |'
    cat "$work/mesh"
    echo
    echo '## The programme: ten rigs as a ratio to one plain linear programme'
    echo
    echo 'Plain: the relaxation with a variable for each part, primal simplex, unscaled. `n` parts a class;'
    echo 'tie, three hangers, lip, three strips, wraps, three waters (tests/support/tackle.h). "All" is'
    echo 'columns, relaxation and search.'
    echo
    echo '| asked | n | ratio (worst) | unproven |'
    echo '| --- | --- | --- | --- |'
    awk '{words = $1 == "best" ? "ten best" : $1 == "unlike" ? "ten visibly different" : $1 == "hopeless" ? "hopeless target" : "no dead zone"
          printf "| %s | %d | %s (%s) | %s |\n", words, $2, $3, $4, $6}' "$work/ratios"
    echo
    echo 'In full, times in milliseconds:'
    echo
    sed 's/^/    /' "$work/programme"
    echo
    echo '## Growth'
    echo
    echo 'Peak memory of a process that makes and solves five instances of the size, one after the other.'
    echo
    echo '| n | columns at most | all, ms | peak memory, MB |'
    echo '| --- | --- | --- | --- |'
    while read -r n columns kb; do
        echo "| $n | $columns | $(of best "$n" 5) | $(awk -v k="$kb" 'BEGIN {printf "%.1f", k / 1024}') |"
    done <"$work/memory"
    echo
    echo '## Beside exhaustive enumeration'
    echo
    echo 'Meet in the middle (tests/bench/bench_middle.c): tie, three hangers and an unfiled lip alone, the'
    echo 'same columns for both; the ten best of ours beside the ten best of all that lies in the bands. At'
    echo 'most 20 s a search.'
    echo
    echo '| n | columns | pairs in the band | seconds | times ours, median (first) | |'
    echo '| --- | --- | --- | --- | --- | --- |'
    cat "$work/middle"
    echo
    echo '## Beside other solvers'
    echo
    echo 'The same choice with a whole number for each part, for the best rig alone, default settings,'
    echo 'CPU time with reading the file; over our CPU time for the ten best. "Same": both'
    echo 'found a best rig of the same objective, to 1e-4.'
    echo
    for solver in cbc glpsol; do
        case $solver in cbc) package=coinor-cbc ;; *) package=glpk-utils ;; esac
        echo "$solver: $(dpkg-query -W -f='${Version}' $package 2>/dev/null || echo 'not installed')."
    done
    echo
    echo '| solver | n | times ours, median (least) | same best | target | |'
    echo '| --- | --- | --- | --- | --- | --- |'
    cat "$work/others"
    echo
    echo '## Builds as newcomers make them'
    echo
    echo 'Starters in four woods with four targets, without limits and with limits near the craft (trebles by'
    echo 'length, the same at every hanger, thin eyes), bodies measured, drawn, small and long: invented and'
    echo 'seeded (tests/support/battery.c). CPU time of the whole `fit`, five rigs. `bench_battery N 1` runs one.'
    echo
    cat "$work/newcomers"
    echo
    echo '## Many builds'
    echo
    echo '`rest` on 100 builds, one a line (docs/sweeps.md); medians of 5 runs of the clock on the wall.'
    echo
    echo '| what | |'
    echo '| --- | --- |'
    cat "$work/lines"
} >"$work/page"
mv "$work/page" "$page"
echo "wrote $page"
