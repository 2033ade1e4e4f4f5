#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Every command says a slip once, in text and in JSON; sound builds have none. The weighed hook is invented.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..: the command must succeed
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
silent() { # command.. : ends with 0 and says no slip
    "$prog" "$@" >"$work/out" 2>"$work/err" && ! grep -q 'a slip?' "$work/out"
}
said() { # words, command..: said once in text, once in JSON, with the place beside it
    local words=$1; shift
    "$prog" "$@" >"$work/out" 2>"$work/err"
    [ "$(grep -c "a slip? .*$words" "$work/out")" = 1 ] || { cat "$work/out" "$work/err"; return 1; }
    "$prog" "$@" --json >"$work/json" 2>"$work/err"
    python3 - "$words" "$work/json" <<'PYTHON'
import json, sys
slips = json.load(open(sys.argv[2]))["slips"]
sys.exit(0 if sum(sys.argv[1] in s["text"] and s["where"] != "" for s in slips) == 1 else 1)
PYTHON
}

for build in examples/*.json; do
    check "$build is sound" silent rest "$build"
done
cd "$work" || exit 1
for body in minnow flat short stick; do
    check "new $body" silent new "$body" --body "$body"
    check "the $body is sound" silent rest "$body.json"
done

printf 'id,mass\ntreble-6-medium,532\n' >heavy.csv
"$prog" swap "$OLDPWD/examples/board-lip.json" --at tail.hook=treble-6-fine --write lip.json >/dev/null
heavy="treble-6-medium weighs 532 g, by its sizes"
check "rest" said "$heavy" rest lip.json --catalog heavy.csv
check "fit, over all rigs" said "$heavy" fit lip.json --rigs 3 --catalog heavy.csv
check "swap" said "$heavy" swap lip.json --at tail.hook=treble-7-fine --catalog heavy.csv
check "tank" said "$heavy" tank lip.json --shows "0 %" --catalog heavy.csv
check "sheet" said "$heavy" sheet lip.json -o lip.svg --catalog heavy.csv
check "and on the sheet" grep -q "slip? belly.hook: treble-6-medium" lip-2.svg
check "the body as a file" said "$heavy" sheet lip.json -o lip.stl --catalog heavy.csv
check "a swap that mends it" silent swap lip.json --at belly.hook=treble-6-fine --catalog heavy.csv
sed 's/"x": "14 mm", "width": "13 mm"/"x": "14 mm", "width": "130 mm"/' lip.json >wide.json
check "a station" said "the width is 130 mm here" rest wide.json
printf '{"key": "a", "build": %s}\n' "$(tr -d '\n' <wide.json)" >lines.jsonl
"$prog" rest --lines lines.jsonl >"$work/out" 2>"$work/err"
check "a line of many" grep -q '"slips":.*the width is 130 mm here' "$work/out"

echo "slips said: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 25 ]
