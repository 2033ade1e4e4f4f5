#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The page as one file in Chromium and Firefox, from disk and offline (page.mjs). Screenshots go to SHOTS=FOLDER.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
tests/alone/built.bash || exit 0
modules=$PWD/.build/page/node_modules which=()
if [ -d "$modules/playwright-core" ] && command -v chromium >/dev/null; then which+=(chromium)
else echo "skipped: the page as one file in Chromium: no chromium or no playwright-core"; fi
if command -v firefox-esr >/dev/null; then which+=(firefox)
else echo "skipped: the page as one file in Firefox: no firefox-esr"; fi
[ ${#which[@]} -gt 0 ] || exit 0
CHROMIUM=$(command -v chromium) node tests/alone/page.mjs "$modules" "$(realpath "$prog")" .build/alone/ballastry.html \
    "${SHOTS-}" "${which[@]}"
