#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Killed while saving: before each call that touches the file in turn, in the middle of the write,
# and at chance moments by the clock. The build is the old one or the new one, whole, and so is the
# earlier version beside it; the next save succeeds whatever was left lying about.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
case $prog in */.build/san*) echo "killed: left out, the sanitizer comes before any other library"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
${CC:-cc} -std=c17 -O2 -fPIC -shared tests/faults/killed.c -o "$work/shim.so" -ldl || exit 1
failed=0 kills=0 olds=0 news=0
wrong() { failed=$((failed + 1)); echo "FAILED: $*"; }
prepare() { rm -rf "$work/run"; mkdir "$work/run"; cp "$work/old.json" "$work/run/out.json"; }
save() { (cd "$work/run" && exec env "$@" "$prog" swap out.json --at tail.hook=none --write out.json >/dev/null 2>&1 </dev/null) 2>/dev/null; }
look() { # what: after a kill
    if cmp -s "$work/run/out.json" "$work/old.json"; then olds=$((olds + 1))
    elif cmp -s "$work/run/out.json" "$work/new.json"; then news=$((news + 1))
    else wrong "$1: neither old nor new"; fi
    [ ! -e "$work/run/out.json~" ] || cmp -s "$work/run/out.json~" "$work/old.json" || wrong "$1: the earlier version is broken"
}
"$prog" fit examples/board-lip.json --rigs 1 --write "$work/old.json" >/dev/null || exit 1
prepare; save COUNT_TO="$work/count" LD_PRELOAD="$work/shim.so" || wrong "the good run"
cp "$work/run/out.json" "$work/new.json"
cmp -s "$work/old.json" "$work/new.json" && wrong "old and new are the same"
calls=$(cat "$work/count")
for ((n = 1; n <= calls; n++)); do
    prepare; { save KILL_AT=$n LD_PRELOAD="$work/shim.so"; } 2>/dev/null
    [ $? = 137 ] && kills=$((kills + 1))
    look "killed before call $n of $calls"
    cp "$work/old.json" "$work/run/in.json"
    (cd "$work/run" && "$prog" swap in.json --at tail.hook=none --write out.json >/dev/null) || wrong "the save after a kill before call $n"
    cmp -s "$work/run/out.json" "$work/new.json" || wrong "what is saved after a kill before call $n"
done
for ((i = 0; i < 40; i++)); do
    prepare; save A=1 & pid=$!
    sleep "0.0$(printf %02d $((i % 40)))"
    kill -KILL $pid 2>/dev/null; wait $pid 2>/dev/null
    look "killed after $i ms"
done
echo "killed: before each of $calls calls ($kills killed) and 40 by the clock: $olds old, $news new, $failed failed"
[ "$failed" = 0 ] && [ "$kills" -ge 6 ] && [ "$olds" -gt 0 ] && [ "$news" -gt 0 ]
