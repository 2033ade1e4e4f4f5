#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# One chance, one number: every command that tells how likely a lure meets its target as built tells the same one, to the last digit
# of its JSON, in text and drawings rounded alike. The examples and three starters; of each rest, swap (before; and after, as rest
# has it of the build it writes), sheet, tank (as rest has it of the build it writes), mend, tow, fit and the page (FULL=1; else every second). And no reading
# leaves a lure less sure than none, no tank test less sure than none by more than a hundredth (trims may spoil a lure by a reading's
# error; that two samples differ may not).
set -u
cd "$(dirname "$0")/../.."
export BALLASTRY; BALLASTRY=$(realpath "${BALLASTRY:?the program to test}")
exec /usr/bin/python3 - <<'PYTHON'
import glob, http.client, json, math, os, re, shutil, subprocess, tempfile
prog, top = os.environ["BALLASTRY"], os.getcwd()
work = tempfile.TemporaryDirectory()
os.environ.update(XDG_DATA_HOME=work.name + "/data", XDG_CONFIG_HOME=work.name + "/config")
shutil.copytree(top + "/examples", work.name + "/examples")
os.chdir(work.name + "/examples") # what is written lies beside the drawings that it names
passed = failed = 0

def check(good, what):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print("FAILED:", what)

def run(*words):
    return subprocess.run([prog, *words], capture_output=True, text=True)

def tree(*words):
    done = run(*words, "--json")
    return json.loads(done.stdout) if done.stdout else {}

def in_100(chance):
    return str(math.floor(100 * chance + 0.5))

def told(what, chance, found):
    check(found == chance, f"{what}: {found}, rest says {chance}")

def said(what, chance, pattern, text):
    found = re.search(pattern, re.sub(r"\s+", " ", text))
    check(found and found[1] == in_100(chance), f"{what}: {found and found[1]}, rest says {in_100(chance)} in 100")

def chance_of(build):
    return tree("rest", build)["spread"]["chance"]

def swapped(build):
    for seat, held in json.load(open(build))["fitted"].items():
        for hook in ("treble-6-fine", "treble-8-fine", "treble-4-medium"):
            if held.get("hook") not in (None, hook):
                swap = tree("swap", build, "--at", f"{seat}.hook={hook}", "--write", "swapped.json")
                if "spread" in swap:
                    return swap["spread"]
    return None

def look(name, build):
    rest = tree("rest", build)
    chance, plan = rest["spread"]["chance"], rest["reserve"]["chance_after_tests"]
    after = rest["next_reading"]
    told(f"{name}: reserve", chance, plan[0])
    for k in range(1, len(plan)):
        check(plan[k] >= plan[0] - 0.01, f"{name}: {plan[k]} after {k} tests, {plan[0]} before")
    for act in after["looked_at"] + ([after["best"]] if "best" in after else []):
        check(act["chance"] >= after["chance"], f"{name}: {act['act']}: {after['chance']} becomes {act['chance']}")
    text = run("rest", build).stdout
    said(f"{name}: rest in text", chance, r"right first time:? (\d+)", text)
    for view in ("chance", "page"):
        run("sheet", build, "-o", "drawn.svg", "--view", view)
        drawn = sorted(glob.glob("drawn*.svg"))
        svg = re.sub(r"<[^>]*>", " ", "".join(open(file).read() for file in drawn))
        said(f"{name}: sheet, {view}", chance, r"wanted\. (\d+) of 100 meet", svg)
        if view == "page":
            said(f"{name}: the sheet's words", chance, r"(?<!wanted\. )\b(\d+) of 100 meet the target(?: in every water)? before", svg)
        for file in drawn:
            os.remove(file)
    swap = swapped(build)
    if swap:
        told(f"{name}: swap, before", chance, swap["chance_before"])
        told(f"{name}: swap, after", chance_of("swapped.json"), swap["chance_after"])
        gain = swap["share_mended"] - swap["share_spoilt"]
        check(abs(gain - swap["chance_after"] + swap["chance_before"]) < 1e-8, f"{name}: swap's shares")
        os.remove("swapped.json")
    tank = tree("tank", build, "--scale", f"{rest['outcome']['mass_g']:.2f} g", "--write", "read.json")
    if "reserve" in tank:
        told(f"{name}: tank", chance_of("read.json"), tank["reserve"]["chance_after_tests"][0])
    if os.path.exists("read.json"):
        if tank["unfinished"]: # nothing is told to be done to it
            check(run("mend", "read.json").returncode == 3, f"{name}: mend of what is unfinished")
        else:
            told(f"{name}: mend of what was read", chance_of("read.json"), tree("mend", "read.json").get("chance_now"))
        os.remove("read.json")
    mend = tree("mend", build)
    if "chance_now" in mend:
        told(f"{name}: mend", chance, mend["chance_now"])
        said(f"{name}: mend in text", chance, r"on target(?: as it is)?: (\d+) in 100", run("mend", build).stdout)
        if run("mend", build, "-o", "mended.json").returncode == 0 and os.path.exists("mended.json"):
            # what is written is rounded as a maker reads it: two lures of 16384
            after = chance_of("mended.json")
            check(abs(after - mend["chance_after"]) < 2.5 / 16384, f"{name}: mend, after: {mend['chance_after']}, rest says {after}")
            os.remove("mended.json")
    cures = tree("tow", build, "--cures", "porpoises")
    if "cures" in cures:
        told(f"{name}: cures", chance, cures["cures"]["as_it_is"]["chance"])
    return chance

def fit(name, build):
    found = tree("fit", build, "--rigs", "1", "--write", "fitted.json")
    if not found.get("rigs") or "reserve" not in found["rigs"][0] or not os.path.exists("fitted.json"):
        return
    told(f"{name}: fit", chance_of("fitted.json"), found["rigs"][0]["reserve"]["chance_after_tests"][0])
    look(f"{name}, as fit has it", "fitted.json")
    os.remove("fitted.json")

class Page:
    def __enter__(self):
        self.server = subprocess.Popen([prog, "bench", ".", "--no-open"], stdout=subprocess.PIPE, text=True)
        self.host, self.key = re.fullmatch(r"http://(.*)/#(.*)", self.server.stdout.readline().strip()).groups()
        return self
    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()
    def ask(self, route, build):
        line = http.client.HTTPConnection(self.host, timeout=120)
        line.request("POST", "/api/" + route, json.dumps({"build": open(build).read()}),
                     {"Origin": "http://" + self.host, "X-Bench-Token": self.key, "Content-Type": "application/json"})
        return json.loads(line.getresponse().read())

every = 1 if os.environ.get("FULL") else 2
starters = [("a minnow", "--body", "minnow"), ("a short one", "--body", "short", "--material", "beech"), ("a stick", "--body", "stick")]
for number, (name, *words) in enumerate(starters[::every]):
    run("new", f"starter-{number}", *words)
    fit(name, f"starter-{number}.json")
chances = {}
for number in range(len(starters[::every])):
    os.remove(f"starter-{number}.json")
fitted = [build for build in sorted(glob.glob("*.json")) if json.load(open(build)).get("fitted")]
paged = ("sinker-swap.json", "finished-minnow.json", "light-by-design.json")
for number, build in enumerate(fitted):
    if number % every == 0 or build in paged:
        chances[build] = look(build, build)
fit("larch-minnow.json", "larch-minnow.json")
for limit in ("1 ms", "20 s"): # stopped too, what a mend is told with is what its plan says of it
    found = tree("fit", "finished-minnow.json", "--finished", "--time-limit", limit)
    check(found.get("stopped", False) == (limit == "1 ms"), f"fit --finished within {limit}: stopped or not")
    for mend in found["rigs"]:
        told(f"fit --finished within {limit}", mend["reserve"]["chance_after_tests"][mend["reserve"]["tests"]], mend["chance"])
check(sum(chance > 0 for chance in chances.values()) >= 3, "some of the examples are met as built")
with Page() as page:
    for build in paged:
        told(f"{build}: the page", chances[build], page.ask("sure", build).get("spread", {}).get("chance"))
        told(f"{build}: the page's plan", chances[build], page.ask("sure", build).get("reserve", {}).get("chance_after_tests", [None])[0])
        told(f"{build}: the page's mend", chances[build], page.ask("mend", build).get("chance_now"))
print(f"chance: {passed} passed, {failed} failed")
raise SystemExit(failed > 0 or passed < 120)
PYTHON
