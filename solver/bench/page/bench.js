// SPDX-License-Identifier: GPL-3.0-or-later
// The page's one state: a build's text with its history, and the file that it came from.
import { ask } from "./ask.js";
import { bodies } from "./bodies.js";
import { History } from "./history.js";
import { markFault, put, showBody, showLure, showSeats, showTarget } from "./form.js";
import { make, rigWords, showRest } from "./view.js";

const $ = (id) => document.getElementById(id);
const history = new History();
let shelf = { parts: [], materials: [] };
let file = { name: "", was: null }; // as read from the disk
let asked = 0; // numbers requests: only the newest answer is shown
let saved = ""; // the text that is on the disk

function tell(text) {
  $("message").textContent = text;
}

function buttons() {
  $("undo").disabled = !history.canUndo;
  $("redo").disabled = !history.canRedo;
  $("save").disabled = history.text === "";
  document.title = (history.text === saved ? "" : "* ") + "ballastry bench";
}

function showForm(parts) {
  const doc = JSON.parse(history.text);
  showLure($("lure"), doc, shelf, change);
  showTarget($("target"), doc, change);
  showSeats($("seats"), doc, parts, shelf, change, swap);
  showBody($("body"), doc, change);
}

// Works the build out again. The fields are made anew only when something other than a field
// changed the build, so that the one being typed in keeps its place.
async function rest(fields) {
  const mine = ++asked;
  buttons();
  try {
    const answer = await ask("rest", { build: history.text });
    if (mine !== asked) return;
    showRest(answer);
    if (fields) showForm(answer.parts);
    $("tank").classList.remove("stale");
    tell("");
    markFault("");
  } catch (refusal) {
    if (mine !== asked) return;
    if (fields) showForm({});
    $("tank").classList.add("stale"); // what is shown is that of an earlier text
    tell(`${refusal.where ?? ""} ${refusal.message}`.trim());
    markFault(refusal.where ?? "");
  }
}

// Rigs belong to the build that they were found for.
function dropRigs() {
  $("rigs").replaceChildren();
  $("fitting").textContent = "";
}

function change(path, value) {
  dropRigs();
  const doc = JSON.parse(history.text);
  put(doc, path, value);
  if (history.put(JSON.stringify(doc))) void rest(false);
}

function take(text, fields = true) {
  if (history.put(JSON.stringify(JSON.parse(text)))) void rest(fields);
}

function begin(text, name, was) {
  history.start(JSON.stringify(JSON.parse(text)));
  saved = history.text; // as begun: nothing of the maker's would be lost
  file = { name, was };
  $("filename").value = name;
  dropRigs();
  void rest(true);
}

async function guarded(work) {
  try {
    await work();
  } catch (refusal) {
    tell(refusal.message);
  }
}

const swap = (seat, kind, id) => guarded(async () => {
  const before = $("answer").textContent, sent = history.text;
  try {
    const answer = await ask("swap", { build: sent, seat, kind, id });
    if (history.text !== sent) return;
    dropRigs();
    take(answer.build);
  } catch (refusal) {
    await rest(true); // the field goes back to what is fitted
    throw refusal;
  }
  $("fitting").textContent = `Swapped ${seat} ${kind}. Before: ${before}.`;
});

const open = (name) => guarded(async () => {
  const answer = await ask("open", { name });
  begin(answer.build, answer.name, answer.build);
});

const save = () => guarded(async () => {
  const name = $("filename").value.trim();
  const sent = history.text;
  const answer = await ask("save", { name, build: sent, was: name === file.name ? file.was : null });
  file = { name: answer.name, was: answer.build };
  saved = sent;
  buttons();
  tell(`saved ${answer.name}`);
  await list();
});

function showRigs(answer) {
  $("fitting").textContent = answer.met ? `${answer.rigs.length} rigs, best first` :
    `No rig does it. ${answer.impossible ?? answer.missing ?? ""} These come nearest:`;
  $("rigs").replaceChildren(...answer.rigs.map((rig, i) => {
    const button = make("button", { type: "button" }, `Use rig ${i + 1}`);
    button.addEventListener("click", () => take(rig.build));
    return make("li", {}, make("p", {}, rigWords(rig.parts)), button);
  }));
}

const fit = () => guarded(async () => {
  $("fit").disabled = true;
  $("fitting").textContent = "Looking through the parts …";
  try {
    const sent = history.text;
    const answer = await ask("fit", { build: sent });
    if (history.text === sent) showRigs(answer);
    else $("fitting").textContent = "The build was changed meanwhile; look again.";
  } catch (refusal) {
    $("fitting").textContent = "";
    throw refusal;
  } finally {
    $("fit").disabled = false;
  }
});

const mayLeave = () => history.text === saved || confirm("Leave the changes that are not saved?");

async function list() {
  const answer = await ask("list");
  $("files").replaceChildren(make("option", { value: "" }, "of this folder"),
    ...answer.files.map((name) => make("option", { value: name }, name)));
  $("files").value = answer.files.includes(file.name) ? file.name : "";
  return answer.start;
}

function step(which) {
  dropRigs();
  history[which]();
  void rest(true);
}

function onKey(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  if (key === "s") void save();
  else if (key === "z") step(event.shiftKey ? "redo" : "undo");
  else if (key === "y") step("redo");
  else return;
  event.preventDefault();
}

async function start() {
  $("form").addEventListener("submit", (event) => event.preventDefault());
  $("save").addEventListener("click", save);
  $("fit").addEventListener("click", fit);
  $("undo").addEventListener("click", () => step("undo"));
  $("redo").addEventListener("click", () => step("redo"));
  $("files").addEventListener("change", () => $("files").value && mayLeave() && open($("files").value));
  for (const name of Object.keys(bodies)) $("ready").append(make("option", { value: name }, name));
  $("ready").addEventListener("change", () => {
    const body = bodies[$("ready").value];
    if (body && mayLeave()) begin(JSON.stringify(body), `${body.name.replaceAll(" ", "-")}.json`, null);
  });
  document.addEventListener("keydown", onKey);
  window.addEventListener("beforeunload", (event) => history.text !== saved && event.preventDefault());
  shelf = await ask("catalog");
  const first = await list();
  if (first) await open(first);
  else begin(JSON.stringify(Object.values(bodies)[0]), "turned-spindle.json", null);
}

void guarded(start);
