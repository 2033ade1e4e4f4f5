// SPDX-License-Identifier: GPL-3.0-or-later
// Rows of readings: what was read and how much, as many as there are, each with its fault below it. The
// tank's drawer and the line's have one list each.
import { button, make } from "./dom.js";
import { faultSlot } from "./field.js";

// A fault lasts as long as what it is about.
export function unfault(control) {
  if (!control.dataset?.fault || !control.hasAttribute("aria-invalid")) return;
  control.removeAttribute("aria-invalid");
  document.getElementById(control.dataset.fault).hidden = true;
}

export function fault(control, words) {
  const slot = document.getElementById(control.dataset.fault);
  slot.textContent = words;
  slot.hidden = false;
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", slot.id);
}

export const labelled = (label, control, wide = false) =>
  make(
    "label",
    { class: wide ? "field wide" : "field" },
    make("span", { class: "name" }, label),
    control,
    faultSlot(control),
  );

// The keyboard's place goes to a fault only from where the question was asked: who has gone on to type
// elsewhere stays there.
export const focusFrom = (root, control) => {
  const held = document.activeElement;
  if (held === null || held === document.body || root.contains(held)) control.focus();
};

export class Readings {
  #kinds;
  #label;

  // kinds: [value, words, what it looks like]; label: what the text says, for a screen reader.
  // changed(): told when a row is not what it was.
  constructor(kinds, label, changed) {
    this.#kinds = kinds;
    this.#label = label;
    this.changed = changed;
    this.root = make("div", { class: "readings" });
    for (const kind of ["input", "change"]) this.root.addEventListener(kind, changed);
  }

  add(kind) {
    const which = make(
      "select",
      { "aria-label": "What was read" },
      ...this.#kinds.map(([value, words]) => make("option", { value }, words)),
    );
    which.value = kind;
    const text = make("input", { "aria-label": this.#label, spellcheck: "false" });
    const hint = () => {
      text.placeholder = `such as ${this.#kinds.find(([value]) => value === which.value)[2]}`;
    };
    which.addEventListener("change", hint);
    hint();
    const row = make(
      "div",
      { class: "reading" },
      which,
      text,
      button("−", () => this.#drop(row), { class: "quiet", "aria-label": "Remove this reading" }),
      faultSlot(text),
    );
    this.root.append(row);
    return text;
  }

  // The keyboard's place goes to the row that follows, else to the one before.
  #drop(row) {
    const beside = row.nextElementSibling ?? row.previousElementSibling;
    row.remove();
    beside?.querySelector("input").focus();
    this.changed();
  }

  // Those alone of these kinds.
  begin(...kinds) {
    this.root.replaceChildren();
    for (const kind of kinds) this.add(kind);
  }

  #find(kinds) {
    return [...this.root.children].find(
      (row) => kinds.includes(row.querySelector("select").value) && row.querySelector("input").value === "",
    );
  }

  // What was measured elsewhere goes where nothing was entered for it yet (a row of one of `places`), else
  // into a row of its own.
  put(kind, text, places = [kind]) {
    if (!this.#find(places)) this.add(kind);
    const row = this.#find(places);
    const which = row.querySelector("select");
    which.value = kind;
    which.dispatchEvent(new Event("change", { bubbles: true }));
    row.querySelector("input").value = text;
  }

  // What was entered: [{ input, kind, text }].
  get list() {
    return [...this.root.children]
      .map((row) => ({
        input: row.querySelector("input"),
        kind: row.querySelector("select").value,
        text: row.querySelector("input").value.trim(),
      }))
      .filter((reading) => reading.text !== "");
  }

  // As a request takes them.
  static asked(list) {
    return list.map(({ kind, text }) => ({ kind, text }));
  }
}
