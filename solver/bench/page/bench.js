// SPDX-License-Identifier: GPL-3.0-or-later
// Puts the page together: every change of the build is shown, worked out anew and kept.
import { ask, ofDisk, Refusal } from "./ask.js";
import { $, button, make } from "./dom.js";
import { draw, figures, headline, influence, notes, verdict } from "./answer_view.js";
import { BodyPanel } from "./body_panel.js";
import { Drafts } from "./drafts.js";
import { clearFaults, showFault } from "./faults.js";
import { Files } from "./files.js";
import { Live } from "./live.js";
import { Picker } from "./picker.js";
import { RigsPanel } from "./rigs_panel.js";
import { SeatsPanel } from "./seats_panel.js";
import { SheetPanel } from "./sheet_panel.js";
import { useUnits } from "./said.js";
import { State } from "./state.js";
import { Sure } from "./sure.js";
import { TankPanel } from "./tank_panel.js";
import { TargetPanel } from "./target_panel.js";
import { Tabs } from "./tabs.js";

const bench = new State(heard);
const drafts = new Drafts(bench, tell);
const files = new Files(bench, tell);
const picker = new Picker(bench);
const sure = new Sure($("sure"), $("sure-text"), bench);
const panels = {
  body: new BodyPanel($("body"), bench),
  seats: new SeatsPanel($("seats"), bench, (seat, kind) => picker.open(seat, kind)),
  target: new TargetPanel($("target"), bench),
};
const rigs = new RigsPanel($("rigs-panel"), bench, tell);
const tank = new TankPanel($("tank"), bench, tell);
const sheet = new SheetPanel($("sheet"), bench, tell);
const tabs = new Tabs($("tabs"), (id) => {
  if (id === "tab-sheet") void sheet.draw();
  else panels[id.slice("tab-".length)]?.opened?.();
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
  $("message").replaceChildren(make("span", {}, [what.where, what.message].filter(Boolean).join(": ")));
  if (what instanceof Refusal && what.status === 0) $("message").append(...whenGone());
  if (ofDisk(what)) $("message").append(...inThisTab());
}

const hush = () => $("message").replaceChildren();

const whenGone = () => [...inThisTab(), button("Try again", () => live.want(bench.text))];

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
    bench.answer = null;
  }
  if (why === "edit") void files.setAside();
  if (why === "save") {
    drafts.saved();
    $("filename").value = bench.file.name;
  } else {
    showFields();
    rigs.changed();
    tank.changed();
    live.want(bench.text);
  }
  drafts.changed();
  showTools();
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
  $("headline").textContent = headline(rest);
  $("verdict").textContent = verdict(rest);
  $("verdict").className = rest.target?.met ? "good" : "bad";
  draw($("drawing"), rest);
  $("rows").replaceChildren(figures(rest));
  $("notes").replaceChildren(notes(rest));
  $("influence-table").replaceChildren(influence(rest));
  if (newest) newestAnswered(rest, text);
}

function newestAnswered(rest, text) {
  bench.answer = rest;
  hush();
  clearFaults();
  $("lies").classList.remove("stale");
  const doc = JSON.parse(text);
  for (const panel of [panels.body, panels.seats]) panel.answer(rest, doc);
  sheet.answer(rest);
  sure.changed();
  say(`${headline(rest)}. ${verdict(rest)}`);
}

// What is shown is then that of an earlier text.
function refused(refusal) {
  $("lies").classList.add("stale");
  const field = refusal instanceof Refusal ? showFault(refusal.where, refusal.message) : null;
  if (field && field.checkVisibility()) hush();
  else tell(refusal);
  say(refusal.message);
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
  if (key === "s") void files.save($("filename").value.trim());
  else if (key === "z") step(event.shiftKey ? "redo" : "undo");
  else if (key === "y") step("redo");
  else return;
  event.preventDefault();
}

async function start() {
  $("begin").addEventListener("click", () => files.choose());
  $("save").addEventListener("click", () => files.save($("filename").value.trim()));
  $("undo").addEventListener("click", () => step("undo"));
  $("redo").addEventListener("click", () => step("redo"));
  document.addEventListener("keydown", onKey);
  document.addEventListener("focusout", () => bench.endStep());
  tabs.open("tab-body");
  try {
    bench.shelf = await ask("catalog");
    useUnits(bench.shelf.units);
    await files.start();
  } catch (error) {
    tell(error);
  }
}

void start();
