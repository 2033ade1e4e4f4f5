#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The battery's own judge (judge.py) on a sample of builds; with FULL=1 on all. A first rig, nearest
# misses too, breaks no rule of catalog/practice.json but one that fit itself names as let go.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
every=16; [ -z "${FULL:-}" ] || every=1
if python3 tests/practice/judge.py "$prog" "$work" "$every" >"$work/out" &&
    grep -q '^judge.py: [1-9][0-9]* builds' "$work/out"; then
    tail -1 "$work/out"
    echo "1 passed, 0 failed"
else
    cat "$work/out"
    echo "FAILED judge"
    echo "0 passed, 1 failed"
    exit 1
fi
