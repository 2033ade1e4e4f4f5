// SPDX-License-Identifier: GPL-3.0-or-later
// What a body is made of, as it looks: wood has grain, board has pores, a cast body the grains of its
// filler, a printed one its layers. Told apart by pattern, not by colour alone.
import { freshId, shape } from "./dom.js";

const board = /board|foam/;
const cast = /urethane|epoxy|polyester resin/;
const printed = /^(pla|abs|pvc|polycarbonate|polyester|acrylic)$/;
const metal = /^(brass|copper|stainless|steel|aluminium|titanium|zinc|tin|lead)/;

// doc: the build; shelf: what the catalog has. "": nothing to go by.
export function madeOf(doc, shelf) {
  const body = doc.body ?? {};
  if (body.wall !== undefined || body.infill !== undefined) return "printed";
  const { material } = body;
  if (material !== null && typeof material === "object") return "mix" in material ? "cast" : "";
  const known = shelf.materials.find((one) => one.id === material);
  if (!known) return "";
  if (board.test(known.id)) return "board";
  if (cast.test(known.id)) return "cast";
  if (printed.test(known.id)) return "printed";
  return metal.test(known.id) || known.id === "glass" ? "" : "wood";
}

export const madeWords = { wood: "of wood", board: "of foam board", cast: "cast", printed: "printed", "": "" };

const line = (d, width) => shape("path", { d, class: "grain-line", "stroke-width": width });
const spot = (x, y, r, hollow) =>
  shape("circle", { cx: x, cy: y, r, class: hollow ? "grain-bubble" : "grain-pore", "stroke-width": 0.12 });

// Tiles in mm: width, height, what is on them. Lines leave a tile where they enter the next.
const tiles = {
  wood: () => [
    34,
    8,
    line("M0 1C9 .2 14 2 22 1.2S31 .9 34 1", 0.2),
    line("M0 3.1C7 4 16 2.4 23 3.4S31 3.2 34 3.1", 0.32),
    line("M0 4.7C10 4.1 19 5.6 34 4.7", 0.16),
    line("M0 6.7C8 7.5 18 6 25 7S32 6.6 34 6.7", 0.24),
  ],
  board: () => [3.4, 3, spot(0.6, 0.7, 0.22), spot(2.2, 0.4, 0.16), spot(1.5, 1.9, 0.2), spot(3, 2.2, 0.24)],
  cast: () => [
    9,
    8,
    ...[
      [1.2, 1.3, 0.9],
      [4, 0.9, 0.5],
      [6.9, 1.8, 1.1],
      [2.9, 3.6, 0.6],
      [5.2, 4.4, 0.9],
      [8, 5, 0.5],
      [1.1, 6.1, 0.7],
      [3.6, 6.9, 0.45],
      [6.6, 6.8, 0.6],
    ].map(([x, y, r]) => spot(x, y, r, true)),
  ],
  printed: () => [4, 0.9, line("M0 .45H4", 0.14)],
};

const ids = new WeakMap();

// The pattern for one drawing, turned with the body; null where there is none.
export function grain(svg, made, turned) {
  if (!(made in tiles)) return null;
  if (!ids.has(svg)) ids.set(svg, freshId("grain"));
  const [width, height, ...marks] = tiles[made]();
  const id = ids.get(svg);
  return {
    fill: `url(#${id})`,
    defs: shape(
      "defs",
      {},
      shape(
        "pattern",
        { id, width, height, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${-turned})` },
        ...marks,
      ),
    ),
  };
}
