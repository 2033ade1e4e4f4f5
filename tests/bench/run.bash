#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs the benches and writes docs/speed.md. Called by `make bench`; $1 is the folder of the programs.
set -eu
cd "$(dirname "$0")/../.."
bin=$1; page=docs/speed.md; work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
"$bin/bench_lure" >"$work/lure"
"$bin/bench_page" >"$work/edits"
"$bin/bench_mesh" >"$work/mesh"
"$bin/bench_programme" 15 12 50 200 1000 5000 >"$work/programme"
tests/bench/others.bash "$bin" "$work" >"$work/others"
tests/bench/lines.bash "$bin/../../ballastry" >"$work/lines"
{
    echo '# Speed'
    echo
    echo 'Written by `make bench`; do not edit. Medians of 15 runs or seeded instances, the worst beside'
    echo 'them. Compare ratios, not milliseconds: another machine has other milliseconds.'
    echo
    echo "Machine: $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -1), $(nproc) cores, $(uname -sr)."
    echo "Compiler: $(${CC:-cc} --version | head -1). GLPK $(dpkg-query -W -f='${Version}' libglpk-dev 2>/dev/null || echo '?'), GSL $(pkg-config --modversion gsl)."
    echo
    echo '## One lure'
    echo
    echo '| what | median (worst) | target | |'
    echo '| --- | --- | --- | --- |'
    cat "$work/lure"
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
    echo '## Bodies of triangles'
    echo
    echo 'An ellipsoid afloat from an STL file; `rest` and `fit` as ratios to the same body of three'
    echo 'stations, without reading. None set as target.'
    echo
    echo '| facets | reading the build | `rest` | `fit` |'
    echo '| --- | --- | --- | --- |'
    cat "$work/mesh"
    echo
    echo '## The programme: ten rigs as a ratio to one plain linear programme'
    echo
    echo 'Plain: the relaxation with a variable for each part, primal simplex, unscaled. `n` parts a class;'
    echo 'tie, three hangers, lip, three strips, wraps, three waters (tests/support/tackle.h). "All" is'
    echo 'columns, relaxation and search. Targets are for the median and for the worst.'
    echo
    echo '| asked | n | ratio (worst) | target (worst) | | unproven |'
    echo '| --- | --- | --- | --- | --- | --- |'
    awk '
        BEGIN { split("12 200 1000 5000", s); m[12] = 10; w[12] = 200; m[200] = 3; w[200] = 15
                m[1000] = 2; w[1000] = 10; m[5000] = 1; w[5000] = 5 }
        /^(best|unlike|hopeless|no dead)/ {
            name = $1; i = 2; if ($1 == "no") { name = "no dead zone"; i = 3 }
            n = $i; unproven = $NF; line = $0
            match(line, /[0-9.]+ \( *[0-9.]+\) +[0-9]+ +[0-9]+ +[0-9]+ +[0-9]+ *$/)
            tail = substr(line, RSTART); gsub(/[()]/, "", tail); split(tail, t, " +")
            words = name == "best" ? "ten best" : name == "unlike" ? "ten visibly different" : name == "hopeless" ? "hopeless target" : name
            goal = ""; verdict = ""
            if (name == "best" && n in m) { goal = m[n] " (" w[n] ")"
                verdict = (t[1] <= m[n] && t[2] <= w[n]) ? "met" : "missed: " t[1] " (" t[2] ")" }
            if (name == "unlike") { goal = "12"; verdict = t[1] <= 12 ? "met" : "missed: " t[1] }
            printf "| %s | %d | %s (%s) | %s | %s | %s |\n", words, n, t[1], t[2], goal, verdict, unproven
        }' "$work/programme"
    echo
    echo 'In full, times in milliseconds:'
    echo
    sed 's/^/    /' "$work/programme"
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
    echo '## Many builds'
    echo
    echo '`rest` on 100 builds, one a line (docs/sweeps.md); medians of 5 runs of the clock on the wall.'
    echo
    echo '| what | |'
    echo '| --- | --- |'
    cat "$work/lines"
    echo
    echo 'Not measured here: exhaustive meet-in-the-middle; the browser'"'"'s own share of an edit.'
} >"$work/page"
mv "$work/page" "$page"
echo "wrote $page"
