#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Every command that writes a file, on a disk that takes no more bytes, into a device that is full,
# into a folder that may not be written, and with its standard output full or closed: exit 3, one
# line, the old file as it was and nothing else left in the folder. The bench's saves and drafts likewise
# (bench_disk.py).
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
chmod 755 "$work"
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*: $(head -c 200 "$work/err")"; }
fresh() { [ "${words[0]}" = new ] || [ "${words[0]}" = tank ]; } # never write over a file
prepare() { # file: the old one is there, where it may be written over
    rm -rf "$work/run"; mkdir "$work/run"; cp tests/faults/small.json "$work/run/in.json"
    fresh || echo old >"$work/run/$1"
    ls -A "$work/run" >"$work/before"
}
as_it_was() { # file
    ls -A "$work/run" | cmp -s - "$work/before" && cmp -s "$work/run/in.json" tests/faults/small.json &&
        { fresh || [ "$(cat "$work/run/$1" 2>/dev/null)" = old ]; }
}
refused() { # what, file, got
    if [ "$3" = 3 ] && [ "$(wc -l <"$work/err")" = 1 ] && as_it_was "$2"; then good
    else bad "$1: ${words[*]}: exit $3, left $(ls -A "$work/run" | tr '\n' ' ')"; fi
}
# Not to be had as root, who may write everywhere.
may_not_write() { (cd "$work/run" && setpriv --reuid=65534 --regid=65534 --clear-groups "$prog" "${words[@]}" >/dev/null 2>"$work/err" </dev/null); }
[ "$(id -u)" = 0 ] || may_not_write() { (cd "$work/run" && "$prog" "${words[@]}" >/dev/null 2>"$work/err" </dev/null); }
reachable() { [ "$(id -u)" != 0 ] || setpriv --reuid=65534 --regid=65534 --clear-groups test -x "$prog" 2>/dev/null; }
reachable || echo "skipped: a read-only folder: no other user can reach the program"
while read -r file line; do
    read -ra words <<<"$line"
    prepare "$file" # the errors go down a pipe, which has no such limit
    (cd "$work/run" && trap '' XFSZ && ulimit -f 0 && exec "$prog" "${words[@]}" 2>&1 >/dev/null </dev/null) | cat >"$work/err"
    got=${PIPESTATUS[0]}; refused "no room on the disk" "$file" "$got"
    if reachable; then
        prepare "$file"; chmod 555 "$work/run"; may_not_write; got=$?; chmod 755 "$work/run"
        refused "a folder that may not be written" "$file" $got
    fi
    if ! fresh; then
        prepare "$file"; ln -sf /dev/full "$work/run/$file"
        (cd "$work/run" && "$prog" "${words[@]}" >/dev/null 2>"$work/err" </dev/null); got=$?
        [ $got = 3 ] && [ "$(wc -l <"$work/err")" = 1 ] && ls -A "$work/run" | cmp -s - "$work/before" && good ||
            bad "a full device: ${words[*]}: exit $got"
    fi
done <<'COMMANDS'
out.json fit in.json --rigs 1 --write out.json
out.json swap in.json --at tie.eye=none --write out.json
out.json tank in.json --scale 2.6g --write out.json
out.svg sheet in.json -o out.svg --view side
out.svg sheet in.json -o out.svg
out.pdf sheet in.json -o out.pdf --view side
out.png sheet in.json -o out.png --view side
lure.json new lure
COMMANDS
words=(rest); prepare out.json
while read -ra words; do
    for how in full closed; do
        (cd "$work/run" && case $how in
            full) exec "$prog" "${words[@]}" >/dev/full 2>"$work/err" </dev/null ;;
            closed) exec "$prog" "${words[@]}" >&- 2>"$work/err" </dev/null ;;
        esac); got=$?
        [ $got = 3 ] && [ "$(wc -l <"$work/err")" = 1 ] && good || bad "output $how: ${words[*]}: exit $got"
    done
done <<'COMMANDS'
rest in.json
rest in.json --json
fit in.json --rigs 1
swap in.json --at tie.eye=none
tank in.json --scale 2.6g
pour --mould 240ml --by-weight 2:1 --cured 1.05g/cm3
sheet in.json -o out.svg --view side
catalog materials
fit --help
--version
COMMANDS
# The bench writes too: saves and drafts.
mkdir "$work/bench"; chmod 755 "$work/bench"
python3 tests/faults/bench_disk.py "$prog" "$work/bench" "$(reachable && echo may)" && good || bad "the bench"
# Numbers have points whatever the locale, because nothing ever asks for one.
nm -D --undefined-only "$prog" 2>/dev/null | grep -qw setlocale && bad "the program asks for a locale" || good
echo "disk: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -ge 30 ]
