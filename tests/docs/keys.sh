#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The keys of --json against docs/output.schema.json and docs/output.md (tests/docs/keys.py).
set -u
/usr/bin/python3 -c 'import jsonschema' 2>/dev/null ||
    { echo "skipped: the schema of --json: no python3-jsonschema"; exit 0; }
exec /usr/bin/python3 "$(dirname "$0")/keys.py"
