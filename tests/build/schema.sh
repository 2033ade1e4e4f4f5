#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# docs/build.schema.json against the builds of tests and examples, with a general-purpose validator
# (Debian python3-jsonschema). Run from the top folder. Checks that
# - the schema is a schema (JSON Schema 2020-12),
# - every good file and every example satisfies it,
# - every bad file fails it, save those whose row in bad.csv says that only the reader can tell,
# - every place named in bad.csv is a place of its file,
# - every unit of solver/units/unit_table.c is a unit of the schema too.
set -eu
exec /usr/bin/python3 - <<'PYTHON'
import csv, glob, json, re, sys
from jsonschema import Draft202012Validator

faults = 0
def fault(text):
    global faults
    faults += 1
    print("schema.sh: " + text)

def once(pairs):  # a doubled key is no data at all for a schema
    keys = [k for k, _ in pairs]
    if len(set(keys)) != len(keys):
        raise ValueError("doubled key")
    return dict(pairs)

def strict(text):
    def no(name):
        raise ValueError(name + " is not JSON")
    return json.loads(text, object_pairs_hook=once, parse_constant=no)

schema = json.load(open("docs/build.schema.json", encoding="utf-8"))
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)

good = sorted(glob.glob("tests/build/good/*.json") + glob.glob("examples/*.json"))
for name in good:
    for e in validator.iter_errors(strict(open(name, encoding="utf-8").read())):
        fault(f"{name}: /{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}")

rows = list(csv.DictReader(open("tests/build/bad.csv", encoding="utf-8")))
files = sorted(glob.glob("tests/build/bad/*.json"))
if sorted(f"tests/build/bad/{r['file']}.json" for r in rows) != files:
    fault("bad.csv and the files in bad/ do not match")
for row in rows:
    name = f"tests/build/bad/{row['file']}.json"
    try:
        data = strict(open(name, encoding="utf-8").read())
        place = data
        for step in row["where"].split("/")[1:]:
            step = step.replace("~1", "/").replace("~0", "~")
            try:
                place = place[int(step) if isinstance(place, list) else step]
            except (KeyError, IndexError, TypeError):
                fault(f"{name}: there is no {row['where']}")
                break
        refused = "schema" if next(validator.iter_errors(data), None) else "reader"
    except (ValueError, RecursionError):
        refused = "text"
    if refused != row["refused_by"]:
        fault(f"{name}: refused by {refused}, the table says {row['refused_by']}")

DIMENSIONS = {"LENGTH": "length", "MASS": "mass", "VOLUME": "volume", "DENSITY": "density",
              "TEMPERATURE": "temperature", "TEMPERATURE_STEP": "temperature-step",
              "SALINITY": "salinity", "RATIO": "share", "EXPANSION": "expansion",
              "STRESS": "stress", "SPEED": "speed", "ANGLE": "angle"}
units = 0
table = open("solver/units/unit_table.c", encoding="utf-8").read()
for dimension, rest in re.findall(r"\{BLY_DIM_(\w+),(.*?\})\}", table, re.S):
    texts = [t.replace('\\"', '"') for t in re.findall(r'"((?:\\.|[^"\\])*)"', rest)]
    names = texts[:1] + re.findall(r'"((?:\\.|[^"\\])*)"', rest[rest.rindex("{"):])
    if dimension not in DIMENSIONS:
        continue
    pattern = schema["$defs"]["text-" + DIMENSIONS[dimension]]["pattern"]
    for unit in names:
        unit = unit.replace('\\"', '"')
        units += 1
        if not re.search(pattern, "3 " + unit):
            fault(f"unit \"{unit}\" ({dimension}) is not in the schema")
if units < 100:
    fault(f"only {units} units found in solver/units/unit_table.c")

if faults == 0:
    print(f"schema.sh: {len(good)} good files, {len(rows)} bad ones, {units} units: as they should be")
sys.exit(1 if faults else 0)
PYTHON
