// SPDX-License-Identifier: GPL-3.0-or-later
// What was read of the real lure so far, as the build keeps it: the day, how far the lure was, what was
// read and what had been planned. Entries can be taken out; Undo brings them back.
import { button, cell, make, table } from "./dom.js";
import { figure, length, mass, speed } from "./said.js";

const stages = { blank: "bare", cut: "cut", eyed: "eyes and lip on", coated: "coated", complete: "complete" };
const kinds = {
  scale: "on the scale",
  in_water: "in water",
  drift: "speed, down positive",
  tilt: "nose-down under water",
  tilt_afloat: "nose-down afloat",
  shows: "shows",
  balance: "balances at",
};

const sayers = {
  g: (value) => mass(value),
  "mm/s": speed,
  mm: (value) => length(value),
  deg: (value) => figure(value, 1, "deg"),
  "%": (value) => figure(value, 1, "%"),
};

// A text as the page says its figure; what is written otherwise stays.
function plain(text) {
  const [, value, unit] = /^(-?\d+(?:\.\d+)?) (g|mm\/s|mm|deg|%)$/.exec(String(text ?? "")) ?? [];
  return unit === undefined ? String(text ?? "") : sayers[unit](Number(value));
}

// A figure as the file has it: a text, a number, or { value, give }.
function said(one) {
  if (one === null || typeof one !== "object") return plain(one);
  return one.give === undefined ? plain(one.value) : `${plain(one.value)} ± ${plain(one.give)}`;
}

export class Log {
  #bench;

  constructor(root, bench) {
    this.#bench = bench;
    this.list = make("div", { class: "table", id: "log" });
    this.card = make("section", { class: "card", "aria-labelledby": "h-log", hidden: true }, make("h3", { id: "h-log" }, "Read so far"), this.list);
    root.append(this.card);
  }

  show(doc) {
    const readings = Array.isArray(doc.readings) ? doc.readings : [];
    this.card.hidden = readings.length === 0;
    this.list.replaceChildren(
      table(
        ["day", "the lure was", "what", "read", "planned", ""],
        readings.map((reading, i) => this.#row(reading ?? {}, i)),
      ),
    );
  }

  #row(reading, i) {
    const kind = Object.keys(kinds).find((key) => reading[key] !== undefined);
    const words = `${kinds[kind] ?? "?"} ${said(reading[kind])}`;
    return make(
      "tr",
      {},
      make("td", { class: "day" }, String(reading.on ?? "")),
      make("td", {}, stages[reading.stage] ?? String(reading.stage ?? "")),
      make("td", {}, kinds[kind] ?? "?"),
      cell(said(reading[kind])),
      cell(said(reading.planned)),
      make(
        "td",
        {},
        button("−", () => this.#bench.edit(null, (doc) => this.#drop(doc, i)), {
          class: "quiet",
          "aria-label": `Take out of the list: ${words}`,
        }),
      ),
    );
  }

  #drop(doc, i) {
    doc.readings.splice(i, 1);
    if (doc.readings.length === 0) delete doc.readings;
  }
}
