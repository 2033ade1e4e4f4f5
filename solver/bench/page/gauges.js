// SPDX-License-Identifier: GPL-3.0-or-later
// What is laid over the water beside the lure: the level line, the wanted angles as an arc before the
// nose, the drift as an arrow to scale, the hooks' reach where two come near each other.
import { shape } from "./dom.js";
import { length } from "./said.js";

const NEAR = 4; // mm: with less room than this left the hooks' reach is shown
const SPANS = [2, 1, 0.5, 0.2, 0.1, 0.05, 0.02]; // s that the arrow may stand for
const STILL = 0.4; // mm: an arrow shorter than this is none
const WIDEST = 75; // deg: how far an open side of the band is drawn

function words(text, x, y, size, anchor = "middle") {
  const node = shape("text", { class: "gauge-word", x, y, "font-size": size, "text-anchor": anchor });
  node.textContent = text;
  return node;
}

// The nose is near: short lines, the last of them at y.
const twoLines = (first, second, x, y, size) => [
  words(first, x, y - 1.05 * size, size, "start"),
  words(second, x, y, size, "start"),
];

const turn = ([x, y], far, deg) => {
  const t = (deg * Math.PI) / 180;
  return [x - far * Math.cos(t), y + far * Math.sin(t)];
};

const level = ([, y], { left, right }) => [
  shape("line", { class: "level", x1: left, x2: right, y1: y, y2: y, "stroke-width": 0.25 }),
];

function arc(at, far, from, to) {
  const [a, b] = [turn(at, far, from), turn(at, far, to)];
  return `M${a.join(" ")}A${far} ${far} 0 ${Math.abs(to - from) > 180 ? 1 : 0} 0 ${b.join(" ")}`;
}

// The pointer shows the angle that is judged: of a lure that shall suspend but floats, that on its way up.
// Inside the band it is whole, outside it is broken.
function wedge({ wanted_nose_down_deg: band, nose_down_deg: shown }, at, far, { left, top, bottom, size }) {
  if (!band || band.own === null || (band.from === null && band.to === null)) return [];
  const [from, to] = [band.from ?? -WIDEST, band.to ?? WIDEST];
  const { own } = band;
  const met = own >= from && own <= to;
  const [a, b] = [turn(at, far - 2, own), turn(at, far + 3, own)];
  const edge = (deg) => `M${turn(at, far - 1.6, deg).join(" ")}L${turn(at, far + 1.6, deg).join(" ")}`;
  const nose = turn(at, far, shown)[1]; // where a seat's sign may be
  const place = [turn(at, far, to)[1] + 1.2 * size, turn(at, far, from)[1] - 0.7 * size]
    .filter((y) => y > top + size && y < bottom - 0.2 * size)
    .sort((y, z) => Math.abs(z - nose) - Math.abs(y - nose))[0];
  const clear = place !== undefined && Math.abs(place - nose) > 2 * size;
  const word = clear ? place : nose + 2.4 * size < bottom ? nose + 2.4 * size : nose - 1.6 * size;
  return [
    shape("path", { class: "wanted", d: arc(at, far, from, to), "stroke-width": 2.4 }),
    shape("path", { class: "wanted-edge", d: edge(from) + edge(to), "stroke-width": 0.35 }),
    shape("line", {
      class: met ? "own met" : "own",
      x1: a[0],
      y1: a[1],
      x2: b[0],
      y2: b[1],
      "stroke-width": 0.7,
    }),
    words("wanted", left + 0.5, word, 0.9 * size, "start"),
    ...(Math.abs(own - shown) > 2 ? [...twoLines("on its", "way up", left + 0.5, Math.max(top + 2 * size, b[1] - 0.6 * size), 0.9 * size)] : []),
  ];
}

export const spanFor = (mm_s, most) => SPANS.find((s) => Math.abs(mm_s) * s <= most) ?? SPANS[SPANS.length - 1];

function arrow(mm_s, x, y, most, size) {
  const span = spanFor(mm_s, most);
  const by = mm_s * span;
  const name = `in ${span} s`;
  if (Math.abs(by) < STILL)
    return [
      shape("circle", { class: "drift", cx: x, cy: y, r: 0.7, "stroke-width": 0.3 }),
      words(name, x, y - 0.6 * size, 0.9 * size),
    ];
  const way = Math.sign(by);
  const head = Math.min(2.6, Math.abs(by));
  return [
    shape("path", {
      class: "drift",
      d: `M${x} ${y}V${y + by - way * head * 0.6}M${x - head / 2} ${y + by - way * head}L${x} ${y + by}L${x + head / 2} ${y + by - way * head}`,
      "stroke-width": 0.6,
    }),
    words(name, x, way > 0 ? y - 0.5 * size : y + size, 0.9 * size),
  ];
}

// Two hooks of one pair leave the same room; it is written once.
function reach(swings, size) {
  const near = swings.filter((one) => one.left !== null && one.left < NEAR);
  return near.flatMap((one, i) => {
    const [x, y] = one.at;
    const meet = one.left < 0;
    const ring = shape("circle", {
      class: meet ? "swing meet" : "swing",
      cx: x,
      cy: y,
      r: one.reach,
      "stroke-width": meet ? 0.5 : 0.3,
    });
    const text = meet ? "the hooks meet" : `${length(one.left)} to spare`;
    const between = near[i - 1] ? (x + near[i - 1].at[0]) / 2 : 0;
    return i === 1 ? [ring, words(text, between, y + one.reach * 0.75, 0.9 * size)] : [ring];
  });
}

const ROOM = 12; // mm: as far above and below the lure as the picture grows for what is wanted

// How high and how low that reaches, [top, bottom]; null: nothing is wanted.
export function wantedExtent({ wanted_nose_down_deg: band, centres, box: [left, top, , bottom] }) {
  const at = centres.gravity;
  if (!at || !band || band.own === null || (band.from === null && band.to === null)) return null;
  const far = at[0] - left + 4;
  const ys = [band.from ?? -WIDEST, band.to ?? WIDEST, band.own].map((deg) => turn(at, far, deg)[1]);
  return [Math.max(top - ROOM, Math.min(...ys) - 2), Math.min(bottom + ROOM, Math.max(...ys) + 5)];
}

// frame: as water.js gives it.
export function gauges(rest, frame) {
  const { drawing, outcome } = rest;
  const at = drawing.centres.gravity;
  if (!at) return [];
  const [left, top, , bottom] = drawing.box;
  const far = Math.hypot(at[0] - left, 0) + 4;
  return [
    ...(drawing.afloat ? [] : level(at, frame)),
    ...wedge(drawing, at, far, frame),
    ...(drawing.afloat || typeof outcome.drift_mm_s !== "number"
      ? []
      : arrow(outcome.drift_mm_s, frame.end, at[1], 0.5 * (bottom - top), frame.size)),
    ...reach(drawing.swings, frame.size),
  ];
}
