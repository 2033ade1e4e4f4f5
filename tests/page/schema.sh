#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# docs/bench.schema.json against the running server, with a general-purpose validator (Debian
# python3-jsonschema) and Python's own HTTP client. Checks that
# - the schema is a schema (JSON Schema 2020-12) and speaks of the routes of docs/bench.md's table,
# - every request of tests/fuzz/requests that the server answers satisfies the schema, and so does
#   its answer, refusals too,
# - each such request with a member more, a required one less or one of another kind is refused by
#   the schema and by the server.
set -eu
cd "$(dirname "$0")/../.."
export BALLASTRY=${BALLASTRY:?the program to test}
/usr/bin/python3 -c 'import jsonschema' 2>/dev/null ||
    { echo "skipped: the schema of the page's routes: no python3-jsonschema"; exit 0; }
exec /usr/bin/python3 - <<'PYTHON'
import glob, http.client, json, os, re, shutil, subprocess, sys, tempfile
from jsonschema import Draft202012Validator

faults = 0
def fault(text):
    global faults
    faults += 1
    print("page schema: " + text)

schema = json.load(open("docs/bench.schema.json", encoding="utf-8"))
Draft202012Validator.check_schema(schema)
def of(place):
    return Draft202012Validator({"$defs": schema["$defs"], "$ref": "#/$defs/" + place})

requests = schema["$defs"]["requests"]["$defs"]
replies = schema["$defs"]["replies"]["$defs"]
table = set(re.findall(r"^\| `([a-z-]+)` \|(?: .*)? \| .* \|$", open("docs/bench.md").read(), re.M)) - {"Host"}
if set(requests) != table or set(replies) != table - {"sheet"}:
    fault(f"the schema and docs/bench.md differ: {sorted(set(requests) ^ table)}")

folder = tempfile.mkdtemp()
shutil.copy("examples/sinker-swap.json", folder + "/there.json")
for name in ("old", "gone"):  # to be renamed and deleted
    open(f"{folder}/{name}.json", "w").write("{}\n")
open(folder + "/list.csv", "w").write("x,diameter\n0,0\n20,14\n60,3\n")
server = subprocess.Popen([os.environ["BALLASTRY"], "bench", folder, "--no-open"],
                          stdout=subprocess.PIPE, text=True,
                          env=dict(os.environ, XDG_DATA_HOME=folder + "/data", XDG_CONFIG_HOME=folder + "/config"))
address = server.stdout.readline().strip()
host, token = re.fullmatch(r"http://(.*)/#(.*)", address).groups()
line = http.client.HTTPConnection(host, timeout=120)

def ask(route, body):
    line.request("POST", "/api/" + route, json.dumps(body), {
        "Origin": "http://" + host, "X-Bench-Token": token, "Content-Type": "application/json"})
    reply = line.getresponse()
    data = reply.read()
    return reply.status, json.loads(data) if reply.headers["Content-Type"] == "application/json" else None

def check(place, tree, what):
    for e in list(of(place).iter_errors(tree))[:2]:
        fault(f"{what}: /{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}")

asked = answered = refused = 0
seen = set()
good = []
for name in sorted(glob.glob("tests/fuzz/requests/*")):
    head, _, body = open(name, encoding="utf-8").read().partition("\n\n")
    lines = head.split("\n")
    if len(lines) > 1 or not lines[0].startswith("POST /api/"):
        continue
    good.append((lines[0][len("POST /api/"):], json.loads(body)))
good.sort(key=lambda one: ["draft", "fit-start"].count(one[0]) == 0)  # what others look for first
for route, body in good:
    status, tree = ask(route, body)
    asked += 1
    if status != 200:
        check("refusal", tree, f"{route} {status}")
        continue
    answered += 1
    seen.add(route)
    check("requests/$defs/" + route, body, f"request of {route}")
    if tree is not None:
        check("replies/$defs/" + route, tree, f"answer of {route}")
    needed = requests[route].get("required", [])
    wrong = [dict(body, more=1)] + [{k: v for k, v in body.items() if k != key} for key in needed]
    wrong += [dict(body, **{key: [[]]}) for key in requests[route]["properties"]]
    for other in wrong:
        status, tree = ask(route, other)
        refused += 1
        check("refusal", tree, f"{route} made wrong")
        if status != 422 or of("requests/$defs/" + route).is_valid(other):
            fault(f"{route}: {json.dumps(other)[:100]}: {status}, should be refused by both")
if table - seen - {"draft-open", "book-forget"}:
    fault(f"not one request was answered of {sorted(table - seen)}")
server.terminate()
if server.wait(60) != 0:
    fault("the server did not end well")
shutil.rmtree(folder)
if faults == 0:
    print(f"page schema: {asked} requests, {answered} answered, {refused} made wrong: as they should be")
sys.exit(1 if faults else 0)
PYTHON
