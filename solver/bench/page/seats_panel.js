// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for seats: where each lies, what sits on it, what may still be chosen there.
import { button, keepingFocus, make } from "./dom.js";
import { faultSlot, field, refresh, tick } from "./field.js";
import { carries, counts, extras, freshName, newSeats, openKinds, partId, pieceNames, seatWords, setOpen } from "./kinds.js";
import { pointer } from "./path.js";
import { sayLength } from "./said.js";
import { SeatView } from "./seat_view.js";

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
    root.append(make("section", { class: "card" }, make("h3", {}, "Where the seats lie"),
      make("p", { class: "hint" }, "Drag a seat along the body, or type its place below."), drawing, this.#adder()), this.cards);
  }

  #adder() {
    const which = make("select", { "data-at": "new-seat" },
      ...newSeats.map((seat, i) => make("option", { value: i }, seatWords(seat))));
    return make("div", { class: "row ends" },
      make("label", { class: "field" }, make("span", { class: "name" }, "One more"), which),
      button("Add the seat", () => this.#add(newSeats[Number(which.value)]), { "data-at": "add-seat" }));
  }

  #add({ name, kind, side, at, more = {} }) {
    const rows = this.#bench.answer?.body?.profile;
    if (!rows) return;
    const nose = rows[0].x, length = rows[rows.length - 1].x - nose;
    const place = (share) => sayLength(nose + share * length);
    this.#bench.edit(null, (doc) => {
      doc.seats = { ...doc.seats };
      doc.seats[freshName(doc, name)] = { kind, x: Array.isArray(at) ? at.map(place) : place(at), side, ...structuredClone(more) };
    });
  }

  #remove(name) {
    this.#bench.edit(null, (doc) => {
      delete doc.seats[name];
      delete doc.fitted?.[name];
    });
  }

  #places(name, seat) {
    const bench = this.#bench, ranged = Array.isArray(seat.x);
    const choice = seat.kind === "patch" ? [] : [make("button", { type: "button", class: "quiet", "data-at": `range-${name}` },
      ranged ? "One place only" : "Within a range")];
    choice[0]?.addEventListener("click", () => bench.edit(null, (doc) => {
      const own = doc.seats[name];
      own.x = ranged ? own.x[0] : [own.x, own.x];
      if (ranged && doc.fitted?.[name]) delete doc.fitted[name].x;
      if (!ranged && doc.fitted?.[name] && Object.keys(doc.fitted[name]).length > 0) doc.fitted[name].x = own.x[0];
    }));
    const atEnd = seat.side === "nose" || seat.side === "tail";
    return [
      ...(ranged ? [field(bench, "From", ["seats", name, "x", 0]), field(bench, "To", ["seats", name, "x", 1])]
        : [field(bench, "Place from the nose", ["seats", name, "x"])]),
      ...(ranged && this.#fitted(name) ? [field(bench, "Sits at", ["fitted", name, "x"])] : []),
      ...(atEnd ? [] : choice),
    ];
  }

  #fitted(name) {
    const on = this.#bench.doc.fitted?.[name];
    return on !== undefined && Object.keys(on).some((key) => key in pieceNames);
  }

  #sizes(name, seat) {
    const bench = this.#bench, at = ["seats", name];
    if (seat.kind === "patch") return [field(bench, "Widest strip", [...at, "width"], { hint: "any" })];
    if (seat.kind !== "slot") return [];
    const length = Array.isArray(seat.length) ? [field(bench, "Lip's length, from", [...at, "length", 0]), field(bench, "to", [...at, "length", 1])]
      : [field(bench, "Lip's length", [...at, "length"], { hint: "any" })];
    return [field(bench, "Angle below the axis", [...at, "angle"]), field(bench, "Slot's depth", [...at, "depth"]), ...length,
      field(bench, "Thickest sheet", [...at, "gap"], { hint: "any" }), field(bench, "Widest lip", [...at, "width"], { hint: "any" })];
  }

  #piece(doc, name, kind) {
    const bench = this.#bench, value = doc.fitted?.[name]?.[kind], id = partId(value);
    const path = ["fitted", name, kind];
    const choose = make("button", { type: "button", class: "choose", "data-path": pointer(path), "data-at": pointer(path),
      "aria-label": `${pieceNames[kind]} at ${name}: ${id === undefined ? "none" : bench.part(id)?.name ?? id}. Choose another` },
    id === undefined ? "none" : bench.part(id)?.name ?? id);
    choose.addEventListener("click", () => this.#pick(name, kind));
    const open = openKinds(doc, name).includes(kind);
    const free = make("input", { type: "checkbox", "data-at": `open-${name}-${kind}`, "aria-label": `${pieceNames[kind]} at ${name} may be changed by a search` });
    free.checked = open;
    free.addEventListener("change", () => bench.edit(null, (now) => {
      const kinds = openKinds(now, name).filter((k) => k !== kind);
      setOpen(now.seats[name], carries[now.seats[name].kind].filter((k) => (k === kind ? free.checked : kinds.includes(k))));
    }));
    const more = id === undefined ? [] : (extras[kind] ?? []).map(([key, label, hint]) =>
      field(bench, label, ["fitted", name, key], { hint, edit: counts.has(key) ? countEdit(name, key) : undefined }));
    const weight = id === undefined ? null : field(bench, "weighs", [...path, "mass"], { hint: this.#mass(id), edit: (now, text) => weigh(now, name, kind, text) });
    weight?.querySelector("input").setAttribute("aria-label", `${pieceNames[kind]} at ${name} weighs, if you have weighed it`);
    return make("div", { class: "piece" }, make("div", { class: "what" }, make("span", { class: "kind" }, pieceNames[kind]), choose, weight ?? make("span"),
      make("label", { class: "tick" }, free, make("span", {}, "may change"))), faultSlot(choose),
    more.length > 0 ? make("div", { class: "fields" }, ...more) : null);
  }

  #mass(id) {
    const grams = this.#bench.part(id)?.mass_g;
    return typeof grams === "number" ? `${grams} g` : "by size";
  }

  #card(doc, name) {
    const seat = doc.seats[name], bench = this.#bench;
    return make("section", { class: "card seat", "aria-labelledby": `seat-${name}` },
      make("div", { class: "row head" }, make("h3", { id: `seat-${name}` }, name, make("small", {}, ` ${seatWords(seat)}`)),
        button("Remove", () => this.#remove(name), { class: "quiet", "aria-label": `Remove the seat ${name}` })),
      ...(carries[seat.kind] ?? []).map((kind) => this.#piece(doc, name, kind)),
      make("details", { "data-at": `more-${name}`, open: this.#openCards.has(name) },
        make("summary", {}, "Place and size"),
        make("div", { class: "fields" }, ...this.#places(name, seat), ...this.#sizes(name, seat)),
        tick(bench, "may stay empty", ["seats", name, "optional"], { preset: seat.kind === "patch" })));
  }

  #openCards = new Set();

  show(doc) {
    const seats = doc.seats ?? {};
    const shape = JSON.stringify([Object.entries(seats).map(([name, s]) => [name, s.kind, s.side, Array.isArray(s.x), Array.isArray(s.length), s.open]),
      Object.entries(doc.fitted ?? {}).map(([name, on]) => [name, Object.keys(on).map((key) => [key, key in pieceNames ? partId(on[key]) : 0])]),
      this.#bench.shelf.parts.length]);
    keepingFocus(this.root, () => {
      if (shape !== this.#shape) {
        this.#openCards = new Set([...this.cards.querySelectorAll("details[open]")].map((d) => d.dataset.at.slice(5)));
        this.cards.replaceChildren(...Object.keys(seats).filter((name) => seats[name] !== null && typeof seats[name] === "object")
          .map((name) => this.#card(doc, name)));
      }
      this.#shape = shape;
      refresh(this.root, doc);
    });
  }

  // Drawn at once when the drawer is open, else when it is opened.
  answer(rest, doc) {
    this.latest = [rest.body, doc];
    if (!this.root.hidden) this.view.show(...this.latest);
  }

  opened() {
    if (this.latest) this.view.show(...this.latest);
  }
}

const countEdit = (name, key) => (doc, text) => {
  const number = Number(text);
  if (text === "") delete doc.fitted[name][key];
  else doc.fitted[name][key] = Number.isInteger(number) ? number : text; // the program says what is wrong
};

// A piece that the maker has weighed stands as { part, mass }.
function weigh(doc, name, kind, text) {
  const on = doc.fitted[name], id = partId(on[kind]);
  on[kind] = text === "" ? id : { ...(typeof on[kind] === "object" ? on[kind] : { part: id }), mass: text };
}
