#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Three analysers on solver/: cppcheck, clang-tidy with .clang-tidy, and gcc's analyser (not on the
# rooms that only print). What they say wrongly stands in known.txt with the reason; anything else is
# printed and fails. A line there that no analyser says any more is told too. $1: folder of what the
# Makefile generates; then the compiler's flags. ANALYZERS="cppcheck tidy gcc" chooses.
set -u
cd "$(dirname "$0")/../.."
gen=$1; shift
flags=("$@") chosen=${ANALYZERS:-cppcheck tidy gcc}
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
for tool in cppcheck clang-tidy; do
    command -v $tool >/dev/null || { echo "make analyze needs $tool: apt-get install $tool"; exit 1; }
done
export work
sources() { ls solver/*/*.c | grep -vE "${1:-^$}"; }
cppcheck_all() {
    cppcheck -q --std=c17 --enable=warning,performance,portability -Iinclude -Isolver -I"$gen" -j2 \
        --suppress=missingIncludeSystem --template='cppcheck {file} {id}: {line}: {message}' solver 2>&1 |
        grep -E '^cppcheck '
}
# A file at a time, two at once, so that no finding is lost among others.
tidy_one() { clang-tidy -quiet "$1" -- -std=c17 "${@:2}" >"$work/tidy.$(tr / _ <<<"$1")" 2>/dev/null; }
gcc_one() { gcc -std=c17 -O2 "${@:2}" -fanalyzer -c "$1" -o /dev/null 2>"$work/gcc.$(tr / _ <<<"$1")"; }
export -f tidy_one gcc_one
each() { xargs -P2 -I{} bash -c "$1"' "$@"' _ {} "${flags[@]}"; }
tidy_all() {
    sources | each tidy_one
    sed -nE "s#^$PWD/##; s#^((solver|include)[^:]*):([0-9]+):[0-9]+: (warning|error): (.*) \[([^],]*)[^]]*\]\$#tidy \1 \6: \3: \5#p" "$work"/tidy.* | sort -u
}
gcc_all() {
    sources '/(cli|sheet|picture|report)/' | each gcc_one
    grep -hE 'error:|cannot find' "$work"/gcc.* >&2 && exit 1
    sed -nE 's/^(solver[^:]*):([0-9]+):[0-9]+: warning: (.*)\[-Wanalyzer-(.*)\]$/gcc \1 \4: \2: \3/p' "$work"/gcc.* | sort -u
}
for tool in $chosen; do ${tool}_all; done >"$work/said"
new=0
grep -vE '^(#|$)' tests/analyze/known.txt | grep -E "^($(tr ' ' '|' <<<"$chosen")) " |
    sed -E 's/^([^ ]+ [^ ]+ [^:]+:).*/\1/' | sort -u >"$work/known"
grep -vF -f "$work/known" "$work/said" && new=1
while read -r line; do grep -qF "$line" "$work/said" || echo "no longer said: $line"; done <"$work/known"
echo "analyze: $(wc -l <"$work/said") said, $(grep -vcF -f "$work/known" "$work/said") of them new"
exit $new
