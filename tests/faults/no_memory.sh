#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The n-th request for memory of a whole command fails: every n at first, then in steps that grow.
# Allowed are exit 4 with one line and no file but a whole one (memory may run out behind it), or,
# where the system's own library gets by without (a smaller buffer), the very output of a good run.
# Nothing else: no signal, no half file.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
case $prog in */.build/san*) echo "no memory: left out, the sanitizer has an allocator of its own"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
${CC:-cc} -std=c17 -O2 -fPIC -shared -fno-builtin tests/faults/no_memory.c -o "$work/shim.so" -D_POSIX_C_SOURCE=200809L || exit 1
printf '%s\n' '{"key": "a", "set": {"/body/material": "balsa"}}' '{"key": "b", "set": {}}' >"$work/lines"
failed=0 told=0 tries=0 by_four=0
command_at() { # n, how: runs the command in "$work/run", leaves status, out, err
    rm -rf "$work/run"; mkdir "$work/run"; cp examples/board-lip.json "$work/run/in.json"
    (cd "$work/run" && env LD_PRELOAD="$work/shim.so" FAIL_AT="$1" ${2:+FAIL_ALL=1} COUNT_TO="$work/count" \
        "$prog" "${words[@]}" >"$work/out" 2>"$work/err" </dev/null) 2>/dev/null
}
wrong() { failed=$((failed + 1)); told=$((told + 1)); [ $told -le 4 ] && echo "FAILED: ${words[*]}: request $n${how:+ and on} of $total: $1: $(head -c 200 "$work/err")"; }
whole_or_absent() {
    local file
    for file in $(ls -A "$work/run"); do
        cmp -s "$work/run/$file" "$work/good.run/$file" || return 1
    done
}
try() {
    command_at "$n" "$how"; local got=$?
    tries=$((tries + 1))
    if [ $got = 4 ]; then
        by_four=$((by_four + 1))
        [ "$(wc -l <"$work/err")" = 1 ] || wrong "not one line"
        whole_or_absent || wrong "left $(ls "$work/run" | tr '\n' ' ')"
    elif [ $got = "$good_status" ]; then
        cmp -s "$work/out" "$work/good.out" || wrong "exit $got with other output"
        diff -rq "$work/run" "$work/good.run" >/dev/null || wrong "exit $got with other files"
    else
        wrong "exit $got"
    fi
    cmp -s "$work/run/in.json" examples/board-lip.json || wrong "the input changed"
}
while read -ra words; do
    told=0; command_at 0 ''; good_status=$?
    cp "$work/out" "$work/good.out"; rm -rf "$work/good.run"; cp -r "$work/run" "$work/good.run"
    total=$(cat "$work/count"); n=1
    [ "$good_status" = 0 ] && [ "$total" -ge 4 ] || { how=''; wrong "the good run, exit $good_status"; }
    while [ "$n" -le "$total" ]; do
        for how in '' all; do try; done
        n=$((n + 1 + n / ${GROWTH:-8}))
    done
    echo "no memory: ${words[0]}: $total requests"
done <<'COMMANDS'
rest in.json
rest in.json --json
rest in.json --lines ../lines --workers 1
swap in.json --at tail.hook=none --write out.json
fit in.json --rigs 2 --write out.json
catalog list
new lure
sheet in.json -o out.stl --slot-gap 1mm
COMMANDS
echo "no memory: $tries tries, $by_four ended with 4, $failed failed"
[ "$failed" = 0 ] && [ "$by_four" -gt 50 ]
