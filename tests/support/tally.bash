# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by scripts of tests, from the top folder: the program as `prog`, a folder `work` that goes when the
# script ends, and the checks counted.
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
