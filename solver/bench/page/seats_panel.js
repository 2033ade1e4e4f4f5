// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for parts: where each seat lies, what sits on it, what may still be chosen there.
import { button, keepingFocus, make } from "./dom.js";
import { refresh } from "./field.js";
import { freshName, newSeats, partId, pieceNames, seatWords } from "./kinds.js";
import { sayLength } from "./said.js";
import { seatCard } from "./seat_card.js";
import { SeatView } from "./seat_view.js";

// What the cards are made of: when it changes they are made anew, else only their texts change.
function shapeOf(doc, shelf) {
  const seats = Object.entries(doc.seats ?? {});
  const fitted = Object.entries(doc.fitted ?? {});
  const pieces = (on) => Object.keys(on).map((key) => [key, key in pieceNames ? partId(on[key]) : 0]);
  return JSON.stringify([
    seats.map(([name, s]) => [name, s.kind, s.side, Array.isArray(s.x), Array.isArray(s.length), s.open]),
    fitted.map(([name, on]) => [name, pieces(on)]),
    shelf.parts.length,
  ]);
}

export class SeatsPanel {
  #bench;
  #pick;
  #shape = "";

  // pick(seat, kind): lets the maker choose a part.
  constructor(root, bench, pick) {
    this.#bench = bench;
    this.#pick = pick;
    this.root = root;
    const drawing = make("div");
    this.view = new SeatView(drawing, bench);
    this.cards = make("div", { class: "cards" });
    const hint = make("p", { class: "hint" }, "Drag a seat along the body, or type its place below. In the picture of the water, a press on a part leads to others in its place.");
    const title = make("h3", {}, "Where the seats lie");
    root.append(make("section", { class: "card" }, title, hint, drawing, this.#adder()), this.cards);
  }

  #adder() {
    const choices = newSeats.map((seat, i) => make("option", { value: i }, seatWords(seat)));
    const which = make("select", { "data-at": "new-seat" }, ...choices);
    const add = () => this.#add(newSeats[Number(which.value)]);
    return make(
      "div",
      { class: "row ends" },
      make("label", { class: "field" }, make("span", { class: "name" }, "One more"), which),
      button("Add the seat", add, { "data-at": "add-seat" }),
    );
  }

  // Those of newSeats, in one step.
  #add(...seats) {
    this.#bench.withAnswer((answer) => {
      const rows = answer.body?.profile;
      if (!rows) return;
      const nose = rows[0].x;
      const length = rows[rows.length - 1].x - nose;
      const place = (share) => sayLength(nose + share * length);
      this.#bench.edit(null, (doc) => {
        doc.seats = { ...doc.seats };
        for (const { name, kind, side, at, more = {} } of seats) {
          const x = Array.isArray(at) ? at.map(place) : place(at);
          doc.seats[freshName(doc, name)] = { kind, x, side, ...structuredClone(more) };
        }
      });
    });
  }

  // For a shape that came without any: what most lures have.
  #usual() {
    return make(
      "section",
      { class: "card" },
      make("h3", {}, "No seats yet"),
      make("p", { class: "hint" }, "Line tie, hooks, lip and metal each need a place on the body. What is not wanted can be removed, what is missing added above."),
      button(
        "Add the usual: tie, belly, tail, lip, chest, keel",
        () => {
          this.#add(...newSeats.filter(({ usual }) => usual));
          this.cards.querySelector("button")?.focus(); // of the first seat, in this one's place
        },
        { class: "deed", id: "usual-seats" },
      ),
    );
  }

  #build(doc) {
    const open = new Set([...this.cards.querySelectorAll("details[open]")].map((d) => d.dataset.seat));
    const names = Object.keys(doc.seats ?? {}).filter((name) => typeof doc.seats[name]?.kind === "string");
    this.cards.replaceChildren(
      ...(names.length === 0 ? [this.#usual()] : []),
      ...names.map((name) => seatCard(this.#bench, doc, name, { open: open.has(name), pick: this.#pick })),
    );
  }

  show(doc) {
    const shape = shapeOf(doc, this.#bench.shelf);
    keepingFocus(this.root, () => {
      if (shape !== this.#shape) this.#build(doc);
      this.#shape = shape;
      refresh(this.root, doc);
    });
  }

  // Drawn at once when the drawer is open, else when it is opened.
  answer(rest, doc) {
    this.latest = [rest.body, doc];
    if (!this.root.hidden) this.view.show(...this.latest);
  }

  forget() {
    this.latest = null;
    this.view.view.forget();
  }

  opened() {
    if (this.latest) this.view.show(...this.latest);
  }
}
