#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Each command has a page, and every option of its help stands on that page or on docs/commands.md.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }

for name in $("$prog" --help | sed -n 's/^  \([a-z]*\)  .*/\1/p'); do
    page=docs/commands/$name.md
    [ -e "$page" ] && good || { bad "$page is missing"; continue; }
    for option in $("$prog" "$name" --help | sed -n 's/^  \(--[a-z-]*\).*/\1/p'); do
        grep -qe "$option" "$page" docs/commands.md && good || bad "$page does not speak of $option"
    done
done
echo "cli docs: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 30 ]
