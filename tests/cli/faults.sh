#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What the disk and the shell can do to a command. Nothing may be half-written.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
top=$PWD
work=$(mktemp -d); trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..: the command must succeed
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
status() { # expected, command..
    local want=$1; shift
    "$@" >"$work/out" 2>"$work/err" </dev/null
    local got=$?
    [ "$got" = "$want" ] || { echo "exit $got, wanted $want: $*"; cat "$work/err"; return 1; }
}
one_line() { [ "$(wc -l <"$work/err")" = 1 ]; }
full_output() { "$prog" rest examples/larch-minnow.json >/dev/full 2>"$work/err"; [ $? = 3 ]; }
closed_output() { "$prog" rest examples/larch-minnow.json >&- 2>"$work/err"; [ $? = 3 ]; }

check "output to a full disk" full_output
check "says so on one line" one_line
check "closed output" closed_output

cp examples/board-lip.json "$work/in.json"
before=$(sha256sum <"$work/in.json")
check "fit writes the rig" status 0 "$prog" fit "$work/in.json" --on-paper --write "$work/out.json"
check "the written build is read" status 0 "$prog" rest "$work/out.json"
check "and meets the target" grep -q 'meets the target' "$work/out"
check "the input is as it was" [ "$(sha256sum <"$work/in.json")" = "$before" ]
check "write to a full disk" status 3 "$prog" fit "$work/in.json" --on-paper --write /dev/full
check "write to nowhere" status 3 "$prog" fit "$work/in.json" --on-paper --write "$work/no/such/folder.json"
check "no rig writes nothing" status 1 "$prog" fit examples/too-light.json --write "$work/none.json"
check "indeed nothing" [ ! -e "$work/none.json" ]
check "nothing is left behind" [ "$(ls "$work" | grep -cvE '^(in.json|out.json|out|err)$')" = 0 ]

small() { (ulimit -f 1; exec "$@"); } # a file of more than a block or two is one too large
for what in x.pdf x.png x.stl; do
    check "a $what that grows too large" status 3 small "$prog" sheet "$work/in.json" -o "$work/$what"
    check "and is told" grep -q "File too large" "$work/err"
done
check "a build that grows too large" status 3 small "$prog" swap "$work/in.json" --at tie.eye=none --write "$work/big.json"
check "and is told too" grep -q "File too large" "$work/err"
ln -s gone.json "$work/dangling.json"
for name in "" "$work/dangling.json"; do
    check "write to '$name'" status 3 "$prog" swap "$work/out.json" --at tail.hook=none --write "$name"
    check "is told on one line" one_line
    check "for what it is" grep -qE 'not a file name|is a link to gone.json, where there is nothing' "$work/err"
done
rm "$work/dangling.json"
check "still nothing is left behind" [ "$(ls "$work" | grep -cvE '^(in.json|out.json|out|err)$')" = 0 ]

cd "$work"
check "new writes" status 0 "$prog" new "my minnow"
check "what new writes can be fitted" status 0 "$prog" fit "my minnow.json"
check "new never writes over" status 3 "$prog" new "my minnow"
check "swap writes over and keeps the earlier file" status 0 "$prog" swap out.json --at tail.hook=none --write out.json
check "the earlier file" [ -e out.json~ ]
cd "$top"

check "standard input" bash -c "'$prog' rest - <examples/larch-minnow.json >'$work/piped'"
"$prog" rest examples/larch-minnow.json >"$work/named"
check "gives the same" cmp "$work/piped" "$work/named"
for run in 1 2; do "$prog" fit examples/cedar-floater.json >"$work/fit$run"; done
check "same input, same bytes" cmp "$work/fit1" "$work/fit2"
printf '\x1b[31m{ "ballastry": 1 }' >"$work/ctrl.json"
check "control characters are refused" status 3 "$prog" rest "$work/ctrl.json"
check "and not repeated" bash -c "! grep -q $'\x1b' '$work/err'"
python3 -c "print('[' * 5000000)" >"$work/deep.json"
check "deeply nested text" status 3 "$prog" rest "$work/deep.json"

echo "cli faults: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 20 ]
