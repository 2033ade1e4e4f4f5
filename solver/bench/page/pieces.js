// SPDX-License-Identifier: GPL-3.0-or-later
// What a blank is glued of beside its own material, and what is set into it: layers between planes, and
// solids. docs/format.md says what each field means; the program alone reads them.
import { button, make } from "./dom.js";
import { field, tick } from "./field.js";

const at = [
  ["x", "Middle, from the nose"],
  ["y", "to the side"],
  ["z", "up from the axis"],
];
// Of each form: words, the fields, and those without which it would be another form.
const forms = {
  layer: {
    words: "a layer",
    fields: [["from", "From, from the nose"], ["to", "To"], ["above", "Above the height"], ["below", "Below the height"], ["within", "Within, of the middle"], ["beyond", "Beyond, of the middle"]],
    keeps: [],
  },
  ball: { words: "a ball", fields: [...at, ["diameter", "Diameter"], ["inner", "Hollow inside"], ["count", "Side by side"]], keeps: ["x", "diameter"] },
  disc: {
    words: "a disc",
    fields: [...at, ["diameter", "Diameter"], ["thickness", "Thickness"], ["proud", "Stands out by"], ["count", "Side by side"]],
    keeps: ["x", "diameter", "thickness"],
    sides: true,
  },
  rod: { words: "a rod or wire", fields: [["from", "From, from the nose"], ["to", "To"], ["y", "to the side"], ["diameter", "Diameter"], ["inner", "Hollow inside"]], keeps: ["from", "to", "diameter"] },
  box: { words: "a block", fields: [...at, ["length", "Long"], ["width", "Across"], ["height", "High"], ["count", "Side by side"]], keeps: ["x", "length", "width", "height"] },
};

const has = (piece, key) => Object.hasOwn(piece, key);
function formOf(piece) {
  if (has(piece, "diameter")) return has(piece, "from") ? "rod" : has(piece, "thickness") ? "disc" : "ball";
  return has(piece, "length") ? "box" : "layer";
}

// To begin with; each is named anew.
const begun = [
  ["A belly of another wood", { name: "belly", below: "-3 mm", material: "beech" }],
  ["A nose of another wood", { name: "nose", to: "8 mm", material: "beech" }],
  ["A wire right through", { name: "wire", from: "6 mm", to: "60 mm", diameter: "1.2 mm", material: "stainless" }],
  ["Rattles", { name: "rattles", x: "36 mm", z: "-3 mm", diameter: "5 mm", count: 2, mass: "0.35 g" }],
  ["Eyes set in", { name: "eyes", x: "9 mm", z: "1.5 mm", sides: true, diameter: "5 mm", thickness: "2.5 mm", material: "glass" }],
  ["A hollow", { name: "hollow", x: "36 mm", diameter: "6 mm", empty: true }],
];

// A key without which the piece would be another form stays, empty, while it is typed anew.
const sizeEdit = (i, key, keeps) => (doc, text) => {
  const piece = doc.body.pieces[i];
  const number = Number(text);
  if (text === "" && !keeps) delete piece[key];
  else piece[key] = key === "count" && Number.isInteger(number) && text !== "" ? number : text;
};

const listOf = (doc) => (Array.isArray(doc.body?.pieces) ? doc.body.pieces.map((p) => (p !== null && typeof p === "object" ? p : {})) : []);

export class Pieces {
  #bench;
  #shape = "";

  constructor(bench) {
    this.#bench = bench;
    this.list = make("div", { id: "pieces" });
    const what = make("select", { "aria-label": "What is glued or set in", "data-at": "piece-what" }, ...begun.map(([words], i) => make("option", { value: i }, words)));
    this.root = make(
      "section",
      { class: "card", "aria-labelledby": "h-pieces" },
      make("h3", { id: "h-pieces" }, "Glued of, and set in"),
      this.list,
      make("div", { class: "row" }, what, button("Add", () => this.#add(begun[what.value][1]), { id: "piece-add" })),
    );
  }

  #add(piece) {
    this.#bench.edit(null, (doc) => {
      const names = new Set(listOf(doc).map(({ name }) => name));
      let { name } = piece;
      for (let i = 2; names.has(name); i++) name = `${piece.name} ${i}`;
      doc.body.pieces = [...(doc.body.pieces ?? []), { ...piece, name }];
    });
  }

  #remove(i) {
    this.#bench.edit(null, (doc) => {
      doc.body.pieces.splice(i, 1);
      if (doc.body.pieces.length === 0) delete doc.body.pieces;
    });
  }

  #card(piece, i) {
    const bench = this.#bench;
    const path = ["body", "pieces", i];
    const form = forms[formOf(piece)];
    const materials = [["", piece.empty ? "empty" : "weighed only"], ...bench.shelf.materials.map((m) => [m.id, m.name])];
    const keepsName = (doc, text) => {
      doc.body.pieces[i].name = text;
    };
    return make(
      "fieldset",
      { class: "piece" },
      make("legend", {}, form.words),
      make(
        "div",
        { class: "fields" },
        field(bench, "Name", [...path, "name"], { edit: keepsName }),
        ...(piece.empty ? [] : [field(bench, "Material", [...path, "material"], { choices: materials }), field(bench, "All of it weighs", [...path, "mass"], { hint: "by its size" })]),
        ...form.fields.map(([key, label]) => field(bench, label, [...path, key], { edit: sizeEdit(i, key, form.keeps.includes(key)) })),
      ),
      ...(form.sides ? [tick(bench, "one at either side", [...path, "sides"])] : []),
      button("Take it out", () => this.#remove(i), { class: "quiet", "aria-label": `Take out ${piece.name}` }),
    );
  }

  // The caller puts the build's texts into the fields (field.js).
  show(doc) {
    const list = listOf(doc);
    const shape = JSON.stringify([list.map((p) => [formOf(p), p.empty === true]), this.#bench.shelf.materials.length]);
    if (shape === this.#shape) return;
    this.#shape = shape;
    this.list.replaceChildren(...list.map((piece, i) => this.#card(piece, i)));
  }
}
