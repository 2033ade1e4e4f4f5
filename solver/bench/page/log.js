// SPDX-License-Identifier: GPL-3.0-or-later
// What was read of the real lure so far, as the build keeps it: the day, how far the lure was, what was
// read and what had been planned. Entries can be taken out; Undo brings them back.
import { button, make, table } from "./dom.js";

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

// A figure as the file has it: a text, a number, or { value, give }.
function said(figure) {
  if (figure === null || typeof figure !== "object") return String(figure ?? "");
  return figure.give === undefined ? String(figure.value) : `${figure.value} ± ${figure.give}`;
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
      make("td", {}, String(reading.on ?? "")),
      make("td", {}, stages[reading.stage] ?? String(reading.stage ?? "")),
      make("td", {}, kinds[kind] ?? "?"),
      make("td", { class: "n" }, said(reading[kind])),
      make("td", { class: "n" }, said(reading.planned)),
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
