// SPDX-License-Identifier: GPL-3.0-or-later
// What the target asks of the drawn lure: rigs are looked for by it.
import { button, keepingFocus, make } from "./dom.js";
import { band, field, refresh } from "./field.js";

const AT = ["target", "tow"];

export class TowWish {
  #bench;
  #open;
  #shape = "";

  // open(id): opens a drawer.
  constructor(bench, open) {
    this.#bench = bench;
    this.#open = open;
    this.root = make("section", { class: "card" });
  }

  #none(doc) {
    return doc.target
      ? button(
          "Ask for it",
          () =>
            this.#bench.edit(null, (now) => {
              now.target.tow = { speed: "1 m/s", depth: ["1 m", null] };
            }),
          { "data-at": "tow-wish" },
        )
      : button("First say what it should do at rest", () => this.#open("tab-target"), { "data-at": "tow-wish" });
  }

  #fields() {
    const bench = this.#bench;
    return [
      make(
        "div",
        { class: "fields" },
        field(bench, "Drawn at", [...AT, "speed"], { hint: "1 m/s" }),
        field(bench, "Goes under from at most", [...AT, "draws_under"], { hint: "any speed" }),
      ),
      make(
        "div",
        { class: "fields pair" },
        ...band(bench, "Trolled depth", [...AT, "depth"], ["any", "any"]),
        ...band(bench, "Nose-down as it runs", [...AT, "nose_down"], ["any", "any"], ["from", "to"]),
      ),
      make(
        "div",
        { class: "fields" },
        field(bench, "On a line of", [...AT, "line", "length"], { hint: "30 m" }),
        field(bench, "Thick", [...AT, "line", "diameter"], { hint: "0.30 mm" }),
        field(bench, "Rod's tip at", [...AT, "line", "rod"], { hint: "1 m" }),
      ),
      button(
        "Ask for nothing on the line",
        () =>
          bench.edit(null, (now) => {
            delete now.target.tow;
          }),
        { class: "quiet", "data-at": "tow-wish" },
      ),
    ];
  }

  show(doc) {
    const asks = doc.target?.tow !== undefined;
    const shape = `${doc.target !== undefined} ${asks}`;
    keepingFocus(this.root, () => {
      if (shape !== this.#shape)
        this.root.replaceChildren(
          make("h3", {}, "What it should do on the line"),
          make(
            "p",
            { class: "hint" },
            "Rigs are then looked for by it too. A unit belongs to each figure: 1.2 m, 4 ft.",
          ),
          ...(asks ? this.#fields() : [this.#none(doc)]),
        );
      this.#shape = shape;
      refresh(this.root, doc);
    });
  }
}
