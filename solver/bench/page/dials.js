// SPDX-License-Identifier: GPL-3.0-or-later
// What of a build can be turned like a dial: a row of values for the file, and how each is said.
import { partId } from "./kinds.js";
import { put } from "./path.js";
import { length, mass, warmth } from "./said.js";

const STEPS = 13;

const row = (from, to, digits, count = STEPS) =>
  Array.from({ length: count }, (_, i) => Number((from + ((to - from) * i) / (count - 1)).toFixed(digits)));

const water = {
  name: "the water's temperature",
  values: row(2, 30, 0, 15),
  set: (doc, value) => put(doc, ["water", "temperature"], `${value} C`),
  say: warmth,
};

// The maker's own weight where there is one in grams, else the catalog's.
function massNow(piece, part) {
  const own = typeof piece === "object" && /^\s*([\d.]+)\s*g\s*$/.exec(piece.mass ?? "");
  return own ? Number(own[1]) : part?.mass_g;
}

function ofHook(bench, doc, seat) {
  const piece = doc.fitted[seat].hook;
  const id = partId(piece);
  const now = massNow(piece, bench.part(id));
  if (!(now > 0)) return [];
  return [
    {
      name: `the weight of the hook at ${seat}`,
      values: row(0.5 * now, 1.7 * now, 3),
      set: (to, value) => {
        to.fitted[seat].hook = { part: id, mass: `${value} g` };
      },
      say: (value) => mass(value, 2),
    },
  ];
}

function ofStrip(bench, doc, seat) {
  const sits = bench.answer?.drawing.sits[seat];
  const room = sits && sits.x !== null ? sits.to - sits.x : 0;
  if (!(room > 4)) return [];
  return [
    {
      name: `the length of the strip at ${seat}`,
      values: row(2, Math.floor(room * 2) / 2, 1),
      set: (to, value) => put(to, ["fitted", seat, "length"], `${value} mm`),
      say: (value) => length(value),
    },
  ];
}

const ofDots = (seat) => [
  {
    name: `the dots at ${seat}`,
    values: row(1, 12, 0, 12),
    set: (to, value) => put(to, ["fitted", seat, "count"], value),
    say: (value) => `${value} of them`,
  },
];

// Each: name, values rising, set(doc, value), say(value).
export function dials(bench) {
  const doc = bench.doc;
  return [
    water,
    ...Object.entries(doc.fitted ?? {}).flatMap(([seat, on]) => [
      ...(on.hook !== undefined ? ofHook(bench, doc, seat) : []),
      ...(on.strip !== undefined ? ofStrip(bench, doc, seat) : []),
      ...(on.dot !== undefined ? ofDots(seat) : []),
    ]),
  ];
}
