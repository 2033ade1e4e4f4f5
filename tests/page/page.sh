#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The bench page in a real browser; page.mjs starts the program on folders of its own, and runs the
# parts of it that `make check` has, or all with FULL=1 as `make later` does. Screenshots go to
# SHOTS=FOLDER, where one is asked for.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
for need in node chromium; do
    command -v $need >/dev/null || { echo "skipped: the page in a browser: no $need"; exit 0; }
done
modules=$PWD/.build/page/node_modules
[ -d "$modules/playwright-core" ] ||
    { echo "skipped: the page in a browser: no playwright-core"; exit 0; }
CHROMIUM=$(command -v chromium) node tests/page/page.mjs "$modules" "$(realpath "$prog")" \
    "${SHOTS-}"
