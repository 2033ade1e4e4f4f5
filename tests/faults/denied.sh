#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Requests for memory are denied to every command, one by one (tests/faults/denied.c, try.h).
# With FAULT_TRIES=0 (make faults) every request of each command is tried; else about as many as
# FAULT_TRIES says, evenly spread: 40 with FULL=1, else 3. Reading the shipped catalog, with which all but one begin in the
# same way, is tried in the first command alone. Where a command has threads or processes of its own no
# try can be forked: it is begun anew for each (anew.c). So it is for pictures, with the requests that
# the drawing libraries make for themselves: those are sampled in either case (FAULT_FOREIGN_TRIES).
# FAULT_ONLY, a regular expression, chooses commands.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}") || exit 1
case $prog in */.build/san*) echo "skipped: memory denied: the sanitizer has an allocator of its own"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
mkdir "$work/in" "$work/drawn"
cp tests/faults/small.json "$work/in/in.json"; cp examples/cast-mix.json "$work/in/cast.json"; cp examples/board-lip.json "$work/in/board.json"
cp tests/cli/listed.csv examples/traced-minnow.svg "$work/in/"
cp tests/fuzz/stl/brick "$work/in/brick.stl"; cp tests/fuzz/stl/brick-turned "$work/in/turned.stl"
${CC:-cc} -std=c17 -O2 -g -Wall -Wextra -Werror -fPIC -shared -fno-builtin -Itests/faults \
    tests/faults/denied.c tests/faults/try.c -o "$work/shim.so" -ldl || exit 1
wanted=3 foreign=2; [ -z "${FULL:-}" ] || wanted=40 foreign=10
wanted=${FAULT_TRIES:-$wanted} foreign=${FAULT_FOREIGN_TRIES:-$foreign}
failed=0 tries=$wanted first=1 all=0
count() { # words..: runs them, prints and adds up
    local said
    said=$(env FAULT_FOLDER="$work" FAULT_FIRST="$first" FAULT_TRIES="$tries" \
        LD_PRELOAD="$work/shim.so" "$prog" "$@" 2>&1 </dev/null) || failed=$((failed + 1))
    echo "denied: $*: $said"
    all=$((all + $(sed -nE 's/.* ([0-9]+) tries,.*/\1/p' <<<"${said:-0 tries,}" | tail -1)))
    total=$(sed -nE 's/.*\b([0-9]+) requests,.*/\1/p' <<<"$said" | tail -1)
}
chosen() { [[ $* =~ ${FAULT_ONLY:-} ]]; }
chosen catalog materials || tries=1 # asked how many requests it makes
count catalog materials
tries=$wanted catalog=$((total - 40))
while read -ra words; do
    first=$catalog
    case ${words[*]} in 'new lure'|'pour --mould'*) first=1 ;; esac
    chosen "${words[@]}" && count "${words[@]}"
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
swap board.json --at tail.hook=none --write out.json
fit in.json --rigs 2 --write out.json
fit in.json --rigs 2 --json
fit board.json --rigs 2 --write out.json
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

# ---- begun anew for each try: behind the catalog every request at first, then in steps that grow
${CC:-cc} -std=c17 -O2 -fPIC -shared -fno-builtin -D_POSIX_C_SOURCE=200809L tests/faults/anew.c -o "$work/anew.so" || exit 1
printf '%s\n' '{"key": "a", "set": {"/body/material": "balsa"}}' '{"key": "b", "set": {}}' >"$work/in/lines"
for mesh in brick brick-hollow brick-turned; do
    cp tests/fuzz/stl/$mesh "$work/in/"
    printf '{"ballastry": 1, "name": "brick", "body": {"mesh": "%s", "unit": "mm", "wall": 2, "infill": "10 %%", "material": "balsa"}}\n' $mesh >"$work/in/$mesh.json"
done
begin() { # request that fails, "all" for those behind it too, words..: leaves anew.out, anew.err
    (cd "$work/in" && exec env LD_PRELOAD="$work/anew.so" FAIL_AT="$1" ${2:+FAIL_ALL=1} COUNT_TO="$work/count" "$prog" "${@:3}") \
        >"$work/anew.out" 2>"$work/anew.err" </dev/null
}
judge() { # exit status, that of mending without memory or nothing: what is wrong
    case $1 in
        4 | "$2") [ "$(wc -l <"$work/anew.err")" = 1 ] || echo "not one line: $(head -c 200 "$work/anew.err")" ;;
        0) cmp -s "$work/anew.out" "$work/anew.good" || echo "ended well with other output" ;;
        *) echo "exit $1: $(head -c 200 "$work/anew.err")" ;;
    esac
}
# Tries each request whose number comes on standard input. judge, its last word, words of the command
try_each() {
    local judge=$1 last=$2 n how got said tried=0 by_four=0 wrong=0; shift 2
    while read -r n; do
        for how in '' all; do
            rm -f "$work/drawn"/*
            begin "$n" "$how" "$@"; got=$?
            tried=$((tried + 1)); [ $got = 4 ] && by_four=$((by_four + 1))
            said=$($judge $got "$last")
            [ -z "$said" ] || { wrong=$((wrong + 1)); [ $wrong -gt 6 ] || echo "FAILED: $*: request $n${how:+ and on}: $said"; }
        done
    done 2>/dev/null
    echo "denied: $*, begun anew: $total requests, $tried tries, $by_four ended with 4, $wrong failed"
    all=$((all + tried))
    [ $wrong = 0 ] && [ $by_four -gt 2 ] || failed=$((failed + 1))
}
good_run() { # words..
    begin 0 '' "$@" || { failed=$((failed + 1)); echo "FAILED: $*: the good run"; return 1; }
    cp "$work/anew.out" "$work/anew.good"; total=$(cat "$work/count")
}
anew() { # exit status of mending without memory or nothing, words..
    local mended=$1; shift
    chosen "$@" && good_run "$@" || return 0
    try_each judge "$mended" "$@" < <(
        for ((n = catalog; n <= total; n += 1 + (tries == 0 ? 0 : (n - catalog) * 5 / tries))); do echo $n; done)
}
tries=$wanted
anew '' rest in.json --lines lines --workers 1
anew '' rest brick.json
anew '' rest brick-hollow.json
anew 3 rest brick-turned.json # admesh, in a process of its own, dies without memory

# ---- pictures: exit 4 with one line and no file, or a whole one, if need be in another font
whole_picture() { # file
    case $1 in
        *.pdf) [ -z "$(pdftotext "$1" - 2>&1 >/dev/null)" ] ;; # poppler finds every object
        *) tail -c 8 "$1" | cmp -s - <(printf 'IEND\xae\x42\x60\x82') ;;
    esac
}
judge_picture() { # exit status, file: what is wrong
    local left; left=$(ls -A "$work/drawn")
    [ $1 = 4 ] && [ "$(wc -l <"$work/anew.err")" != 1 ] && echo "not one line: $(head -c 200 "$work/anew.err")"
    case $1,$left in
        0,"$2" | 4,"$2") whole_picture "$work/drawn/$2" || echo "exit $1 with half a picture" ;;
        4,) ;; # memory may also run out behind the whole picture
        *) echo "exit $1 with files '$left': $(head -c 200 "$work/anew.err")" ;;
    esac
}
picture() { # file: the requests behind the catalog evenly, then those that end the drawing
    local end words=(sheet in.json -o "../drawn/$1" --view side)
    chosen sheet in.json -o "$1" && good_run "${words[@]}" || return 0
    end=$((total - 40))
    try_each judge_picture "$1" "${words[@]}" < <(
        for ((n = catalog; n <= total; n += n < end ? (end - catalog) / foreign + 1 : 3)); do echo $n; done)
}
picture out.pdf
picture out.png
echo "denied: $all tries in all, $failed commands failed"
[ "$failed" = 0 ] && { [ "$all" -gt 300 ] || [ -n "${FAULT_ONLY:-}" ]; }
