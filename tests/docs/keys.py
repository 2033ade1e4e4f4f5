#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""docs/output.schema.json (JSON Schema 2020-12) against what the commands print with --json, by the
general-purpose validator of Debian's python3-jsonschema. Checks that
- every example through every command, and every expected JSON output of tests/cli, satisfies it,
- such a result with a required key less, a number as text or a share beyond 1 fails it,
- every key that was seen stands in docs/output.md.
"""
import concurrent.futures, copy, glob, json, os, re, shutil, subprocess, sys, tempfile
from jsonschema import Draft202012Validator

os.chdir(os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__)))))
PROGRAM = os.path.realpath(os.environ["BALLASTRY"])
faults, good, refused = [], 0, 0
schema = json.load(open("docs/output.schema.json", encoding="utf-8"))
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
of = {name: Draft202012Validator({"$defs": schema["$defs"], "$ref": "#/$defs/" + name}) for name in schema["$defs"]}

WORK = tempfile.mkdtemp()
EXAMPLES = sorted(glob.glob("examples/*.json"))
EVERY = 1 if os.environ.get("FULL") else 3  # each command meets every third example, other ones each
RUNS = [[command, example] + more for i, example in enumerate(EXAMPLES) for k, (command, more) in enumerate((
    ("rest", ["--waters", "--tow"]), ("fit", ["--rigs", "2"]), ("tow", ["--speed", "1 m/s"]),
    ("tank", ["--scale", "8.0 g", "--balance", "40 mm", "--anyway"]),
    ("sheet", ["-o", f"{WORK}/{os.path.basename(example)}.svg"]),
    ("pour", ["--filler", "0.2 g/cm3", "--target", "0.75 g/cm3", "--stirred", "--by-weight", "2:1", "--cured", "1.05 g/cm3"]))) if (i + k) % EVERY == 0]
RUNS += [
    ["swap", "examples/sinker-swap.json", "--at", "belly.hook=treble-8-fine"],
    ["swap", "examples/finished-minnow.json", "--at", "belly.hook=none", "--at", "belly.ring=none"],
    ["fit", "--finished", "examples/sinker-swap.json"],
    ["fit", "examples/larch-minnow.json", "--surest", "--rigs", "1", "--box", "examples/drawer.csv"],
    ["rest", "examples/larch-minnow.json", "--waters", "--salt", "20 g/kg"],
    ["tank", "examples/cedar-floater.json", "--stage", "blank", "--scale", "5.91 g", "--shows", "63.5 %"],
    ["pour", "--mould", "240 ml", "--filler", "0.2 g/cm3", "--packed", "60 %", "--by-weight", "100:90", "--resin", "epoxy"],
    ["sheet", "examples/larch-minnow.json", "-o", WORK + "/body.stl"], ["sheet", "examples/mesh-minnow.json", "-o", WORK + "/mesh.stl"],
    ["catalog"], ["catalog", "materials"], ["catalog", "check"], ["catalog", "--kind", "wire"],
    ["catalog", "box", "examples/finished-minnow.json", "--box", "examples/drawer.csv"],
]


def fault(text):
    faults.append(text)


def why(tree):
    """The first thing that is wrong with it, by its own command's schema."""
    name = tree.get("command") if isinstance(tree, dict) else None
    name = {"tow": "tow_result"}.get(name, name)
    errors = list((of[name] if name in of else validator).iter_errors(tree))
    return f"/{'/'.join(map(str, errors[0].absolute_path))}: {errors[0].message[:160]}" if errors else "no such result"


def check(tree, what):
    global good
    if validator.is_valid(tree):
        good += 1
    else:
        fault(f"{what}: {why(tree)}")


def run(words):
    done = subprocess.run([PROGRAM] + words + ["--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=600)
    return done.stdout.decode("utf-8"), done.stderr.decode("utf-8", "replace")


seen = {}  # key -> where it was seen first


def walk(tree, where):
    if isinstance(tree, dict):
        by_seat = re.search(r"/(parts|parts_before|parts_after|influence_of_100_mg|leader)$", where)
        for key, value in tree.items():
            if not by_seat:
                seen.setdefault(key, where)
            walk(value, f"{where}/{key}")
    elif isinstance(tree, list):
        for one in tree:
            walk(one, where + "[]" if not where.endswith("[]") else where)


def results():
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for words, (out, err) in zip(RUNS, pool.map(run, RUNS)):
            if out == "":
                fault(f"{' '.join(words)}: printed nothing: {err.strip()[:160]}")
            else:
                yield " ".join(words), json.loads(out)
    new = subprocess.run([PROGRAM, "new", "starter", "--displaced", "10.1g", "--length", "88mm", "--width", "14mm", "--height",
                          "17mm", "--scale", "5.6g", "--json"], cwd=WORK, stdout=subprocess.PIPE, check=True)
    yield "new", json.loads(new.stdout)
    for line in open("tests/cli/cases.txt", encoding="utf-8"):
        name, _, rest = line.partition("|") if not line.startswith("#") else ("", "", "")
        words = rest.partition("|")[2].split()
        text = open(f"tests/cli/expected/{name.strip(' +')}.out", encoding="utf-8").read() if rest else ""
        if text and "--json" in words:
            yield name.strip(' +'), json.loads(text)
        elif "--lines" in words:
            for number, one in enumerate(text.splitlines()):
                yield f"{name.strip(' +')}, line {number + 1}", json.loads(one)


def spoilt(tree, path=()):
    """The tree made wrong in one way, again and again: a number as text, a share beyond 1."""
    items = tree.items() if isinstance(tree, dict) else enumerate(tree[:1])
    for key, value in items:
        if isinstance(value, (dict, list)):
            yield from spoilt(value, path + (key,))
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield path + (key,), "x"
            if str(key).startswith(("share", "chance")):
                yield path + (key,), 1.5


first = {}
for what, tree in results():
    check(tree, what)
    walk(tree, tree.get("command", "line") if isinstance(tree, dict) else "")
    if isinstance(tree, dict) and "command" in tree:
        first.setdefault(tree["command"], tree)

for command, tree in first.items():
    name = {"tow": "tow_result"}.get(command, command)
    for key in schema["$defs"][name]["required"]:
        less = {k: v for k, v in tree.items() if k != key}
        refused += 1
        if of[name].is_valid(less):
            fault(f"{command} without {key} is taken for good")
    for path, value in spoilt(tree):
        wrong = copy.deepcopy(tree)
        at = wrong
        for step in path[:-1]:
            at = at[step]
        at[path[-1]] = value
        refused += 1
        if of[name].is_valid(wrong):
            fault(f"{command}: {'/'.join(map(str, path))} as {value} is taken for good")

page = open("docs/output.md", encoding="utf-8").read().partition("## Renamed")[0]
named = set(re.findall(r"`([A-Za-z_][A-Za-z0-9_]*)(?:\[\])?`", page))
stems = {key[: -len("UNIT")] for key in named if key.endswith("_UNIT")}
for key, where in sorted(seen.items()):
    stem = re.sub(r"_(mm_s|g_cm3|g_kg|ppm_k|percent|factor|g|mm|deg|c)$", "_", key)
    if key not in named and stem not in stems:
        fault(f"docs/output.md does not name {key} ({where})")
    else:
        good += 1
if refused < 300:
    fault(f"only {refused} wrong results were looked at")
shutil.rmtree(WORK)
for text in faults:
    print("FAILED: " + text)
print(f"keys: {len(seen)} keys, {refused} results made wrong")
print(f"keys: {good} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
