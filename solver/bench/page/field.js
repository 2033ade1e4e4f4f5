// SPDX-License-Identifier: GPL-3.0-or-later
// A field stands for one place of the build's file and holds the file's own text, so that whatever
// a file accepts, the field accepts; the program alone reads it. Its fault is told right below it.
import { freshId, make } from "./dom.js";
import { isLearnt, unlearn } from "./learnt.js";
import { look, pointer, put, steps } from "./path.js";

const PAUSE = 1500; // ms after which typing counts as a new step of undo

// A figure may be written { value, give }; the field then shows and changes its value.
const inner = (value) =>
  value !== null && typeof value === "object" && "value" in value ? value.value : value;
const plain = (value) => value === undefined || value === null || typeof value !== "object";

// Where there is a figure with a give, the give stays, unless a test had taught both.
function store(doc, path, text) {
  const old = look(doc, path);
  if (isLearnt(doc, path)) {
    unlearn(doc, path);
    put(doc, path, text);
  } else if (old !== null && typeof old === "object" && "value" in old && text !== "") old.value = text;
  else put(doc, path, text);
}

// What is typed at one go, up to a blank between words or a pause, is one step of undo.
function wordGroup(path) {
  let serial = 0;
  let last = 0;
  return (event) => {
    const now = performance.now();
    if (now - last > PAUSE || event.data === " " || event.inputType === "insertFromPaste") serial++;
    last = now;
    return `${path}#${serial}`;
  };
}

export function faultSlot(control) {
  const slot = make("span", { class: "fault", id: freshId("fault"), hidden: true });
  control.setAttribute("data-fault", slot.id);
  return slot;
}

// bench: the page's state (state.js). hint stands in the empty field, after behind its name.
export function field(bench, label, path, { hint, choices, edit, wide } = {}) {
  const at = pointer(path);
  const input = choices
    ? make(
        "select",
        { "data-path": at, "data-at": at },
        ...choices.map(([value, name]) => make("option", { value }, name)),
      )
    : make("input", {
        "data-path": at,
        "data-at": at,
        placeholder: hint,
        spellcheck: "false",
        autocapitalize: "off",
      });
  const group = wordGroup(`${at}@${freshId("f")}`);
  input.addEventListener(choices ? "change" : "input", (event) =>
    bench.edit(
      choices ? null : group(event),
      edit ? (doc) => edit(doc, input.value) : (doc) => store(doc, path, input.value),
    ),
  );
  return make(
    "label",
    { class: wide ? "field wide" : "field" },
    make("span", { class: "name" }, label, make("em", { class: "origin" })),
    input,
    faultSlot(input),
  );
}

export function tick(bench, label, path, { preset = false } = {}) {
  const at = pointer(path);
  const input = make("input", {
    type: "checkbox",
    "data-path": at,
    "data-at": at,
    "data-preset": String(preset),
  });
  input.addEventListener("change", () =>
    bench.edit(null, (doc) => put(doc, path, input.checked === preset ? "" : input.checked)),
  );
  return make("label", { class: "tick" }, input, make("span", {}, label), faultSlot(input));
}

export const band = (bench, label, path, hints = ["", ""], words = ["least", "most"]) =>
  words.map((word, i) =>
    field(bench, `${label}, ${word}`, [...path, i], {
      hint: hints[i],
      edit(doc, text) {
        const old = look(doc, path);
        const next = Array.isArray(old) ? old : [null, null];
        next[i] = text === "" ? null : text;
        put(doc, path, next[0] === null && next[1] === null ? "" : next);
      },
    }),
  );

// Puts the build's texts into the fields below root; the one being typed in has its text already.
export function refresh(root, doc) {
  for (const input of root.querySelectorAll("input[data-path], select[data-path]")) {
    const value = inner(look(doc, steps(input.dataset.path)));
    if (input.type === "checkbox") {
      input.checked = value === undefined ? input.dataset.preset === "true" : value === true;
      continue;
    }
    input.disabled = !plain(value);
    const learnt = isLearnt(doc, steps(input.dataset.path));
    input.title = !plain(value)
      ? "written out in the file; change it there"
      : learnt
        ? "learnt from a test, not measured"
        : "";
    const origin = input.parentElement.querySelector(".origin");
    if (origin) origin.textContent = learnt ? " learnt from a test" : "";
    const text = plain(value) ? String(value ?? "") : "";
    if (input.value !== text) input.value = text;
  }
}
