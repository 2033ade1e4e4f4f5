#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs the commands of docs/sweeps.md as they stand, and looks at what comes out of them.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
top=$PWD work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
mkdir "$work/bin" "$work/here"; ln -s "$prog" "$work/bin/ballastry"; ln -s "$top/examples" "$work/here/examples"
export PATH=$work/bin:$PATH
block() { awk -v n="$1" '/^```sh$/ { i++; inside = 1; next } /^```$/ { inside = 0 } inside && i == n' docs/sweeps.md; }
run() { # number of the block
    block "$1" >"$work/block.sh"
    [ -s "$work/block.sh" ] && (cd "$work/here" && bash -eu -o pipefail "$work/block.sh" >"$work/out" 2>"$work/err" </dev/null) ||
        { cat "$work/err"; return 1; }
}
lines() { [ "$(wc -l <"$work/here/$1")" = "$2" ]; }
check "the page has six blocks" [ "$(grep -c '^```sh$' docs/sweeps.md)" = 6 ]
check "woods" run 1
check "a result for each" lines woods.jsonl 5
check "lips" run 2
check "a result for each" lines lips.jsonl 6
check "no lip is bad" [ "$(grep -c '"error"' "$work/here/lips.jsonl")" = 0 ]
check "bodies" run 3
check "a result for each" lines bodies.jsonl 2
check "a table" run 4
check "from the lightest to the heaviest" [ "$(cut -d' ' -f2 "$work/out" | tr '\n' ' ')" = "balsa paulownia cedar larch beech " ]
check "a run that broke off" run 5
(cd "$work/here" && ballastry rest examples/cedar-floater.json --lines masses.jsonl >whole.jsonl)
check "twenty masses" lines whole.jsonl 20
check "goes on to the same bytes" cmp "$work/here/whole.jsonl" "$work/here/results.jsonl"

if ! command -v parallel >/dev/null || ! parallel --version 2>/dev/null | grep -q 'GNU parallel'; then
    echo "skipped: a sweep over machines: no GNU parallel"
else
    check "spread" run 6
    check "the same bytes" cmp "$work/here/whole.jsonl" "$work/here/spread.jsonl"
    cd "$work/here"; rm -f jobs.log part-*.out
    # The third job is killed once, as if its machine had gone: the others are not worked again.
    printf '#!/bin/bash\necho "$4" >>"%s"\n[ "$4" != part-02 ] || [ -e "%s" ] || { touch "%s"; kill -KILL $$; }\nexec "%s" "$@"\n' \
        "$work/begun" "$work/killed" "$work/killed" "$prog" >"$work/wrapped"
    chmod +x "$work/wrapped"; ln -sf "$work/wrapped" "$work/bin/ballastry"
    bash -u "$work/block.sh" >"$work/out" 2>&1 </dev/null
    check "a killed job leaves its part out" [ ! -s part-02.out ]
    check "every job was begun once" [ "$(sort "$work/begun" | tr '\n' ' ')" = "part-00 part-01 part-02 part-03 " ]
    check "the same command again" bash -eu "$work/block.sh"
    check "works what is missing alone" [ "$(sed -n '5,$p' "$work/begun")" = part-02 ]
    check "to the same bytes" cmp whole.jsonl spread.jsonl
fi
echo "sweeps: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -ge 13 ]
