#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs test programs and scripts, as many at once as there are cores, and prints what each said in
# one piece: of a program that passed the last line alone. $1: folder for logs; then the tests.
set -u
export LOGS=$1/test-logs; shift
mkdir -p "$LOGS"
one() {
    local log=$LOGS/${1//\//_}.log good=0
    "$1" >"$log" 2>&1 || good=1
    if [ $good -ne 0 ]; then
        echo "FAILED $1"; cat "$log"
    elif [[ $1 == *.sh ]]; then
        cat "$log"
    else
        grep -hE '^\[  PASSED  \]' "$log" | sed "s|^|$1: |"
    fi
    return $good
}
export -f one
fail=0 others=()
for test in "$@"; do # the browser's test measures and waits: it runs alone
    case $test in */page/page.sh) one "$test" || fail=1 ;; *) others+=("$test") ;; esac
done
printf '%s\n' "${others[@]}" | xargs -P"$(nproc)" -I{} bash -c 'said=$(one {}); good=$?; printf "%s\n" "$said"; exit $good' || fail=1
exit $fail
