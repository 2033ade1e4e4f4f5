#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Whether .build/alone holds the page as one file, made of this very source; else why its tests are skipped.
lacks() { echo "skipped: the page as one file: $*"; exit 1; }
command -v node >/dev/null || lacks "no node"
[ -s .build/alone/ballastry.html ] || lacks "not built (make alone)"
[ "$(cat .build/alone/stamp 2>/dev/null)" = "$(.alone/stamp)" ] || lacks "built of other source (make alone)"
