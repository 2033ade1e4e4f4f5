#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The page that explains the lines of a result against the lines (tests/docs/lines.py).
set -u
exec /usr/bin/python3 "$(dirname "$0")/lines.py"
