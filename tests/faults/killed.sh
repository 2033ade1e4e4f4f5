#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Killed while saving: every command that writes, before each call that touches a file in turn, in
# the middle of the write, and at chance moments by the clock. The file is the old one or the new one,
# whole, and so is the earlier version beside it; the next save succeeds whatever was left lying about.
# So with the bench's saves and drafts (bench_killed.py).
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
case $prog in */.build/san*) echo "skipped: killed while saving: the sanitizer comes before any other library"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
${CC:-cc} -std=c17 -O2 -fPIC -shared tests/faults/killed.c -o "$work/shim.so" -ldl || exit 1
failed=0 kills=0 olds=0 news=0
wrong() { failed=$((failed + 1)); echo "FAILED: ${words[*]}: $*"; }
fresh() { [ "${words[0]}" = new ] || [ "${words[0]}" = tank ]; } # never write over a file: the old one is none
prepare() {
    rm -rf "$work/run"; mkdir "$work/run"; cp tests/faults/small.json "$work/run/in.json"
    fresh || cp tests/faults/small.json "$work/run/$file"
}
save() { (cd "$work/run" && exec env "$@" "$prog" "${words[@]}" >/dev/null 2>&1 </dev/null) 2>/dev/null; }
is_old() { if fresh; then [ ! -e "$work/run/$file" ]; else cmp -s "$work/run/$file" tests/faults/small.json; fi; }
look() { # what: after a kill
    if is_old; then olds=$((olds + 1))
    elif cmp -s "$work/run/$file" "$work/new"; then news=$((news + 1))
    else wrong "$1: neither old nor new"; fi
    [ ! -e "$work/run/$file~" ] || cmp -s "$work/run/$file~" tests/faults/small.json || wrong "$1: the earlier version is broken"
}
while read -r file line; do
    read -ra words <<<"$line"
    prepare; save COUNT_TO="$work/count" LD_PRELOAD="$work/shim.so" || wrong "the good run"
    cp "$work/run/$file" "$work/new"; is_old && wrong "old and new are the same"
    calls=$(cat "$work/count") before=$kills step=1
    # What works long is killed before each call with FULL=1, else before every second.
    [ "${words[0]}" != fit ] || [ -n "${FULL:-}" ] || step=2
    for ((n = 1; n <= calls; n += step)); do
        prepare; { save KILL_AT=$n LD_PRELOAD="$work/shim.so"; } 2>/dev/null
        [ $? = 137 ] && kills=$((kills + 1))
        look "killed before call $n of $calls"
        fresh && rm -f "$work/run/$file"
        save A=1 || wrong "the save after a kill before call $n"
        cmp -s "$work/run/$file" "$work/new" || wrong "what is saved after a kill before call $n"
    done
    [ $((kills - before)) -ge 6 ] || wrong "only $((kills - before)) kills"
done <<'COMMANDS'
out.json swap in.json --at tie.eye=none --write out.json
out.json fit in.json --rigs 1 --write out.json
out.json tank in.json --scale 2.6g --write out.json
out.svg sheet in.json -o out.svg --view side
lure.json new lure
COMMANDS
file=out.json; words=(swap in.json --at tie.eye=none --write out.json)
prepare; save A=1; cp "$work/run/$file" "$work/new"
for ((i = 0; i < 40; i += 2)); do
    prepare; save A=1 & pid=$!
    sleep "0.0$(printf %02d $i)"
    kill -KILL $pid 2>/dev/null; wait $pid 2>/dev/null
    look "killed after $i ms"
done
python3 tests/faults/bench_killed.py "$prog" "$work" "$work/shim.so" || failed=$((failed + 1))
echo "killed: $kills times before a call and 20 by the clock: $olds old, $news new, $failed failed"
[ "$failed" = 0 ] && [ "$kills" -ge 30 ] && [ "$olds" -gt 0 ] && [ "$news" -gt 0 ]
