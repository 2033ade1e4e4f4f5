// SPDX-License-Identifier: GPL-3.0-or-later
// What goes on which seat (docs/format.md), in the maker's words.
export const carries = {
  tie: ["eye", "ring", "snap"],
  hanger: ["eye", "ring", "hook", "wire"],
  slot: ["sheet", "outline"],
  patch: ["strip", "dot"],
};

export const pieceNames = {
  eye: "Eye",
  ring: "Ring",
  snap: "Snap",
  hook: "Hook",
  wire: "Wire on the shank",
  sheet: "Lip's sheet",
  outline: "Lip's outline",
  strip: "Strip",
  dot: "Dots",
};

// What a piece needs besides its part: keys of `fitted` with name and hint.
export const extras = {
  wire: [["turns", "Turns", "1"]],
  sheet: [
    ["thickness", "Filed to before gluing", "as bought"],
    ["filed", "Filed off since", "nothing"],
  ],
  outline: [["length", "Length, slot's depth included", "20 mm"]],
  strip: [
    ["length", "Length", "20 mm"],
    ["layers", "Layers", "1"],
  ],
  dot: [["count", "How many", "1"]],
};
export const counts = new Set(["turns", "layers", "count"]); // numbers in the file, not texts

export const seatWords = (seat) =>
  ({
    tie: { nose: "line tie at the nose", belly: "line tie under the chin", back: "line tie on the back" },
    hanger: {
      belly: "hanger at the belly",
      tail: "hanger at the tail",
      back: "hanger on the back",
      nose: "hanger at the nose",
    },
    slot: { belly: "slot for a lip" },
    patch: { belly: "patch under the belly for metal", back: "patch on the back for metal" },
  })[seat.kind]?.[seat.side] ?? seat.kind;

// New seats: name, and the seat's places as shares of the body's length; usual: most lures have it.
export const newSeats = [
  { name: "tie", kind: "tie", side: "nose", at: 0.01, usual: true },
  { name: "tie", kind: "tie", side: "back", at: 0.2 },
  { name: "tie", kind: "tie", side: "belly", at: 0.05 },
  { name: "belly", kind: "hanger", side: "belly", at: 0.35, usual: true },
  { name: "tail", kind: "hanger", side: "tail", at: 0.99, usual: true },
  { name: "back", kind: "hanger", side: "back", at: 0.5 },
  {
    name: "lip",
    kind: "slot",
    side: "belly",
    at: 0.09,
    usual: true,
    more: { angle: "40 deg", depth: "7 mm", length: ["16 mm", "26 mm"], width: "15 mm" },
  },
  { name: "chest", kind: "patch", side: "belly", at: [0.16, 0.32], usual: true, more: { width: "8 mm" } },
  { name: "keel", kind: "patch", side: "belly", at: [0.38, 0.7], usual: true, more: { width: "8 mm" } },
  { name: "ridge", kind: "patch", side: "back", at: [0.38, 0.7], more: { width: "6 mm" } },
];

export const partId = (value) => (value !== null && typeof value === "object" ? value.part : value);

// The kinds that a fit may choose at a seat, and writing them so that they stay when parts are fitted.
export function openKinds(doc, name) {
  const seat = doc.seats[name];
  const all = carries[seat.kind] ?? [];
  if (Array.isArray(seat.open)) return all.filter((kind) => seat.open.includes(kind));
  const open = seat.open ?? !(doc.fitted && Object.hasOwn(doc.fitted, name));
  return open ? all : [];
}

export function setOpen(seat, kinds) {
  const all = carries[seat.kind];
  seat.open = kinds.length === all.length ? true : kinds.length === 0 ? false : kinds;
}

export function freshName(doc, stem) {
  let name = stem;
  for (let i = 2; doc.seats && Object.hasOwn(doc.seats, name); i++) name = `${stem}-${i}`;
  return name;
}
