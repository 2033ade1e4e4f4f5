#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""docs/reading-the-result.md speaks of every line that rest and fit print (expected outputs of
tests/cli), and of none that neither stands there nor in the reports' source. `..` in its left columns
stands for anything."""
import glob, os, re, sys

os.chdir(os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__)))))
page = open("docs/reading-the-result.md", encoding="utf-8").read()
lines = {}
for cell in re.findall(r"^\| (`.*?) \| ", page, re.M):
    for text in re.findall(r"`([^`]+)`", cell):
        lines[text] = re.compile(".*".join(re.escape(part) for part in text.split("..")) + ("" if text.endswith("..") else "$"))


def of_page(line):
    """What of the page's left columns the line is."""
    hits = [text for text, pattern in lines.items() if pattern.match(line)]
    seat = re.match(r"(\* )?[a-z][a-z0-9_-]*  +\S", line)
    if not hits and seat and re.search(r"; (at|in) |nothing|from|around|long|[a-z]-[0-9]|[+-][0-9.]+ deg ", line):
        hits = ["tie .."]
    return hits


def told(path):
    """The lines of an output, those that go on below joined, each as the page has it."""
    out = []
    for line in open(path, encoding="utf-8").read().split("\n")[1:]:
        indent = len(line) - len(line.lstrip())
        if out and line.strip() and indent > out[-1][0] and len(out[-1][1]) > 56 and not of_page(line.strip()):
            out[-1] = (out[-1][0], out[-1][1] + " " + line.strip())
        elif line.strip():
            out.append((indent, line.strip()))
    previous = ""
    for indent, line in out:
        if not (indent == 3 and re.match(r"\d+\. ", previous)):  # what differs from rig 1
            yield line
        previous = line


faults, good, used = [], 0, set()
source = "".join(open(path, encoding="utf-8").read() for path in glob.glob("solver/report/*.c") + glob.glob("solver/cli/*.c") + glob.glob("solver/fit/too_*.c"))
cases = [line.split("|") for line in open("tests/cli/cases.txt", encoding="utf-8") if line.count("|") == 2 and line[0] != "#"]
for name, status, words in cases:
    words = words.split()
    if words[:1] not in (["rest"], ["fit"]) or status.strip() not in "01" or {"--json", "--lines", "--help", "--tow"} & set(words):
        continue
    path = f"tests/cli/expected/{name.strip(' +')}.out"
    for line in told(path):
        hits = of_page(re.sub(r"^[2-9]\. ", "2. ", line))
        used.update(hits)
        if hits:
            good += 1
        else:
            faults.append(f"{path}: no word of: {line[:100]}")
for text in lines:
    if text in used or max(text.split(".."), key=len).strip() in source:
        good += 1
    else:
        faults.append(f"docs/reading-the-result.md speaks of a line that is never printed: {text}")
for text in faults:
    print("FAILED: " + text)
print(f"lines: {good} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
