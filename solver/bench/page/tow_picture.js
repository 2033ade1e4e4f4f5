// SPDX-License-Identifier: GPL-3.0-or-later
// A draw as a picture: the line between the rod's tip and the lure with the range of its depth, and
// the lure as it runs, larger. Points are the program's; heights are drawn larger than lengths.
import { make, shape } from "./dom.js";
import { reach } from "./said.js";
import { outline } from "./water.js";

const WORD = 12; // px
const NARROW = 280;
const WIDE = 760;
const TALL = 190;

const path = (points) => `M${points.map((p) => p.join(" ")).join("L")}`;

function word(text, x, y, anchor = "start") {
  const node = shape("text", { x, y, "text-anchor": anchor, "font-size": WORD });
  node.textContent = text;
  return node;
}

// Steps of 1, 2 or 5 of a power of ten, some three of them.
function ticks(deepest) {
  const raw = deepest / 3;
  const ten = 10 ** Math.floor(Math.log10(raw));
  const step = ten * ([1, 2, 5].find((n) => n * ten >= raw) ?? 10);
  return Array.from({ length: Math.floor(deepest / step) }, (_, i) => (i + 1) * step);
}

function lineShapes({ curve, upper, lower }, width) {
  const tip = curve.at(-1);
  const deepest = Math.max(0.5, ...curve.map((p) => p[1]), ...lower.map((p) => p[1]));
  const [left, right, top, bottom] = [64, width - 14, 22, TALL - 12];
  const x = (m) => left + (m / curve[0][0]) * (right - left);
  const y = (m) => top + ((m - tip[1]) / (deepest - tip[1])) * (bottom - top);
  const at = (points) => points.map(([a, b]) => [x(a).toFixed(1), y(b).toFixed(1)]);
  return [
    shape("rect", { class: "air", x: 0, y: 0, width, height: y(0) }),
    shape("rect", { class: "water", x: 0, y: y(0), width, height: TALL - y(0) }),
    ...ticks(deepest).flatMap((m) => [
      shape("line", { class: "depth", x1: left, x2: width, y1: y(m), y2: y(m) }),
      word(reach(m), left - 6, y(m) + WORD / 3, "end"),
    ]),
    shape("line", { class: "surface", x1: 0, x2: width, y1: y(0), y2: y(0) }),
    ...(upper.length > 0
      ? [shape("path", { class: "band", d: `${path([...at(upper), ...at(lower).reverse()])}Z` })]
      : []),
    shape("path", { class: "line", d: path(at(curve)) }),
    shape("circle", { class: "lure", cx: x(curve[0][0]), cy: y(curve[0][1]), r: 4.5 }),
    word("rod", x(0) + 6, y(tip[1]) - 6),
  ];
}

const linePicture = (line, width, words) =>
  shape(
    "svg",
    { class: "on-line", role: "img", "aria-label": words, viewBox: `0 0 ${width} ${TALL}`, width, height: TALL },
    ...lineShapes(line, width),
  );

// The lure towards the left, the stretch of line at its tie, in mm.
function lurePicture(lure, words) {
  const [left, top, right, bottom] = lure.box;
  const long = 0.35 * (right - left);
  const rises = (lure.line_rises_deg * Math.PI) / 180;
  const end = [lure.tie[0] - long * Math.cos(rises), lure.tie[1] - long * Math.sin(rises)];
  const box = [Math.min(left, end[0]), Math.min(top, end[1]) - 3, right + 3, Math.max(bottom, end[1]) + 3];
  return shape(
    "svg",
    {
      class: "lies runs",
      role: "img",
      "aria-label": words,
      viewBox: `${box[0] - 3} ${box[1]} ${box[2] - box[0] + 3} ${box[3] - box[1]}`,
    },
    shape("rect", { class: "water", x: box[0] - 300, y: box[1] - 300, width: 900, height: 900 }),
    shape("path", { class: "line", d: path([lure.tie, end]), "stroke-width": 0.5 }),
    ...lure.shapes.map(outline),
  );
}

// drawing, said: of one speed, as the program gave them; width: px that there are.
export function towPicture(drawing, said, width) {
  const wide = Math.round(Math.min(WIDE, Math.max(NARROW, width)));
  const deep = said.depth ? `trolled ${said.depth} deep` : "at the surface";
  return make(
    "figure",
    { class: "views" },
    linePicture(drawing.line, wide, `The line from the rod to the lure, ${deep}`),
    make(
      "figcaption",
      {},
      drawing.line.upper.length > 0
        ? "The dot is the lure, the band the range of its depth; heights are drawn larger than lengths."
        : "The dot is the lure; heights are drawn larger than lengths.",
    ),
    drawing.lure ? lurePicture(drawing.lure, `The lure as it runs: ${said.lies}`) : null,
    drawing.lure ? make("figcaption", {}, "As it runs, drawn to the left, without what trails.") : null,
  );
}
