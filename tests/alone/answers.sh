#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The page as one file answers as the program does, under Node.js (answers.mjs).
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
tests/alone/built.bash || exit 0
node tests/alone/answers.mjs "$(realpath "$prog")" .build/alone
