# SPDX-License-Identifier: GPL-3.0-or-later
"""A bench killed while it saves a build or a draft: before each call that touches a file in turn
(killed.c), and by kill -9 at chance moments while saves and drafts follow each other. The file is the
old one or the new one, whole, and so are the earlier version beside it and the draft; nothing that
was not saved is without its draft; the next start saves again.
Arguments: the program; a folder to work in; the library that kills."""
import os
import random
import shutil
import signal
import sys
import threading
import time

from bench import OLD as TEXT, Bench, changed as text_changed

program, work, shim = sys.argv[1:4]
folder = os.path.join(work, "bench")
os.mkdir(folder)
first = Bench(program, folder)
OLD = first.look_of(TEXT)
first.end()


def changed(name):
    return text_changed(name, OLD)


NEW, BEFORE, LATER = changed("new"), "kept before", "kept later"
wrong, counts = [], {"old": 0, "new": 0}
CALLS_MOST = 80


def read(name):
    path = os.path.join(folder, name)
    return open(path, encoding="utf-8").read() if os.path.exists(path) else None


def fresh():
    shutil.rmtree(folder, ignore_errors=True)
    os.mkdir(folder)
    open(os.path.join(folder, "old.json"), "w", encoding="utf-8").write(OLD)
    open(os.path.join(folder, ".old.json.draft"), "w", encoding="utf-8").write(BEFORE)


def look(what, route, news, drafts):
    """After a kill: nothing is in pieces, and a bench of another start can save."""
    now, draft, earlier = read("old.json"), read(".old.json.draft"), read("old.json~")
    if now != OLD and now not in news:
        wrong.append(f"{what}: neither old nor new: {len(now or '')} bytes")
    if earlier is not None and earlier != OLD and earlier not in news:
        wrong.append(f"{what}: the earlier version is broken")
    if draft is None and now == OLD:
        wrong.append(f"{what}: neither saved nor a draft")
    if draft is not None and draft not in drafts:
        wrong.append(f"{what}: the draft is broken: {len(draft)} bytes")
    counts["old" if (now if route == "save" else draft) in (OLD, BEFORE) else "new"] += 1
    again = Bench(program, folder)
    if again.ask("draft", name="old.json", build=LATER)[0] != 200 or \
            again.ask("save", name="old.json", build=changed("again"), was=now)[0] != 200 or \
            read("old.json") != changed("again") or read(".old.json.draft") is not None:
        wrong.append(f"{what}: does not save again")
    again.end()


def before_each_call(route, body):
    """How many kills; ends with the first run that goes through."""
    kills = 0
    for n in range(1, CALLS_MOST):
        fresh()
        bench = Bench(program, folder, env={**os.environ, "LD_PRELOAD": shim, "KILL_AT": str(n)})
        status = bench.ask(route, **body)[0] if bench.host else None
        time.sleep(0.05)  # a call behind the answer
        lives = bench.process.poll() is None
        kills += not lives and bench.host is not None
        bench.end()
        look(f"{route} killed before call {n}", route, [NEW], [BEFORE, LATER])
        if lives:
            if status != 200:
                wrong.append(f"{route}: the run without a kill: {status}")
            return kills
    wrong.append(f"{route}: more than {CALLS_MOST} calls")
    return kills


def keep_saving(bench, texts, drafts):
    was = OLD
    for i in range(10000):
        build, draft = texts[i % len(texts)], drafts[i % len(drafts)]
        if bench.ask("draft", name="old.json", build=draft)[0] is None or \
                bench.ask("save", name="old.json", build=build, was=was)[0] is None:
            return
        was = build


def by_the_clock(rounds):
    texts, drafts = [changed(c * 30) for c in "abc"], [c * 50000 for c in "xyz"]
    dice = random.Random(1)
    for i in range(rounds):
        fresh()
        bench = Bench(program, folder)
        saver = threading.Thread(target=keep_saving, args=(bench, texts, drafts))
        saver.start()
        time.sleep(dice.uniform(0.0, 0.2))
        bench.process.send_signal(signal.SIGKILL)
        saver.join()
        bench.end()
        look(f"round {i}", "save", texts, [BEFORE, *drafts])


saves = before_each_call("save", {"name": "old.json", "build": NEW, "was": OLD, "draft": "old.json"})
drafts = before_each_call("draft", {"name": "old.json", "build": LATER})
by_the_clock(20)
for line in wrong:
    print("FAILED: bench: " + line)
print(f"killed: bench: before {saves} calls of a save and {drafts} of a draft, 20 by the clock: "
      f"{counts['old']} old, {counts['new']} new, {len(wrong)} wrong")
sys.exit(1 if wrong or saves < 8 or drafts < 4 or min(counts.values()) == 0 else 0)
