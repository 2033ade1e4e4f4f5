#!/usr/bin/env bash
# The shipped catalog satisfies docs/catalog.schema.json, and each file that is wrong in one way fails it
# (JSON Schema 2020-12, checked by the general-purpose validator of Debian's python3-jsonschema).
# Run from the top folder. Exit 0 when all of it holds.
set -u
[ -x /usr/bin/python3 ] && /usr/bin/python3 -c 'import jsonschema' 2>/dev/null || {
    echo "python3-jsonschema is not installed: run 'make setup' first" >&2; exit 2; }
exec /usr/bin/python3 - "$@" <<'PYTHON'
import copy, glob, json, sys
from jsonschema import Draft202012Validator, RefResolver

def load(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)

schema = load("docs/catalog.schema.json")
Draft202012Validator.check_schema(schema)
build = load("docs/build.schema.json")  # says what a quantity is, for both
resolver = RefResolver("ballastry:catalog", schema, store={"ballastry:build": build})
validator = Draft202012Validator(schema, resolver=resolver)
faults = 0

def expect(good, document, what):
    global faults
    errors = list(validator.iter_errors(document))
    if good == (not errors):
        return
    faults += 1
    print(f"{what}: {'is refused: ' + errors[0].message[:200] if errors else 'is taken for good'}")

shipped = sorted(glob.glob("catalog/*.json"))
documents = [load(path) for path in shipped]
records = 0
for path, document in zip(shipped, documents):
    expect(True, document, path)
    records += len(document.get("materials", [])) + len(document.get("parts", []))

materials = [m for d in documents for m in d.get("materials", [])]
parts = [p for d in documents for p in d.get("parts", [])]
first = {}  # one part of each kind, and one material with an expansion
for part in parts:
    first.setdefault(part["kind"], part)
material = next(m for m in materials if "expansion" in m)

def one(list_name, record):
    return {"ballastry_catalog": 1, list_name: [record]}

bad = 0
def refuse(document, what):
    global bad
    bad += 1
    expect(False, document, what)

required = {"eye": "style wire outer bore length mass", "ring": "size wire outer passes mass",
            "hook": "style size wire gape length bore shank mass", "snap": "wire length passes mass",
            "sheet": "material thickness", "outline": "form width lengths", "dot": "outer thickness mass",
            "strip": "material thickness width length", "wire": "material wire mass_per_m"}
lengths = "wire outer bore length shank gape passes thickness thinnest width root_width".split()
for kind, part in first.items():
    expect(True, one("parts", part), f"first {kind}")
    for key in ("id name origin source " + required[kind]).split():
        changed = {k: v for k, v in part.items() if k != key}
        if key.startswith("mass"):  # only a model can do without
            changed["origin"] = "measured"
        refuse(one("parts", changed), f"{kind} without {key}")
    refuse(one("parts", {**part, "colour": "red"}), f"{kind} with an unknown key")
    refuse(one("parts", {**part, "id": "Not An Id"}), f"{kind} with a bad id")
    refuse(one("parts", {**part, "origin": "guess"}), f"{kind} with an unknown origin")
    for key in lengths:
        if key in part:
            for value in ("3 g", "", "-1 mm", "wide", "nan", None, True, -1, ["1 mm"]):
                refuse(one("parts", {**part, key: value}), f"{kind} with {key} {value!r}")
for key in "id name density give origin source expansion_give expansion_source".split():
    refuse(one("materials", {k: v for k, v in material.items() if k != key}), f"material without {key}")
refuse(one("materials", {**material, "density": "5 mm"}), "material with a density in mm")
refuse(one("materials", {**material, "lead": "yes"}), "material with lead as text")
refuse(one("parts", {**first["hook"], "size": "1/"}), "hook of size 1/")
refuse(one("parts", {**first["hook"], "size": "25"}), "hook of size 25")
refuse(one("parts", {**first["ring"], "hook_size": ["6"]}), "ring for one size")
refuse(one("parts", {**first["outline"], "form": "heart"}), "outline of unknown form")
round_lip = next(p for p in parts if p.get("form") == "round")
refuse(one("parts", {k: v for k, v in round_lip.items() if k != "root_width"}), "round lip without root")
refuse(one("parts", {"id": "x"}), "part without kind")
refuse(one("parts", {**first["hook"], "kind": "anchor"}), "part of unknown kind")
refuse(one("materials", {**material, "give": "5 mm"}), "material with a give in mm")
refuse(one("parts", {**first["ring"], "give": "5 mm"}), "ring with a give in mm")
expect(True, one("parts", {**first["ring"], "wire": "1/32 in", "mass": "0.006 oz", "give": 0.01}), "ring in inches")
expect(True, one("parts", {**first["sheet"], "thickness_give": 0}), "sheet whose thickness is sure")
expect(True, one("parts", {**first["strip"], "thickness_give": "0 mm"}), "strip whose thickness is sure")
refuse(one("parts", {**first["hook"], "id": "none"}), "hook called none")
refuse(one("materials", {**material, "id": "none"}), "material called none")
refuse(one("materials", {**material, "density": 650, "give": 50}), "material in kg/m3 without the unit")
refuse({}, "nothing")
refuse({"ballastry_catalog": 2}, "another version")
refuse({"ballastry_catalog": 1, "part": []}, "unknown key at the top")
refuse([], "a list")

if records < 250 or bad < 150:
    faults += 1
    print(f"only {records} records and {bad} bad documents were looked at")
print(f"catalog schema: {records} shipped records, {bad} bad documents, {faults} faults")
sys.exit(1 if faults else 0)
PYTHON
