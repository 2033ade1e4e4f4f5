#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Every shell block of every page against what the program prints (tests/docs/pages.py).
set -u
exec /usr/bin/python3 "$(dirname "$0")/pages.py"
