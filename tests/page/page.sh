#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The bench page in a real browser: starts the program on a folder of its own and runs page.mjs.
# With SHOTS=FOLDER it leaves screenshots there.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
for need in node chromium; do
    command -v $need >/dev/null || { echo "page in a browser: skipped: $need not available"; exit 0; }
done
modules=$PWD/.build/page/node_modules
[ -d "$modules/playwright-core" ] ||
    { echo "page in a browser: skipped: playwright-core not available"; exit 0; }
work=$(mktemp -d)
trap 'kill "${server:-}" 2>/dev/null; rm -rf "$work"' EXIT
mkdir "$work/builds"
cp examples/larch-minnow.json examples/sinker-swap.json "$work/builds"
"$prog" bench "$work/builds/larch-minnow.json" --no-open >"$work/address" 2>&1 &
server=$!
for _ in $(seq 50); do [ -s "$work/address" ] && break; sleep 0.1; done
timeout 60 node tests/page/page.mjs "$modules" "$(head -1 "$work/address")" "$work/builds" "${SHOTS:-}"
status=$?
kill -TERM "$server" && wait "$server" || { echo "the server did not end well"; status=1; }
exit $status
