#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs every line of cases.txt and compares standard output, standard error and exit status.
# With GOLDEN=1 it writes the expected files anew instead. Lines with a + are for FULL=1 and GOLDEN=1.
set -u
cd "$(dirname "$0")/../.."
export LC_ALL=C NO_COLOR=1 XDG_DATA_HOME=/nonexistent # results without a book
prog=${BALLASTRY:?the program to test}
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
while IFS='|' read -r name status args; do
    name=$(echo $name); status=$(echo $status)
    case $name in ''|'#'*) continue ;; '+'*) [ -n "${FULL:-}${GOLDEN:-}" ] || continue ;; esac
    name=${name#+}
    read -ra words <<<"$args"
    words=("${words[@]//^/ }") # a blank within a word
    "$prog" "${words[@]}" >"$work/out" 2>"$work/err" </dev/null
    got=$?
    expected=tests/cli/expected/$name
    if [ -n "${GOLDEN:-}" ]; then
        cp "$work/out" "$expected.out"; cp "$work/err" "$expected.err"
        [ "$got" = "$status" ] || echo "cases.txt says $status for $name, it was $got"
        continue
    fi
    if [ "$got" = "$status" ] && cmp -s "$work/out" "$expected.out" && cmp -s "$work/err" "$expected.err"; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "FAILED $name: exit $got, expected $status"
        diff "$expected.out" "$work/out" | head -10; diff "$expected.err" "$work/err" | head -5
    fi
done <tests/cli/cases.txt
[ -n "${GOLDEN:-}" ] && exit 0
echo "cli cases: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 40 ]
