#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# `ballastry bench` opens the browser that BROWSER names, or xdg-open where there is a display; never
# with --no-open; and whatever becomes of that, it serves and ends well. The key in the address must not
# stand among a program's arguments, where everyone on the machine sees it.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'kill "${server:-}" 2>/dev/null; rm -rf "$work"' EXIT
mkdir "$work/bin" "$work/builds"
# Notes down its name, who may read the file that it was given, and where that leads.
cat >"$work/bin/browse" <<END
#!/bin/sh
file=\${1#file://}
echo "\$(basename "\$0") \$# \$(stat -c %a "\$file") \$(sed -n 's/.*url=\([^"]*\)".*/\1/p' "\$file") \$file" >"$work/noted"
mv "$work/noted" "$work/opened"
END
chmod +x "$work/bin/browse"; cp "$work/bin/browse" "$work/bin/xdg-open"
passed=0 failed=0

# WHAT, EXPECTED (a program's name, or "" for none), then assignments and options.
try() {
    local what=$1 expected=$2 address opened; shift 2
    local settings=() options=()
    for word in "$@"; do case $word in --*) options+=("$word") ;; *) settings+=("$word") ;; esac; done
    : >"$work/opened"; : >"$work/out"
    env -u BROWSER -u DISPLAY -u WAYLAND_DISPLAY PATH="$work/bin:$PATH" TMPDIR="$work" "${settings[@]}" \
        "$prog" bench "$work/builds" "${options[@]}" >"$work/out" 2>"$work/err" &
    server=$!
    for _ in $(seq 200); do [ "$(wc -l <"$work/out")" -ge 2 ] && break; sleep 0.05; done
    address=$(head -1 "$work/out")
    if [ -n "$expected" ]; then
        for _ in $(seq 200); do [ -s "$work/opened" ] && break; sleep 0.05; done
    else
        sleep 0.3
    fi
    opened=$(cat "$work/opened")
    kill -TERM "$server"; wait "$server"; local status=$?
    local file=${opened##* }
    opened=${opened% *}
    if [ "$opened" = "${expected:+$expected 1 600 $address}" ] && [ ! -e "${file:-/none}" ] && [ $status = 0 ] && [ ! -s "$work/err" ] &&
        [[ $address == http://127.0.0.1:*/#* ]]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1)); echo "FAILED browser: $what: opened '$opened', status $status: $(cat "$work/err")"
    fi
}
try "BROWSER is opened" browse BROWSER=browse
try "the first of a list" browse BROWSER=browse:other
try "xdg-open where there is a display" xdg-open DISPLAY=:7
try "xdg-open under Wayland" xdg-open WAYLAND_DISPLAY=wayland-0
try "xdg-open where BROWSER is a line for a shell" xdg-open DISPLAY=:7 "BROWSER=browse --new %s"
try "no shell sees BROWSER" "" 'BROWSER=browse;browse'
try "nothing on a bare machine" ""
try "nothing with --no-open" "" BROWSER=browse DISPLAY=:7 --no-open
try "a browser that is not there does no harm" "" BROWSER=no-such-program
echo "page and browser: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" = 9 ]
