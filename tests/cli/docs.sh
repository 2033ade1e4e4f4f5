#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs every "    ballastry .." line of README and docs (exit 0 or 1), and looks that each command
# has a page and every option of its help stands on that page or on docs/commands.md.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }

while IFS=: read -r file line; do
    command=${line#*ballastry }
    case $command in *...*|*BUILD*|*FILE*|*'>'*|*NAME*|*COMMAND*|*'|'*|*'['*) continue ;; esac
    case $command in bench*) continue ;; esac # goes on until it is ended; tests/page/page.sh runs it
    command=${command//-o lure/-o $work/lure}
    eval "'$prog' $command" >/dev/null 2>"$work/err" </dev/null
    case $? in 0|1) good ;; *) bad "$file: ballastry $command: $(cat "$work/err")" ;; esac
done < <(grep -HE '^    ballastry ' README.md docs/*.md docs/commands/*.md)

for name in $("$prog" --help | sed -n 's/^  \([a-z]*\)  .*/\1/p'); do
    page=docs/commands/$name.md
    [ -e "$page" ] && good || { bad "$page is missing"; continue; }
    for option in $("$prog" "$name" --help | sed -n 's/^  \(--[a-z-]*\).*/\1/p'); do
        grep -qe "$option" "$page" docs/commands.md && good || bad "$page does not speak of $option"
    done
done
echo "cli docs: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 30 ]
