#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What a long `fit` says on a terminal: a line on standard error that vanishes at the end, and on
# Ctrl-C the best so far. The fit is one that takes long on any machine; it is ended by Ctrl-C as soon
# as its line is there. Without a terminal nothing is said.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
passed=0 failed=0
check() { if eval "$2"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $1"; fi; }
command -v python3 >/dev/null || { echo "cli watch: skipped, python3 is not installed"; exit 0; }
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT

python3 - "$prog" "$work" <<'PY'
import os, pty, subprocess, sys
prog, work = sys.argv[1:]
ours, theirs = pty.openpty()
out = open(work + "/out", "wb")
fit = subprocess.Popen([prog, "fit", "examples/cedar-floater.json", "--surest", "--rigs", "50",
                        "--time-limit", "600 s"],
                       stdin=theirs, stdout=out, stderr=theirs, start_new_session=True,
                       preexec_fn=lambda: __import__("fcntl").ioctl(0, __import__("termios").TIOCSCTTY, 0))
os.close(theirs)
said, asked = b"", False
while True:
    try:
        part = os.read(ours, 4096)
    except OSError:
        part = b""
    if not part:
        break
    said += part
    if not asked and b"Ctrl-C" in said:
        os.write(ours, b"\x03")
        asked = True
open(work + "/err", "wb").write(said)
open(work + "/status", "w").write(str(fit.wait()))
PY
check "a line says what is looked at" 'grep -q "[0-9] s: [a-z]" "$work/err" && grep -q "Ctrl-C: the best so far" "$work/err"'
check "it vanishes at the end" '[ "$(tail -c 4 "$work/err" | od -An -tx1 | tr -d " \n")" = 0d1b5b4b ]'
check "Ctrl-C is no crash" 'grep -qx "[01]" "$work/status"'
check "the best so far is printed" 'grep -q "^1\. " "$work/out" && grep -q "stopped" "$work/out"'

"$prog" fit examples/board-lip.json >/dev/null 2>"$work/quiet" </dev/null
check "no terminal, no line" '[ ! -s "$work/quiet" ]'
echo "cli watch: $passed passed, $failed failed"
[ "$failed" -eq 0 ]
