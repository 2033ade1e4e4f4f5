#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Facts of the trade, worked through the program: facts.py says which, and how wide each is.
# TRADE_SAYS=1 prints what each check found. Exit 0 when all of it holds.
set -u
cd "$(dirname "$0")/../.."
: "${BALLASTRY:?the program to test}"
exec /usr/bin/python3 tests/trade/facts.py
