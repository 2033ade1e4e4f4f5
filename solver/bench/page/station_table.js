// SPDX-License-Identifier: GPL-3.0-or-later
// The stations as a table to type in.
import { button, freshId, make, table } from "./dom.js";
import { field } from "./field.js";
import { addStation, isTurned, stationsOf } from "./sizes.js";

const names = {
  x: "From the nose",
  diameter: "Across",
  width: "Width",
  height: "Height",
  centre: "Middle above axis",
  section: "Roundness",
};

export class StationTable {
  #bench;
  #shape = "";
  #chosen = 0;

  constructor(bench, chosen) {
    this.#bench = bench;
    this.onChoose = chosen;
    this.id = freshId("stations");
    this.root = make("div", { class: "table", role: "group", "aria-label": "Stations" });
  }

  choose(i) {
    this.#chosen = i;
    for (const row of this.root.querySelectorAll("tbody tr"))
      row.classList.toggle("chosen", Number(row.dataset.i) === i);
  }

  // The middle of a place that sits between this and the next one, as the program drew it.
  #add(i) {
    const bench = this.#bench;
    bench.withAnswer(({ body }) => {
      if (body.stations.length !== stationsOf(bench.doc)?.length) return;
      bench.edit(null, (doc) => addStation(doc, body, i));
      this.onChoose(i + 1);
      this.choose(i + 1);
    });
  }

  #row(list, i, keys) {
    const tools = make(
      "td",
      { class: "tools" },
      button("+", () => this.#add(i), {
        "aria-label": `Add a station after ${i + 1}`,
        title: "Add a station after this",
        disabled: i === list.length - 1,
      }),
      button("−", () => this.#bench.edit(null, (doc) => stationsOf(doc).splice(i, 1)), {
        "aria-label": `Remove station ${i + 1}`,
        title: "Remove",
        disabled: list.length <= 2,
      }),
    );
    const row = make(
      "tr",
      { "data-i": i },
      make("th", { scope: "row" }, String(i + 1)),
      ...keys.map((key) =>
        make(
          "td",
          {},
          key in list[i] || !(key === "diameter" || key === "width" || key === "height")
            ? field(this.#bench, `${names[key]}, station ${i + 1}`, ["body", "stations", i, key], {
                hint: key === "centre" ? "0" : key === "section" ? "body's" : "",
              })
            : "",
        ),
      ),
      tools,
    );
    row.addEventListener("focusin", () => {
      this.choose(i);
      this.onChoose(i);
    });
    return row;
  }

  show(doc) {
    const list = stationsOf(doc) ?? [];
    const shape = JSON.stringify(list.map((s) => isTurned(s)));
    if (shape === this.#shape) return;
    this.#shape = shape;
    const keys = [
      "x",
      ...(list.some(isTurned) ? ["diameter"] : []),
      ...(list.every(isTurned) ? [] : ["width", "height"]),
      "centre",
      "section",
    ];
    this.root.replaceChildren(
      table(
        ["No.", ...keys.map((key) => names[key]), make("span", { class: "sr" }, "Add or remove")],
        list.map((_, i) => this.#row(list, i, keys)),
      ),
    );
    this.choose(this.#chosen);
  }
}
