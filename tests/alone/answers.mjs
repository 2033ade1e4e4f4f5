// SPDX-License-Identifier: GPL-3.0-or-later
// Every example through every route, as the program answers and as the page as one file does: equal to the byte
// but for numbers that are zero up to rounding and the last of nine printed digits, which the C libraries' own
// exp, sin and the like decide; and, told with the number of cases at the end, what hangs on such a bit further on.
// Then what only the latter does: a search stopped, figures while it runs, files told as changed. Arguments: the
// program, where the file was built.
import { readFileSync, readdirSync } from "node:fs";
import { alone, check, native, searched, tally, unlike, unlikeSolids } from "./kit.mjs";

const [program, built] = process.argv.slice(2);
// 1e-9 of mm, g, deg or cm/s is nothing that anyone could see.
const ZERO = 1e-9;
const LAST_DIGIT = 1.1e-8;
// A least-squares search ends where a step is small, not where it is nothing.
const TANK = 5e-3;
const TANK_APART = 1e-5; // of standard deviations, or of the units of JSON
const SOLID = 1e-4; // of its volume, in single precision
const examples = "examples";
let further = 0; // cases that hang on a last bit further on
let searches = 0;
const there = await native(program, examples);
const here = await alone(built, examples);

// Of two corners of a part that are equally near, a label's line takes either, by a last bit.
const leadless = (text) => text.replace(/<path class="lead"[^>]*>/g, "");

async function same(name, route, body, units = null, share = LAST_DIGIT) {
  const [want, got] = [await there.ask(route, body, units), await here.ask(route, body, units)];
  if (want.status !== got.status) check(name, `status ${got.status}, not ${want.status}: ${got.text}`);
  else if (want.pages !== got.pages) check(name, `${got.pages} pages, not ${want.pages}`);
  else if (body.format === "stl" && want.status === 200) check(name, unlikeSolids(want.bytes, got.bytes, SOLID));
  else if (route === "sheet") check(name, unlike(leadless(want.text), leadless(got.text), ZERO, share));
  else check(name, unlike(want.text, got.text, ZERO, share, route === "tank" ? TANK_APART : 0));
  return want.status === 200 && route !== "sheet" ? JSON.parse(want.text) : want;
}

// Candidates of a search at the edge of a grid, and rigs at the edge of what is looked through, may fall to either
// side by a last bit; the rigs that are found may not.
const COUNTED = /"(candidates|rigs)":\d+/g;
const MOST_APART = 2;
// Of the 2048 lures of a plan one that lies on an edge may fall to either side, too.
const TESTED = /"chance_after_tests":\[[^\]]*\]/g;
const A_LURE = 1.01 / 2048;
const chances = (text) => (text.match(TESTED) ?? []).flatMap((words) => JSON.parse(words.split(":")[1]));
function sameSearch(name, want, got) {
  const [a, b] = [want.text, got.text].map((text) => text.match(COUNTED) ?? []);
  const [sure, other] = [want.text, got.text].map(chances);
  const off = sure.map((chance, i) => Math.abs(chance - other[i]));
  if (sure.length !== other.length || off.some((by) => !(by <= A_LURE))) return check(name, `chances ${other}, not ${sure}`);
  const number = (words) => Number(/\d+/.exec(words)[0]);
  const apart = a.length === b.length && a.every((words, i) => Math.abs(number(words) - number(b[i])) <= MOST_APART);
  searches++;
  if (a.join() !== b.join() || off.some((by) => by > 0)) further++;
  const uncounted = (text) => text.replace(COUNTED, "").replace(TESTED, "");
  check(name, apart ? unlike(uncounted(want.text), uncounted(got.text), ZERO, LAST_DIGIT) : `${b}, not ${a}`);
}

// What a scale, a watch and an eye might read of this lure.
function readingsOf(rest) {
  const { outcome } = rest;
  const drift = outcome.drift_mm_s;
  return [
    { kind: "scale", text: `${(outcome.mass_g * 1.01).toFixed(2)} g` },
    { kind: drift > 0 ? "sinks" : "rises", text: `60 cm in ${(600 / Math.max(5, Math.abs(drift) * 1.05)).toFixed(1)} s` },
    { kind: "tilts", text: `${(outcome.nose_down_deg + 1).toFixed(0)} deg` },
  ];
}
const views = ["page", "side", "outlines", "curves", "chance", "tow", "influence"];

async function build(name, text) {
  const rest = await same(`rest of ${name}`, "rest", { build: text });
  await same(`rest of ${name} in inches`, "rest", { build: text }, "inch");
  await same(`sure of ${name}`, "sure", { build: text });
  const doc = JSON.parse(text);
  for (const [seat, { kind }] of Object.entries(doc.seats ?? {})) {
    for (const part of kind === "slot" ? ["sheet"] : ["eye", "ring", "hook"])
      await same(`mountable on ${seat} of ${name}`, "mountable", { build: text, seat, kind: part });
    if (kind !== "hanger") continue;
    await same(`swap at ${seat} of ${name}`, "swap", { build: text, seat, kind: "hook", id: "treble-8-fine" });
  }
  if (rest.outcome) {
    const readings = readingsOf(rest);
    await same(`tank of ${name}`, "tank", { build: text, readings, anyway: true }, null, TANK);
    await same(`tank of ${name}'s blank`, "tank", { build: text, readings: readings.slice(0, 1), stage: "blank" }, null, TANK);
  }
  await same(`pour of ${name}`, "pour", { build: text, asked: { stirred: true } });
  for (const view of views) {
    const drawn = await same(`${view} of ${name}`, "sheet", { build: text, view, format: "svg" });
    for (let number = 2; number <= (drawn.pages ?? 0); number++)
      await same(`${view} of ${name}, page ${number}`, "sheet", { build: text, view, format: "svg", number });
  }
  await same(`body of ${name} to print`, "sheet", { build: text, format: "stl" });
  if (!rest.parts) return;
  for (const rank of ["on-paper", ...(process.env.FULL || /larch|light/.test(name) ? ["surest", "finished"] : [])]) {
    const order = { build: text, rank };
    const [want, got] = [await searched(there, order), await searched(here, order)];
    if (want.status === 200 && got.status === 200) sameSearch(`fit of ${name}, ${rank}`, want, got);
    else check(`fit of ${name}, ${rank}`, want.text === got.text ? null : got.text);
  }
}

// What the water taught is a least-squares search too.
async function onTheLine(name, text) {
  await same(`tow of ${name}`, "tow", { build: text, speeds: ["0.8 m/s"], line: "20 m of 0.25 mm" });
  for (const saw of ["porpoises", "rolls-over"]) await same(`cures of ${name}, ${saw}`, "cures", { build: text, saw });
  const readings = [{ kind: "ran-deep", text: "1.3 m at 1 m/s" }];
  await same(`water of ${name}`, "water", { build: text, readings, on: "2031-02-03" }, null, TANK);
}

for (const route of ["catalog", "bodies"]) await same(route, route, {});
for (const file of readdirSync(examples).filter((name) => name.endsWith(".json")))
  await build(file, readFileSync(`${examples}/${file}`, "utf8"));
for (const { id, build: text } of JSON.parse((await there.ask("bodies", {})).text).bodies) await build(id, text);
check(`${searches} searches compared`, searches >= 10 ? null : "too few");
for (const name of ["finished-minnow", "board-lip"]) await onTheLine(name, readFileSync(`${examples}/${name}.json`, "utf8"));
for (const name of ["finished-minnow", "sinker-swap", "light-by-design"])
  await same(`mend of ${name}`, "mend", { build: readFileSync(`${examples}/${name}.json`, "utf8") });

// Files: the same answers, and what the page has to keep.
const larch = readFileSync(`${examples}/larch-minnow.json`, "utf8");
await same("list", "list", {});
await same("open", "open", { name: "larch-minnow.json" });
await same("a name that leads out", "open", { name: "../larch-minnow.json" });
check("nothing is told as changed at first", here.engine.changes().size);
await same("draft", "draft", { name: "new.json", build: "{}" });
await same("list with a draft", "list", {});
await same("draft opened", "draft-open", { name: "new.json" });
check("a draft is told", here.engine.changes().has("builds/.new.json.draft") ? null : "not told");
await same("saved over another", "save", { name: "larch-minnow.json", build: larch, was: null });
await same("saved", "save", { name: "new.json", build: larch, was: null, draft: "new.json" });
{
  const changes = here.engine.changes();
  check("a saved file is told", changes.get("builds/new.json")?.bytes ? null : "not told");
  check("a draft that went is told", changes.get("builds/.new.json.draft")?.bytes === null ? null : "not told");
  check("no other", changes.size === 2 ? null : [...changes.keys()].join(" "));
}
// Names, shapes brought in, box and book: what these write is told, and counts from then on.
const told = (name, ...paths) => {
  const changes = here.engine.changes();
  check(`told: ${name}`, paths.every((path) => changes.has(path)) && changes.size === paths.length ? null : [...changes.keys()].join(" ") || "nothing");
};
const now = JSON.parse((await there.ask("open", { name: "new.json" })).text).build;
await same("renamed", "rename", { name: "new.json", to: "newer.json", was: now });
told("renamed", "builds/new.json", "builds/newer.json");
await same("renamed over another", "rename", { name: "newer.json", to: "larch-minnow.json", was: now });
await same("deleted, but not as read", "delete", { name: "newer.json", was: "{}" });
await same("deleted", "delete", { name: "newer.json", was: now });
told("deleted", "builds/newer.json", "builds/newer.json~");
const widths = "x,diameter\n0,0\n20,14\n60,3\n";
const shaped = JSON.stringify({ ballastry: 1, name: "s", body: { stations: "list.csv", material: "larch" }, seats: {} });
await same("a shape", "import", { name: "list.csv", base64: btoa(widths), build: shaped });
told("a shape", "builds/list.csv");
await same("a lure of that shape", "rest", { build: shaped });
await same("a shape that does not read", "import", { name: "list.csv", base64: btoa("foo"), build: shaped });
await same("a shape that leads out", "import", { name: "../list.csv", base64: btoa(widths), build: shaped });
const swap = readFileSync(`${examples}/sinker-swap.json`, "utf8");
const before = (await here.ask("rest", { build: swap })).text;
await same("no box", "box", { build: swap });
await same("a hook weighed", "box-put", { was: null, line: { id: "treble-6-medium", mass: "0.6 g", weighed: "5", count: "9" } });
told("a hook weighed", "builds/box.csv");
await same("what it weighs counts", "rest", { build: swap });
check("and is another lure", before === (await here.ask("rest", { build: swap })).text ? "the same" : null);
await same("the box", "box", { build: swap });
await same("parts", "catalog", {});
await same("a box that does not read", "box-save", { was: JSON.parse((await there.ask("box", {})).text).was, text: "id\nno-such-part\n" });
await same("a box of another time", "box-save", { was: "", text: "id\n" });
await same("book", "book", {});
await same("book off", "book-switch", { off: true });
told("book", "data/ballastry/book.json", "data/ballastry/book.json.lock");
await same("book on", "book-switch", { off: false });
here.engine.changes();
const weighed = [{ kind: "scale", text: "12.4 g" }];
const finished = readFileSync(`${examples}/finished-minnow.json`, "utf8");
await same("a lure into the book", "tank", { build: finished, readings: weighed, anyway: true, keep: true }, null, TANK);
{
  const changes = here.engine.changes();
  check("told: a lure into the book", changes.has("data/ballastry/book.json") ? null : [...changes.keys()].join(" "));
}
await same("the book has it", "book", {}, null, TANK);
await same("what the book says counts", "sure", { build: finished }, null, TANK);
await same("forgotten", "book-forget", { lure: JSON.parse(finished).name }, null, TANK);
await same("no such lure", "book-forget", { lure: "none" });
await same("no such route", "none", {});
await same("no JSON object", "rest", []);
await same("a foreign member", "rest", { build: larch, more: 1 });
await same("a build that is none", "rest", { build: "{" });
await same("too large", "rest", { build: "x".repeat(1 << 20) });
await same("deep", "rest", { build: "[".repeat(100000) });
check(
  "PDF is said to need the program",
  /need the program/.test((await here.ask("sheet", { build: larch, format: "pdf" })).text) ? null : "not said",
);

// A search that goes on for a while is stopped with the best so far, and figures are had meanwhile.
{
  const long = readFileSync(`${examples}/cedar-floater.json`, "utf8");
  const { job } = JSON.parse((await here.ask("fit-start", { build: long, page: "test", rank: "surest", rigs: 10 })).text);
  let look;
  do look = JSON.parse((await here.ask("fit-look", { job, wait_ms: 50 })).text);
  while (look.state === "running" && look.rigs < 10);
  check("figures while a search runs", (await here.ask("rest", { build: larch })).status === 200 ? null : "none");
  check("a search is heard of while it runs", look.state === "running" ? null : look.state);
  const over = JSON.parse((await here.ask("fit-stop", { job })).text);
  check("a search is stopped", over.state === "stopped" ? null : over.state);
  check("with the best so far", over.answer?.rigs?.length > 0 ? null : "no rig");
  const again = await searched(here, { build: larch });
  sameSearch("the next one is whole", await searched(there, { build: larch }), again);
  const first = JSON.parse((await here.ask("fit-start", { build: long, page: "test", rank: "surest" })).text).job;
  const second = JSON.parse((await here.ask("fit-start", { build: larch, page: "test" })).text).job;
  check("a new search ends the one before", JSON.parse((await here.ask("fit-look", { job: first })).text).state === "stopped" ? null : "it runs on");
  let state;
  do ({ state } = JSON.parse((await here.ask("fit-look", { job: second, wait_ms: 1000 })).text));
  while (state === "running");
  check("and ends well itself", state === "done" ? null : state);
}
there.stop();
console.log(`candidates or rigs looked through counted otherwise: ${further} of ${searches} searches`);
tally("the page as one file against the program");
