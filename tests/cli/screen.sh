#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The first screen of `fit` on a terminal of 40 lines and 80 columns (the prompt takes one line):
# every example and every starter, in both systems of units; long names and ids collide nowhere.
set -u
cd "$(dirname "$0")/../.."
export LC_ALL=C.UTF-8 NO_COLOR=1
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
screen() { # NAME COMMAND..: what it prints fits, however it ends
    local name=$1 lines; shift
    "$@" >"$work/out" 2>"$work/err" </dev/null
    case $? in 0|1) ;; *) bad "$name: $(cat "$work/err")"; return ;; esac
    lines=$(wc -l <"$work/out")
    [ "$lines" -ge 8 ] && [ "$lines" -le 39 ] && good || bad "$name takes $lines lines of 39"
    columns "$name"
}
columns() {
    awk -v name="$1" 'length > 80 { print "too wide in " name ": " $0; wide = 1 } END { exit wide }' \
        "$work/out" && good || failed=$((failed + 1))
}

for body in minnow flat short stick; do
    (cd "$work" && "$prog" new --body "$body" "$body" >/dev/null) || bad "new --body $body"
done
n=0
for build in examples/*.json "$work"/*.json; do
    n=$((n + 1)) # one in three in inches, and one in millimetres, but all with FULL=1
    [ -n "${FULL:-}" ] || [ $((n % 3)) != 1 ] || [ "$build" = examples/board-lip.json ] || continue
    screen "$build" "$prog" fit "$build"
    [ -n "${FULL:-}" ] || [ $((n % 3)) = 0 ] && screen "$build in inches" "$prog" fit "$build" --units inch
done

# Names of 32 letters, the longest: a blank stands between a name and what follows it.
long=a-place-with-a-name-of-32-letter
sed "s/\"belly\"\( *:\)/\"$long\"\1/" examples/sinker-swap.json >"$work/long.json"
for command in rest "fit --full" fit; do
    "$prog" $command "$work/long.json" >"$work/out" 2>"$work/err" </dev/null || bad "$command: $(cat "$work/err")"
    grep -q "$long" "$work/out" && ! grep -qE "$long[^ .;,:=\"]" "$work/out" && good ||
        bad "$command: the long name collides: $(grep -E "$long[^ .;,:]" "$work/out" | head -1)"
    columns "$command, long name"
done
echo "first screen: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 30 ]
