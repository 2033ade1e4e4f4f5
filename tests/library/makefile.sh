#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# make where a package is missing says which and compiles nothing; make help knows every target.
set -u
cd "$(dirname "$0")/../.."
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
unset MAKEFLAGS MAKELEVEL MFLAGS PKG_CONFIG_PATH

# A machine that has all but GSL: pkg-config sees a copy of every description save that one.
mkdir "$work/pc"
IFS=: read -ra folders <<<"$(pkg-config --variable pc_path pkg-config)"
for folder in "${folders[@]}"; do cp "$folder"/*.pc "$work/pc/" 2>/dev/null; done
rm "$work/pc/gsl.pc"
PKG_CONFIG_LIBDIR=$work/pc make -j2 OUT="$work/out" >"$work/said" 2>&1 && bad "make went on without GSL" || good
grep -q '^missing: gsl' "$work/said" && good || bad "make does not name GSL: $(cat "$work/said")"
grep -q 'apt-get install libgsl-dev$' "$work/said" && good || bad "make does not name libgsl-dev alone: $(cat "$work/said")"
[ -z "$(find "$work/out" -name '*.o')" ] && good || bad "make compiled without GSL"

.package/needed "cc -nostdinc" gsl >"$work/said" 2>&1 && bad "no header is missing where there are none" || good
grep -q 'install libglpk-dev libadmesh-dev$' "$work/said" && good || bad "GLPK is not missed: $(cat "$work/said")"
.package/needed no-such-compiler gsl >"$work/said" 2>&1 && bad "no compiler is missing" || good
grep -q 'install gcc$' "$work/said" && good || bad "the compiler is not missed: $(cat "$work/said")"
said=$(.package/needed cc gsl cairo 2>&1) && [ -z "$said" ] && good || bad "complains where all is there: $said"

make help >"$work/help"
for target in $(sed -n 's/^\.PHONY: //p' Makefile); do
    case $target in force|fuzzers|all) continue ;; esac # inner ones, and plain make
    grep -qE "make $target( |,|$)" "$work/help" && good || bad "make help does not know $target"
done
echo "library makefile: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 20 ]
