#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# cppcheck on all of solver/, gcc's analyser on its rooms without a command line. What they say
# wrongly stands in known.txt with the reason; anything else is printed and fails. A line there that
# no analyser says any more is told too. $1: folder of what the Makefile generates; then gcc's flags.
set -u
cd "$(dirname "$0")/../.."
gen=$1; shift
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
command -v cppcheck >/dev/null || { echo "make analyze needs cppcheck: apt-get install cppcheck"; exit 1; }
cppcheck -q --std=c17 --enable=warning,performance,portability -Iinclude -Isolver -I"$gen" -j2 \
    --suppress=missingIncludeSystem --template='cppcheck {file} {id}: {line}: {message}' solver \
    2>"$work/cppcheck"
rooms=$(ls -d solver/*/ | grep -vE '/(cli|sheet|picture|report|serve|page)/$')
analyse() { for file; do gcc -std=c17 -O2 "${flags[@]}" -fanalyzer -c "$file" -o /dev/null; done; }
flags=("$@")
sources=($(printf '%s*.c\n' $rooms)); half=$((${#sources[@]} / 2))
analyse "${sources[@]:0:half}" 2>"$work/gcc.1" &
analyse "${sources[@]:half}" 2>"$work/gcc.2"
wait
cat "$work"/gcc.[12] >"$work/gcc.raw"
grep -hE '^cppcheck ' "$work/cppcheck" >"$work/said"
sed -nE 's/^(solver[^:]*):([0-9]+):[0-9]+: warning: (.*)\[-Wanalyzer-(.*)\]$/gcc \1 \4: \2: \3/p' "$work/gcc.raw" >>"$work/said"
grep -E 'error:|cannot find' "$work/gcc.raw" && exit 1
new=0
grep -vE '^(#|$)' tests/analyze/known.txt | sed -E 's/^([^ ]+ [^ ]+ [^:]+:).*/\1/' | sort -u >"$work/known"
grep -vF -f "$work/known" "$work/said" && new=1
while read -r line; do grep -qF "$line" "$work/said" || echo "no longer said: $line"; done <"$work/known"
echo "analyze: $(wc -l <"$work/said") said, $(grep -vcF -f "$work/known" "$work/said") of them new"
exit $new
