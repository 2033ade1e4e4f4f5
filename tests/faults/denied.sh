#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Requests for memory are denied to every command, one by one (tests/faults/denied.c, try.h).
# With FAULT_TRIES=0 (make faults) every request of each command is tried; else about as many as
# FAULT_TRIES says, evenly spread. Reading the shipped catalog, with which all but one begin in the
# same way, is tried in the first command alone. The requests that drawing and font libraries make
# for themselves are sampled in either case, and only looked at for files left by halves.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
case $prog in */.build/san*) echo "denied: left out, the sanitizer has an allocator of its own"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
mkdir "$work/in"
cp tests/faults/small.json "$work/in/in.json"; cp examples/cast-mix.json "$work/in/cast.json"
cp tests/cli/listed.csv examples/traced-minnow.svg "$work/in/"
cp tests/fuzz/stl/brick "$work/in/brick.stl"; cp tests/fuzz/stl/brick-turned "$work/in/turned.stl"
${CC:-cc} -std=c17 -O2 -g -Wall -Wextra -Werror -fPIC -shared -fno-builtin -Itests/faults \
    tests/faults/denied.c tests/faults/try.c -o "$work/shim.so" -ldl || exit 1
failed=0 tries=${FAULT_TRIES:-10} first=1 all=0
count() { # name, foreign or nothing, words..: runs them, prints and adds up
    local name=$1 foreign=$2 said; shift 2
    [[ $name =~ ${FAULT_ONLY:-} ]] || return 0
    said=$(env FAULT_FOLDER="$work" FAULT_FIRST="$first" FAULT_TRIES="$tries" ${foreign:+FAULT_FOREIGN=1} \
        LD_PRELOAD="$work/shim.so" "$@" 2>&1 </dev/null) || failed=$((failed + 1))
    echo "denied: $name${foreign:+, drawing libraries}: $said"
    all=$((all + $(sed -nE 's/.* ([0-9]+) tries,.*/\1/p' <<<"$said" | tail -1)))
    total=$(sed -nE 's/.*\b([0-9]+) requests,.*/\1/p' <<<"$said" | tail -1)
}
count 'catalog materials' '' "$prog" catalog materials
catalog=$((total - 40))
while read -ra words; do
    first=$catalog
    case ${words[*]} in new*|'pour --mould'*) first=1 ;; esac
    count "${words[*]}" '' "$prog" "${words[@]}"
done <<'COMMANDS'
catalog list
catalog list --kind hook --json
catalog check
catalog check --json
rest in.json
rest in.json --json
rest in.json --waters
swap in.json --at belly.hook=treble-12-medium --write out.json
swap in.json --at tie.eye=none --json
fit in.json --rigs 2 --write out.json
fit in.json --rigs 2 --json
fit in.json --rigs 1 --finished
fit in.json --rigs 1 --surest
tank in.json --scale 2.6g --write out.json
tank in.json --scale 2.6g --json
pour --mould 240ml --filler 0.2g/cm3 --packed granulate --by-weight 100:90 --cured 1.05g/cm3
pour cast.json --filler 0.2g/cm3 --target 0.75g/cm3 --stirred --by-weight 2:1 --cured 1.05g/cm3 --json
sheet in.json -o out.svg
sheet in.json -o out.svg --view side --after tie.eye=none
sheet in.json -o out.svg --view chance --json
sheet in.json -o out.pdf
sheet in.json -o out.png --view side
sheet in.json -o out.stl --slot-gap 1mm
new lure
new lure --from traced-minnow.svg
new lure --from listed.csv
new lure --from brick.stl
new lure --from turned.stl
COMMANDS
tries=${FAULT_FOREIGN_TRIES:-4} first=1
count 'sheet to PDF' foreign "$prog" sheet in.json -o out.pdf --view side
count 'sheet to PNG' foreign "$prog" sheet in.json -o out.png --view side
echo "denied: $all tries in all, $failed commands failed"
[ "$failed" = 0 ] && [ "$all" -gt 400 ]
