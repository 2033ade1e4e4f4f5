# SPDX-License-Identifier: GPL-3.0-or-later
"""Saves and drafts of the bench on a disk without room and in a folder that may not be written: the
status that docs/bench.md says, a reason in words, the old files as they were and nothing else left.
Arguments: the program; a fresh folder; "may" when another user can reach the program."""
import os
import resource
import signal
import sys

from bench import OLD, Bench, changed

program, folder, reach = sys.argv[1], sys.argv[2], sys.argv[3] == "may"
wrong = []
passed = 0


def files():
    return {name: open(os.path.join(folder, name), encoding="utf-8").read() for name in os.listdir(folder)}


def no_room():
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def somebody():
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)


def try_all(what, status, **how):
    global passed
    before = files()
    bench = Bench(program, folder, **how)
    for route, body in (("save", {"name": "old.json", "build": changed("new"), "was": OLD}),
                        ("save", {"name": "fresh.json", "build": changed("new"), "was": None}),
                        ("draft", {"name": "old.json", "build": "half a thought"}),
                        ("draft", {"name": "", "build": "half a thought"})):
        got, tree = bench.ask(route, **body)
        text = (tree or {}).get("error", {}).get("text", "")
        if got != status or not text.endswith("nothing was written") or files() != before:
            wrong.append(f"{what}: {route} {body['name']!r}: {got} {tree}, left {sorted(files())}")
        else:
            passed += 1
    left = bench.ask("open", name="old.json")[1]  # it goes on, and the draft is there
    if not left or left["build"] != OLD or left["draft"] != "kept before":
        wrong.append(f"{what}: afterwards {left}")
    bench.end()


open(os.path.join(folder, "old.json"), "w", encoding="utf-8").write(OLD)
open(os.path.join(folder, ".old.json.draft"), "w", encoding="utf-8").write("kept before")
try_all("no room on the disk", 507, preexec_fn=no_room)
if reach:
    os.chmod(folder, 0o555)
    try_all("a folder that may not be written", 403, preexec_fn=somebody if os.geteuid() == 0 else None)
    os.chmod(folder, 0o755)
bench = Bench(program, folder)  # and with room again all of it succeeds
for route, body in (("draft", {"name": "old.json", "build": "kept later"}),
                    ("save", {"name": "fresh.json", "build": changed("new"), "was": None})):
    passed += bench.ask(route, **body)[0] == 200
bench.end()
for line in wrong:
    print("FAILED: bench: " + line)
print(f"disk: bench: {passed} passed, {len(wrong)} failed")
sys.exit(1 if wrong or passed < 6 else 0)
