#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Figures that stand in the prose of a page against what the program says now (tests/docs/figures.py).
set -u
exec /usr/bin/python3 "$(dirname "$0")/figures.py"
