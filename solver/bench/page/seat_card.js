// SPDX-License-Identifier: GPL-3.0-or-later
// One seat: the pieces on it, its place or the range for it, and its sizes.
import { button, make } from "./dom.js";
import { field, tick } from "./field.js";
import { carries, pieceNames, seatWords } from "./kinds.js";
import { pieceRow } from "./piece_row.js";

const any = { hint: "any" };

export const carriesAny = (on) => Object.keys(on ?? {}).some((key) => key in pieceNames);

// From one place to a range of none yet, and back; what sits there needs a place of its own in a range.
function toggleRange(doc, name) {
  const seat = doc.seats[name];
  const on = doc.fitted?.[name];
  const ranged = Array.isArray(seat.x);
  seat.x = ranged ? seat.x[0] : [seat.x, seat.x];
  if (ranged && on) delete on.x;
  if (!ranged && carriesAny(on)) on.x = seat.x[0];
}

function places(bench, doc, name) {
  const seat = doc.seats[name];
  const at = ["seats", name, "x"];
  if (seat.side === "nose" || seat.side === "tail") return [field(bench, "Place from the nose", at)];
  const ranged = Array.isArray(seat.x);
  const toggle = button(
    ranged ? "One place only" : "Within a range",
    () => bench.edit(null, (now) => toggleRange(now, name)),
    { class: "quiet", "data-at": `range-${name}` },
  );
  if (!ranged) return [field(bench, "Place from the nose", at), toggle];
  return [
    field(bench, "From", [...at, 0]),
    field(bench, "To", [...at, 1]),
    ...(carriesAny(doc.fitted?.[name]) ? [field(bench, "Sits at", ["fitted", name, "x"])] : []),
    ...(seat.kind === "patch" ? [] : [toggle]),
  ];
}

function sizes(bench, name, seat) {
  const at = ["seats", name];
  if (seat.kind === "patch") return [field(bench, "Widest strip", [...at, "width"], any)];
  if (seat.kind !== "slot") return [];
  const length = Array.isArray(seat.length)
    ? [field(bench, "Lip's length, from", [...at, "length", 0]), field(bench, "to", [...at, "length", 1])]
    : [field(bench, "Lip's length", [...at, "length"], any)];
  return [
    field(bench, "Angle below the axis", [...at, "angle"]),
    field(bench, "Slot's depth", [...at, "depth"]),
    ...length,
    field(bench, "Thickest sheet", [...at, "gap"], any),
    field(bench, "Widest lip", [...at, "width"], any),
  ];
}

function removeSeat(doc, name) {
  delete doc.seats[name];
  delete doc.fitted?.[name];
}

// open: whether place and size are shown; pick(seat, kind): lets the maker choose a part.
export function seatCard(bench, doc, name, { open, pick }) {
  const seat = doc.seats[name];
  const title = make("h3", { id: `seat-${name}` }, name, make("small", {}, ` ${seatWords(seat)}`));
  const remove = button("Remove", () => bench.edit(null, (now) => removeSeat(now, name)), {
    class: "quiet",
    "aria-label": `Remove the seat ${name}`,
  });
  return make(
    "section",
    { class: "card seat", "aria-labelledby": `seat-${name}` },
    make("div", { class: "row head" }, title, remove),
    ...(carries[seat.kind] ?? []).map((kind) => pieceRow(bench, doc, name, kind, pick)),
    make(
      "details",
      { "data-at": `more-${name}`, "data-seat": name, open },
      make("summary", {}, "Place and size"),
      make("div", { class: "fields" }, ...places(bench, doc, name), ...sizes(bench, name, seat)),
      tick(bench, "may stay empty", ["seats", name, "optional"], { preset: seat.kind === "patch" }),
    ),
  );
}
