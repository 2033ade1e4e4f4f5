// SPDX-License-Identifier: GPL-3.0-or-later
// One kind of piece at one seat: what is mounted, what it weighs if it was weighed, what it needs
// besides, and whether a search may change it.
import { make } from "./dom.js";
import { faultSlot, field } from "./field.js";
import { carries, counts, extras, openKinds, partId, pieceNames, setOpen } from "./kinds.js";
import { isLearnt, unlearn } from "./learnt.js";
import { pointer } from "./path.js";
import { mass } from "./said.js";

// Counts stand in the file as numbers; whatever else is typed the program refuses in its own words.
const countEdit = (seat, key) => (doc, text) => {
  const number = Number(text);
  if (text === "") delete doc.fitted[seat][key];
  else doc.fitted[seat][key] = Number.isInteger(number) ? number : text;
};

// A piece that the maker has weighed stands as { part, mass }.
const weightEdit = (seat, kind) => (doc, text) => {
  const on = doc.fitted[seat];
  const place = ["fitted", seat, kind];
  const learnt = isLearnt(doc, place); // its give was a test's, and goes with it
  if (learnt) unlearn(doc, place);
  const written = typeof on[kind] === "object" && !learnt ? on[kind] : { part: partId(on[kind]) };
  on[kind] = text === "" ? partId(on[kind]) : { ...written, mass: text };
};

function openTick(bench, doc, seat, kind) {
  const tick = make("input", {
    type: "checkbox",
    "data-at": `open-${seat}-${kind}`,
    "aria-label": `${pieceNames[kind]} at ${seat} may be changed by a search`,
  });
  tick.checked = openKinds(doc, seat).includes(kind);
  tick.addEventListener("change", () =>
    bench.edit(null, (now) => {
      const open = new Set(openKinds(now, seat));
      if (tick.checked) open.add(kind);
      else open.delete(kind);
      const own = now.seats[seat];
      setOpen(
        own,
        carries[own.kind].filter((k) => open.has(k)),
      );
    }),
  );
  return make("label", { class: "tick" }, tick, make("span", {}, "may change"));
}

function weightField(bench, seat, kind, part) {
  const hint = typeof part?.mass_g === "number" ? mass(part.mass_g, 3) : "by size";
  const weight = field(bench, "weighs", ["fitted", seat, kind, "mass"], {
    hint,
    edit: weightEdit(seat, kind),
  });
  const name = `${pieceNames[kind]} at ${seat} weighs, if you have weighed it`;
  weight.querySelector("input").setAttribute("aria-label", name);
  return weight;
}

const needs = (bench, seat, kind) =>
  (extras[kind] ?? []).map(([key, label, hint]) =>
    field(bench, label, ["fitted", seat, key], {
      hint,
      edit: counts.has(key) ? countEdit(seat, key) : undefined,
    }),
  );

// An outline has no weight of its own: the lip's is its sheet's.
const weighed = (kind, id) => id !== undefined && kind !== "outline";

// pick(seat, kind): lets the maker choose a part.
export function pieceRow(bench, doc, seat, kind, pick) {
  const id = partId(doc.fitted?.[seat]?.[kind]);
  const part = bench.part(id);
  const name = id === undefined ? "none" : (part?.name ?? id);
  const at = pointer(["fitted", seat, kind]);
  const label = `${pieceNames[kind]} at ${seat}: ${name}. Choose another`;
  const attributes = { type: "button", class: "choose", "data-path": at, "data-at": at, "aria-label": label };
  const choose = make("button", attributes, name);
  choose.addEventListener("click", () => pick(seat, kind));
  return make(
    "div",
    { class: "piece" },
    make(
      "div",
      { class: "what" },
      make("span", { class: "kind" }, pieceNames[kind]),
      choose,
      weighed(kind, id) ? weightField(bench, seat, kind, part) : make("span"),
      openTick(bench, doc, seat, kind),
    ),
    faultSlot(choose),
    id === undefined ? null : make("div", { class: "fields" }, ...needs(bench, seat, kind)),
  );
}
