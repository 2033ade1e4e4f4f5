// SPDX-License-Identifier: GPL-3.0-or-later
// Puts the page together: every change of the build is shown, worked out anew and kept.
import { Alive } from "./alive.js";
import { ask, isGone, ofDisk, Refusal, tokenNow, useToken } from "./ask.js";
import { $, button, make } from "./dom.js";
import { figures, headline, influence, notes, off, verdict } from "./answer_view.js";
import { BodyPanel } from "./body_panel.js";
import { BookPanel } from "./book_panel.js";
import { BoxPanel } from "./box_panel.js";
import { Bring } from "./bring.js";
import { CuresPanel } from "./cures_panel.js";
import { Drafts } from "./drafts.js";
import { clearFaults, placeWords, showFault } from "./faults.js";
import { FileDeeds } from "./file_deeds.js";
import { Files } from "./files.js";
import { Live } from "./live.js";
import { Mend } from "./mend.js";
import { Picker } from "./picker.js";
import { Picture } from "./picture.js";
import { RigsPanel } from "./rigs_panel.js";
import { SeatsPanel } from "./seats_panel.js";
import { SheetPanel } from "./sheet_panel.js";
import { isLikely, Odds } from "./odds.js";
import { askTabs } from "./other_tabs.js";
import { PourPanel } from "./pour_panel.js";
import { Stages } from "./stages.js";
import { State } from "./state.js";
import { Sure } from "./sure.js";
import { TankPanel } from "./tank_panel.js";
import { TargetPanel } from "./target_panel.js";
import { Tabs } from "./tabs.js";
import { TowPanel } from "./tow_panel.js";
import { Units } from "./units.js";
import { WhatIf } from "./what_if.js";

const bench = new State(heard);
const drafts = new Drafts(bench, tell);
const files = new Files(bench, tell);
const picker = new Picker(bench);
const picture = new Picture($("drawing"), bench, (seat, kind) => picker.open(seat, kind), say);
const sure = new Sure($("sure-bars"), $("sure-text"), bench, {
  five: (act) => inBox(act.part),
  coat: () => inTank("coated", "scale"),
  cup: () => inTank("blank", "in-water"),
  lure: () => inTank("complete", "scale"),
  thread: () => inTank("complete", "in-water"),
});
const box = new BoxPanel($("box"), bench, tell, () => void restocked());
const book = new BookPanel($("box"), tell, () => void restocked());
const panels = {
  body: new BodyPanel($("body"), bench),
  seats: new SeatsPanel($("seats"), bench, (seat, kind) => picker.open(seat, kind)),
  target: new TargetPanel($("target"), bench, (id) => tabs.open(id, true)),
  line: new TowPanel($("line"), bench, tell, (id) => tabs.open(id, true), book),
  cures: new CuresPanel($("cures"), bench, tell, {
    towAsked: () => panels.line.ask.asked,
    open: (id) => tabs.open(id, true),
  }),
};
const rigs = new RigsPanel($("rigs-panel"), bench, tell, preview);
const pour = new PourPanel($("pour"), bench, tell);
const bring = new Bring(bench, files, box, tell);
const deeds = new FileDeeds(bench, files, tell);
files.more = (close) => [
  ...deeds.section(close),
  make("h3", {}, "A file of your own"),
  make(
    "div",
    { class: "row" },
    button("Choose a file…", () => bring.choose(), { id: "bring" }),
    make("span", { class: "hint" }, "a build, a caliper list (.csv), an outline (.svg), a mesh (.stl) or a box; or drop it onto the page"),
  ),
];
const tank = new TankPanel($("tank"), bench, tell, { book, taken: () => mend.ask() });
const mend = new Mend($("tank"), bench, tell);
const sheet = new SheetPanel($("sheet"), bench, tell);
const tabs = new Tabs($("tabs"), (id) => {
  if (id === "tab-sheet") void sheet.draw();
  else if (id === "tab-box") {
    box.opened();
    void book.look();
  } else panels[id.slice("tab-".length)]?.opened?.();
});
// Five of a kind are weighed into the box.
function inBox(part) {
  tabs.open("tab-box");
  box.weigh(part);
}

// A reading that the tank's drawer takes: it opens with the stage and the kind set.
function inTank(stage, kind) {
  tabs.open("tab-tank");
  tank.prepare(stage, kind);
}
const whatIf = new WhatIf($("what-if"), bench, preview);
const stages = new Stages($("stages"), (id) => tabs.open(id, true));
const odds = new Odds($("odds"), bench, judge, sure);
// The parts are others since box or book were changed: what is shown is worked out with those.
async function restocked() {
  try {
    const { units: own } = bench.shelf;
    bench.shelf = { ...(await ask("catalog")), units: own };
    live.want(bench.text);
  } catch (refusal) {
    tell(refusal);
  }
}
const units = new Units($("units"), (system) => {
  sheet.useUnits(system);
  for (const panel of [panels.line, panels.cures]) panel.unitsChanged();
  if (bench.text) live.want(bench.text);
});
const live = new Live(
  (text) => ask("rest", { build: text }),
  answered,
  refused,
  (busy) => $("lies").setAttribute("aria-busy", String(busy)),
);

// What the program, or we, have to say. Text alone is good news, told briefly beside the file's name.
let quiet = 0;
function tell(what) {
  clearTimeout(quiet);
  if (typeof what === "string") {
    hush();
    $("kept").textContent = what;
    quiet = setTimeout(showTools, 4000);
    return;
  }
  if (isGone(what)) {
    alive?.saw(what);
    if (alive) return;
  }
  const words = [placeWords(what.where ?? ""), what.message].filter(Boolean).join(": ");
  $("message").replaceChildren(make("span", {}, words));
  if (ofDisk(what)) $("message").append(...inThisTab());
}

const hush = () => {
  if (!alive?.gone) $("message").replaceChildren();
};

let folder = null; // the mark of the one that this page was opened on
let alive = null;

// The program is gone, or was started anew: the page waits for it and says how it is had again.
function lost(refusal) {
  const words =
    refusal.status === 0
      ? "The program does not answer. Start it again on the same folder: ballastry bench FOLDER"
      : "The program was started anew. Open the address that it printed; this tab then goes on by itself.";
  $("message").replaceChildren(
    make("span", {}, words),
    ...inThisTab(),
    button("Try again", () => alive.look()),
  );
}

async function back() {
  const now = await ask("alive").catch(() => null);
  if (now && folder !== null && now.mark !== folder) {
    $("message").replaceChildren(
      make("span", {}, "Another folder is served here now; what you have cannot be saved there."),
      ...inThisTab(),
    );
    return;
  }
  hush();
  tell("The program is back.");
  live.want(bench.text);
  drafts.again();
}

// The program is gone or the disk takes nothing: the work stays in this tab, and can be taken along.
function inThisTab() {
  return [
    make("span", {}, "What you have is kept in this tab."),
    button("Keep a copy as a file", () => {
      const url = URL.createObjectURL(
        new Blob([JSON.stringify(bench.doc, null, 2)], { type: "application/json" }),
      );
      make("a", { href: url, download: bench.file.name || "lure.json" }).click();
      setTimeout(() => URL.revokeObjectURL(url), 60000);
    }),
  ];
}

function heard(why) {
  if (why === "begin") {
    drafts.begin();
    $("filename").value = bench.file.name;
    $("offers").replaceChildren();
    forget();
  }
  if (why === "edit") void files.setAside();
  if (why === "save") {
    drafts.saved();
    $("filename").value = bench.file.name;
  } else {
    showFields();
    rigs.changed();
    tank.changed();
    mend.changed();
    stages.show(bench.doc);
    live.want(bench.text);
  }
  drafts.changed();
  showTools();
}

// Of the lure that was left, nothing stays on the page under the name of the one that comes.
function forget() {
  bench.answer = null;
  odds.forget();
  for (const id of ["lies", "told"]) $(id).classList.remove("stale");
  for (const id of ["drawing", "headline", "verdict", "off", "rows", "notes", "influence-table", "sure-text"])
    $(id).replaceChildren();
  for (const panel of [panels.body, panels.seats, panels.line, panels.cures, sheet, rigs, tank, mend, pour]) panel.forget();
  $("figures").hidden = true;
}

function showTools() {
  clearTimeout(quiet);
  $("undo").disabled = !bench.canUndo;
  $("redo").disabled = !bench.canRedo;
  const words = bench.unsaved ? "not saved yet" : bench.file.was === null ? "new" : "saved";
  if ($("kept").textContent !== words) $("kept").textContent = words;
  document.title = `${bench.unsaved ? "* " : ""}${bench.file.name || "ballastry"} · bench`;
}

// A file may hold anything; what its fields cannot show, the program's own answer tells.
function showFields() {
  const doc = bench.doc;
  for (const panel of Object.values(panels)) {
    try {
      panel.show(doc);
    } catch (error) {
      console.warn(error.message);
    }
  }
}

// While a drag goes on faster than the program answers, the picture follows a little behind; fields
// and handles are only ever shown the newest.
function answered(rest, text, newest) {
  if (!newest && bench.answer === null) return; // of a build that was left
  $("figures").hidden = false;
  $("headline").textContent = headline(rest);
  showVerdict(rest);
  picture.draw(rest, true);
  $("lies").classList.remove("preview"); // what was looked at is no longer what is shown
  $("rows").replaceChildren(figures(rest));
  $("notes").replaceChildren(notes(rest));
  $("influence-table").replaceChildren(influence(rest));
  $("influence").hidden = Object.keys(rest.influence_of_100_mg).length === 0;
  if (newest) newestAnswered(rest, text);
}

function newestAnswered(rest, text) {
  bench.tell(rest, text);
  hush();
  clearFaults();
  stale(false);
  const doc = JSON.parse(text);
  for (const panel of [panels.body, panels.seats]) panel.answer(rest, doc);
  sheet.answer(rest);
  whatIf.changed();
  odds.changed();
  say(`${headline(rest)}. ${verdict(rest)}`);
  bench.catchUp();
}

// What is shown is then that of an earlier text.
function refused(refusal) {
  bench.refuse();
  if (bench.answer === null) $("headline").textContent = "This cannot be worked out yet";
  else stale(true);
  const field = refusal instanceof Refusal ? showFault(refusal.where, refusal.message) : null;
  if (field && field.checkVisibility()) hush();
  else tell(refusal);
  say(refusal.message);
}

function showVerdict(rest) {
  $("verdict").textContent = verdict(rest);
  $("verdict").className = rest.target?.met ? "" : "bad";
  $("off").replaceChildren(...off(rest));
}

// Green is only what is within the target and likely to be so when it is built. What is off as built,
// and likely to meet it after its tests, is off by design: what can be trimmed brings it in.
function judge(chances, rest = bench.answer) {
  const target = rest?.target;
  if (rest === bench.answer) stages.judge(!target || target.met || isLikely(chances));
  if (!target) return;
  const likely = isLikely(chances);
  const by = target.met ? { good: likely } : { bad: !likely };
  $("verdict").className = Object.keys(by).filter((name) => by[name]).join(" ");
  if (target.met)
    $("verdict").textContent =
      chances.length > 0 && !likely ? "as it should on paper, but a lure seldom comes out so" : "as it should";
  else $("verdict").textContent = likely ? "off as built, and trimmed in the tank" : verdict(rest);
  $("off").classList.toggle("by-design", !target.met && likely);
}

// Another rig in the picture for a look; null: the build's own again.
// chances: that it meets its target, where they are known, so that it is called what its card calls it.
function preview(rest, words = "", chances = []) {
  const shown = rest ?? bench.answer;
  if (shown === null) return;
  picture.draw(shown, rest === null);
  $("headline").textContent = rest ? `${words}: ${headline(rest)}` : headline(shown);
  showVerdict(shown);
  if (rest === null) judge(odds.list);
  else judge(chances, rest);
  $("lies").classList.toggle("preview", rest !== null);
}

function stale(on) {
  for (const id of ["lies", "told", "figures", "sheet"]) $(id).classList.toggle("stale", on);
  if (on) $("verdict").textContent = "as it was before the last change";
}

// A screen reader hears the result once things have come to rest.
let saying = 0;
function say(words) {
  clearTimeout(saying);
  saying = setTimeout(() => {
    $("said").textContent = words;
  }, 700);
}

function step(which) {
  bench[which]();
}

function onKey(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || document.querySelector("dialog[open]")) return;
  const key = event.key.toLowerCase();
  if (key === "s") void files.save();
  else if (key === "z") step(event.shiftKey ? "redo" : "undo");
  else if (key === "y") step("redo");
  else return;
  event.preventDefault();
}

// Words in the picture have a size on the screen, which hangs on the picture's.
let resizing = 0;
function resized() {
  cancelAnimationFrame(resizing);
  resizing = requestAnimationFrame(() => {
    if (bench.answer && !$("lies").classList.contains("preview")) picture.draw(bench.answer, true);
  });
}

async function start() {
  window.addEventListener("resize", resized);
  $("begin").addEventListener("click", () => files.choose());
  $("save").addEventListener("click", () => files.save());
  $("undo").addEventListener("click", () => step("undo"));
  $("redo").addEventListener("click", () => step("redo"));
  document.addEventListener("keydown", onKey);
  // The picture is drawn anew while a part of it is moved, and says itself where a step ends.
  document.addEventListener("focusout", (event) => {
    if (!event.target.closest?.("#drawing")) bench.endStep();
    if (event.target.dataset?.path === "/name") void files.goBy();
  });
  tabs.open("tab-body");
  if (tokenNow() === "") useToken((await askTabs("token?", "")) ?? "");
  if (tokenNow() === "") return withoutToken();
  alive = new Alive(lost, () => void back());
  try {
    folder = (await ask("alive")).mark;
    bench.shelf = await ask("catalog");
    units.start(bench.shelf.units);
    await files.start();
  } catch (error) {
    tell(error);
  }
}

// Nothing works without what stands behind the address; so nothing is shown as if it did.
function withoutToken() {
  document.querySelector("main").hidden = true;
  document.querySelector("header .tools").hidden = true;
  $("filename").disabled = true;
  $("message").replaceChildren(
    make(
      "span",
      {},
      "This address is not whole. Open the one that the program printed when it started, with all that stands behind the # sign.",
    ),
  );
}

// For what the page as one file adds (solver/alone/page).
export { bench, files, restocked, tell };

void start();
