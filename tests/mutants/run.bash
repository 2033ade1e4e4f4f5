#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Changes one constant or row of the sources at a time, in a copy of them, and runs the tests of the
# rooms that must notice. What no test notices survives, and is told. $1: folder for the copy; then
# regular expressions that choose among the lines of list.txt, all without any. By hand: make mutants.
set -u
cd "$(dirname "$0")/../.."
list=$PWD/tests/mutants/list.txt copy=$1; shift
only=$(IFS='|'; echo "$*")
mkdir -p "$copy"
git ls-files -z --cached --others --exclude-standard | xargs -0 cp -u --parents -t "$copy" || exit 1
cd "$copy" || exit 1
find . -name '*.kept' -exec bash -c 'mv "$1" "${1%.kept}" && touch "${1%.kept}"' - {} \; # of a run that broke off
jobs=$(nproc) killed=0 survived=0 stale=0

# The text stands exactly once, or the line of the list is out of date.
change() { # file, old, new
    OLD=$2 NEW=$3 perl -0777 -i.kept -pe '$n = () = /\Q$ENV{OLD}\E/g; s/\Q$ENV{OLD}\E/$ENV{NEW}/ if $n == 1;' "$1" &&
        ! cmp -s "$1" "$1.kept"
}
tested() { # rooms: whether every test of theirs passes
    local room
    for room in ${1//,/ }; do
        timeout 900 make -s -j"$jobs" test T="$room" OPT="-O1 -Wno-error" >said 2>&1 || return 1
    done
}
rooms=$(grep -vE '^(#|$)' "$list" | grep -E -e "$only" | cut -d'|' -f1 | tr ', ' '\n\n' | grep . | sort -u)
for room in $rooms; do
    tested "$room" || { echo "the tests of $room fail without any change"; tail -20 said; exit 1; }
done
while IFS='|' read -r rooms file old new; do
    read -r rooms <<<"$rooms"; read -r file <<<"$file"
    old=${old# } old=${old% } new=${new# }
    if ! change "$file" "$old" "$new"; then
        stale=$((stale + 1)); echo "out of date: $file: \"$old\" does not stand there once"
    elif tested "$rooms"; then
        survived=$((survived + 1)); echo "SURVIVED $rooms: $file: $old -> $new"
    elif noticed=$(sed -nE 's/^failed: //p' said | grep . | head -1); [ -n "$noticed" ]; then
        killed=$((killed + 1)); echo "killed by $noticed: $file: $old -> $new"
    else
        stale=$((stale + 1)); echo "out of date: $file: $old -> $new: does not build"; tail -5 said
    fi
    [ ! -e "$file.kept" ] || { mv "$file.kept" "$file"; touch "$file"; }
done < <(grep -vE '^(#|$)' "$list" | grep -E -e "$only")
echo "mutants: $killed killed, $survived survived, $stale out of date"
[ "$survived" = 0 ] && [ "$stale" = 0 ] && [ "$killed" -gt 0 ]
