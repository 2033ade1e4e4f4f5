// SPDX-License-Identifier: GPL-3.0-or-later
// The lure as it lies in the water, from the side and, to its right, from ahead; both to one scale
// and in one water. The points are the program's; nothing is worked out here but the frame.
import { set, shape } from "./dom.js";
import { wantedExtent } from "./gauges.js";
import { grain } from "./grain.js";

const MARGIN = 6;
const APART = 12;
const AIR = 4; // mm
const GAUGE = 5; // mm, before the nose

const path = (points, closed) => `M${points.map((p) => p.join(" ")).join("L")}${closed ? "Z" : ""}`;

const WORDS = 11; // px, how high words are on the screen

// The same in mm, but no larger than the picture bears.
function wordSize(svg, wide) {
  const px = svg.isConnected ? (svg.getScreenCTM()?.a ?? 0) : 0;
  return px > 0 ? Math.min(WORDS / px, wide / 26) : wide / 45;
}

// What is to be seen: left, top, right, bottom; the view from ahead is moved by `aside`.
function extent(drawing) {
  const [nose, high, right, low] = drawing.box;
  const wanted = wantedExtent(drawing);
  const [top, bottom] = [Math.min(high, wanted?.[0] ?? high), Math.max(low, wanted?.[1] ?? low)];
  const left = nose - (drawing.wanted_nose_down_deg ? GAUGE : 0);
  const end = drawing.end?.box;
  if (!end) return { box: [left, top, right, bottom], aside: 0 };
  return {
    aside: right + APART - end[0],
    box: [left, Math.min(top, end[1]), right + APART + end[2] - end[0], Math.max(bottom, end[3])],
  };
}

const holds = (outer, [left, top, right, bottom]) =>
  outer !== undefined &&
  outer[0] <= left &&
  outer[1] <= top &&
  outer[2] >= right &&
  outer[3] >= bottom &&
  outer[2] - outer[0] < 1.3 * (right - left) + 2 * MARGIN &&
  outer[3] - outer[1] < 1.3 * (bottom - top) + 4 * MARGIN;

// The frame stays while the lure fits into it, so that the picture is calm while things are dragged.
const frames = new WeakMap();

function frame(svg, box, afloat) {
  const kept = frames.get(svg);
  const [left, top, right, bottom] = box;
  const next = holds(kept, box)
    ? kept
    : [left - MARGIN, (afloat ? Math.min(top, -AIR) : top) - MARGIN, right + MARGIN, bottom + MARGIN];
  frames.set(svg, next);
  set(svg, { viewBox: `${next[0]} ${next[1]} ${next[2] - next[0]} ${next[3] - next[1]}` });
  return next;
}

function ripple(left, right) {
  let waves = "";
  for (let x = left; x < right; x += 6) waves += "q1.5 -0.5 3 0t3 0";
  return `M${left} 0${waves}`;
}

// Each word stands on the far side of its dot from the other, and over both.
function centres({ buoyancy, gravity }, size) {
  const lower = buoyancy && gravity && gravity[1] < buoyancy[1] ? "buoyancy" : "gravity";
  const both = [
    ...centre("buoyancy", "lift", buoyancy, lower === "buoyancy", size),
    ...centre("gravity", "weight", gravity, lower === "gravity", size),
  ];
  return both.sort((a, b) => (a.tagName === "text") - (b.tagName === "text"));
}

// below: whether its word stands below the dot.
function centre(name, word, at, below, size) {
  if (!at) return [];
  const dot = shape("circle", { class: `centre ${name}`, cx: at[0], cy: at[1], r: 1.1, "stroke-width": 0.4 });
  const text = shape("text", {
    class: "centre-word",
    x: at[0],
    y: at[1] + (below ? 1.9 + 0.8 * size : -1.9),
    "font-size": size,
    "text-anchor": "middle",
    "stroke-width": size / 5,
  });
  text.textContent = word;
  return [dot, text];
}

// One shape of a figure.
export const outline = (p) =>
  shape("path", {
    class: p.stroke > 0 ? `${p.kind} thread` : p.kind,
    d: path(p.points, p.closed),
    "stroke-width": p.stroke > 0 ? Math.max(p.stroke, 0.35) : 0.3,
  });

const skin = (p, pattern) =>
  p.kind === "body" && pattern
    ? [outline(p), shape("path", { class: "grain", d: path(p.points, p.closed), fill: pattern.fill })]
    : [outline(p)];

// What shows one part is one group, so that it can be taken hold of.
function parts(shapes, pattern = null) {
  const groups = [];
  for (const p of shapes) {
    const own = p.seat !== "" && p.piece !== "";
    const last = groups[groups.length - 1];
    if (own && last?.dataset.seat === p.seat && last.dataset.piece === p.piece) last.append(outline(p));
    else if (own)
      groups.push(shape("g", { class: "part", "data-seat": p.seat, "data-piece": p.piece }, outline(p)));
    else groups.push(...skin(p, pattern));
  }
  return groups;
}

// made: what the body is made of (grain.js); over(frame): what is laid over the water, behind the lure.
export function drawWater(svg, drawing, { made = "", over = () => [] } = {}) {
  const { box, aside } = extent(drawing);
  const [left, top, right, bottom] = frame(svg, box, drawing.afloat);
  const surface = drawing.afloat ? 0 : top;
  const size = wordSize(svg, right - left);
  const wide = 6 * (right - left); // the picture may be much wider than its frame
  const pattern = grain(svg, made, drawing.nose_down_deg);
  svg.dataset.made = made;
  svg.replaceChildren(
    ...(pattern ? [pattern.defs] : []),
    shape("rect", {
      class: "water",
      x: left - wide,
      y: surface,
      width: 3 * wide,
      height: Math.max(0, bottom - surface) + wide,
    }),
    ...over({ left, top, right, bottom, size, end: drawing.box[2] + APART / 2 }),
    ...parts(drawing.shapes, pattern),
    ...(drawing.end
      ? [shape("g", { class: "ahead", transform: `translate(${aside} 0)` }, ...parts(drawing.end.shapes))]
      : []),
    ...(drawing.afloat
      ? [shape("path", { class: "surface", d: ripple(left - wide, right + wide), "stroke-width": 0.4 })]
      : []),
    ...centres(drawing.centres, size),
  );
}
