// SPDX-License-Identifier: GPL-3.0-or-later
// Three ways to begin on the lure that is open: each sets what a search may change, asks for what is
// silent in the target, and leads to the drawer where the work goes on. One step of undo each.
import { button, make } from "./dom.js";
import { carries, openKinds, setOpen } from "./kinds.js";
import { aimAt } from "./wishes.js";

const has = (doc, name, kind) => doc.fitted?.[name]?.[kind] !== undefined;
const needed = { tie: ["eye"], hanger: ["eye", "ring", "hook"], slot: ["sheet", "outline"], patch: [] };

// What the seat still lacks, so that no search can be empty for want of it.
const lacking = (doc, name, kind) => (needed[kind] ?? []).filter((part) => !has(doc, name, part));

function eachSeat(doc, work) {
  for (const [name, seat] of Object.entries(doc.seats ?? {})) {
    const all = carries[seat?.kind];
    if (!all) continue;
    const open = new Set(work(name, seat, all));
    setOpen(
      seat,
      all.filter((kind) => open.has(kind)),
    );
  }
}

const wanted = (doc) => {
  doc.target ??= { state: "suspend" };
};

export const starts = [
  {
    words: "Hardware that makes it suspend",
    drawer: "tab-rigs",
    work(doc) {
      aimAt(doc, "suspend");
      eachSeat(doc, (name, seat, all) =>
        seat.kind === "hanger" ? ["ring", "hook", ...lacking(doc, name, seat.kind)] : seat.kind === "patch" ? all : openKinds(doc, name),
      );
    },
  },
  {
    words: "A metal lip as the only ballast",
    drawer: "tab-rigs",
    work(doc) {
      wanted(doc);
      eachSeat(doc, (name, seat, all) => (seat.kind === "slot" ? all : lacking(doc, name, seat.kind)));
    },
  },
  { words: "Other hooks on a finished lure", drawer: "tab-seats", work: null },
];

// open(id): opens a drawer.
export const startCard = (bench, open) =>
  make(
    "section",
    { class: "card" },
    make("h3", {}, "What do you want to do?"),
    make(
      "div",
      { class: "row" },
      ...starts.map(({ words, drawer, work }) =>
        button(words, () => {
          if (work) bench.edit(null, work);
          open(drawer);
        }),
      ),
    ),
  );
