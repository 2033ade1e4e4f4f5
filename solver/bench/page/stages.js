// SPDX-License-Identifier: GPL-3.0-or-later
// The job as a thin line of stages that follows the build: what is done, what comes next, and where on
// the page it is done. Nothing is kept apart from the build's own file.
import { button, make } from "./dom.js";
import { openKinds } from "./kinds.js";

const seats = (doc, kind) => Object.entries(doc.seats ?? {}).filter(([, seat]) => seat?.kind === kind);
const on = (doc, name, kind) => doc.fitted?.[name]?.[kind] !== undefined;
const all = (list, good) => list.length > 0 && list.every(good);

// word, drawer, whether it is done, what to do: words, or what makes them of the build
const stages = [
  ["blank", "tab-body", (doc) => doc.body?.mass !== undefined, "weigh the bare blank and enter what the scale says"],
  [
    "hardware",
    "tab-rigs",
    (doc) => all(seats(doc, "hanger"), ([name]) => on(doc, name, "hook") || openKinds(doc, name).length === 0),
    (doc) => (doc.target === undefined ? "say under Target what it should do, then look for rigs" : "look for rigs"),
  ],
  [
    "lip",
    "tab-seats",
    (doc) => seats(doc, "slot").every(([name]) => on(doc, name, "sheet")),
    "choose the lip's sheet and outline",
  ],
  [
    "weigh",
    "tab-seats",
    (doc) => Object.values(doc.fitted ?? {}).some((seat) => Object.values(seat ?? {}).some((piece) => piece?.mass !== undefined)),
    "weigh the hooks you will hang and enter their weights",
  ],
  ["coat", "tab-body", (doc) => (doc.body?.coats ?? []).length > 0, "enter the coats; print the sheet and weigh after each step"],
  ["tank", "tab-tank", (doc) => doc.learnt !== undefined, "put it in the tank and enter what you read"],
];

// A shape that was brought in has no seats yet: nothing can be mounted before it has.
const seatless = "add seats for line tie, hooks and lip";

export class Stages {
  #root;
  #open;
  #hint = make("p", { class: "hint" });
  #done = false;
  #good = true;

  // open(id): opens a drawer.
  constructor(root, open) {
    this.#root = root;
    this.#open = open;
  }

  show(doc) {
    const next = stages.findIndex(([, , done]) => !done(doc));
    const bare = seats(doc, "hanger").length === 0;
    const said = (words) => (typeof words === "function" ? words(doc) : words);
    const one = ([word, at, done, words], i) => {
      const [drawer, what] = word === "hardware" && bare ? ["tab-seats", seatless] : [at, said(words)];
      const state = done(doc) ? "done" : i === next ? "next" : "";
      const press = button(
        make("span", { class: "mark", "aria-hidden": "true" }, done(doc) ? "✓" : String(i + 1)),
        () => this.#open(drawer),
        { title: what, "data-at": `stage-${word}` },
      );
      press.append(word, make("span", { class: "sr" }, done(doc) ? ", done" : i === next ? ", next" : ""));
      return make("li", { class: state, "aria-current": i === next ? "step" : null }, press);
    };
    this.#root.replaceChildren(make("ol", {}, ...stages.map(one)), this.#hint);
    this.#done = next < 0;
    const what = !this.#done && stages[next][0] === "hardware" && bare ? seatless : said(stages[next]?.[3]);
    this.#hint.textContent = this.#done ? this.#over() : `Next: ${what}.`;
  }

  #over() {
    return this.#good
      ? "All read back: on to the water."
      : "All read back, and off its target: see under Tank what to do now.";
  }

  // Whether the lure meets its target, or likely will.
  judge(good) {
    this.#good = good;
    if (this.#done) this.#hint.textContent = this.#over();
  }
}
