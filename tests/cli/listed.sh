#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A build whose body is a caliper list answers, byte for byte, as the one with the stations written
# out; and a build cannot make the program read outside its own folder.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
same() { # arguments before and after the build
    "$prog" $1 examples/larch-minnow.json $2 >"$work/written" 2>&1 </dev/null; local a=$?
    "$prog" $1 tests/cli/listed.json $2 >"$work/listed" 2>&1 </dev/null; local b=$?
    [ $a = 0 ] && [ $b = 0 ] && [ -s "$work/listed" ] && cmp -s "$work/written" "$work/listed"
}
refused() { # name of the list, words of the error
    sed "s|listed.csv|$1|" tests/cli/listed.json >"$work/in/build.json"
    "$prog" rest "$work/in/build.json" >"$work/out" 2>"$work/err" </dev/null
    [ $? = 3 ] && [ ! -s "$work/out" ] && [ "$(wc -l <"$work/err")" = 1 ] && grep -q -- "$2" "$work/err"
}
accepted() { # name of the list
    sed "s|listed.csv|$1|" tests/cli/listed.json >"$work/in/build.json"
    "$prog" rest "$work/in/build.json" >"$work/out" 2>&1 </dev/null
}
from_input() { (cd tests/cli && "$prog" rest - <listed.json >"$work/out" 2>&1); }

check "rest is the same" same rest ""
check "fit is the same" same fit "--rigs 1"
check "the list beside standard input" from_input

mkdir -p "$work/in/lists"
cp tests/cli/listed.csv "$work/outside.csv"
cp tests/cli/listed.csv "$work/in/..own.csv"
cp tests/cli/listed.csv "$work/in/lists/below.csv"
check "a list below the build" accepted lists/below.csv
check "dots in a name are only dots" accepted ..own.csv
check "no climbing" refused ../outside.csv "/body/stations: .*leaves the build's folder"
check "no climbing on the way" refused lists/../../outside.csv "leaves the build's folder"
check "no climbing at the end" refused lists/.. "leaves the build's folder"
check "no absolute name" refused "$work/outside.csv" "leaves the build's folder"
check "a list that is not there" refused none.csv "in/none.csv: cannot be opened"
check "a folder" refused lists "in/lists: cannot be read"
printf 'position,diameter\n0,0\n40,thick\n' >"$work/in/broken.csv"
check "a broken list" refused broken.csv \
    "build.json: /body/stations: broken.csv, line 3, column 2: .*thick"
echo "caliper lists: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" = 12 ]
