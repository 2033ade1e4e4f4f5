// SPDX-License-Identifier: GPL-3.0-or-later
// What the program answered to the build: the lure as it lies, in words and figures. The same for
// the live view and for a part held up for trial.
import { cell, make, table, unbroken } from "./dom.js";
import { placeWords } from "./faults.js";
import { angle, closed, drift, figure, signed, signedMass } from "./said.js";
import { drawWater } from "./water.js";

export const headline = (rest) => `${rest.motion}, ${rest.attitude}`;

export const verdict = (rest) =>
  rest.target ? (rest.target.met ? "as it should" : "not yet as it should") : "";

// What is off and what was wanted, a line each.
export const off = (rest) =>
  (rest.target && !rest.target.met ? (rest.verdict ?? "").trim().split(/\n(?! )/) : [])
    .map((line) => line.replace(/\s+/g, " ").replace(/^ ?misses the target: /, ""))
    .filter(Boolean)
    .map((line) => make("li", {}, ...unbroken(line)));

export function rows(rest) {
  const o = rest.outcome;
  const w = rest.words;
  const under = [
    ["Speed", w.speed],
    ["Lies", angle(o.nose_down_deg)],
  ];
  const all = [
    ["Whole lure weighs", w.mass],
    ["Weight in water", w.net_weight],
    ["Roll arm", w.roll_arm],
  ];
  if (!o.surface) return [...under, ...all];
  return [
    ["Shows above water", w.shows],
    ["Lies afloat", angle(o.surface.nose_down_deg)],
    ...(o.surface.heel_deg ? [["Heels", figure(o.surface.heel_deg, 0, "deg")]] : []),
    ["Pushed under, it comes up at", w.speed.replace(/^rising /, "")],
    ["On its way up", angle(o.nose_down_deg)],
    ...all,
  ];
}

export const figures = (rest) =>
  make(
    "dl",
    { class: "figures" },
    ...rows(rest).map(([name, value]) => make("div", {}, make("dt", {}, name), make("dd", {}, ...unbroken(value)))),
  );

// What 0.1 g more of metal does at each seat, as the program worked it out.
export const influence = (rest) =>
  table(
    ["0.1 g more at", "in water", "nose-down", "speed"],
    Object.entries(rest.influence_of_100_mg).map(([seat, by]) =>
      make(
        "tr",
        {},
        make("th", { scope: "row" }, seat),
        cell(signedMass(by.net_weight_g)),
        cell(signed(by.nose_down_deg, 1, "deg")),
        cell(drift(by.drift_mm_s)),
      ),
    ),
  );

export const notes = (rest) =>
  make(
    "ul",
    { class: "notes" },
    ...(rest.slips ?? []).map((slip) => make("li", {}, `A slip? ${placeWords(slip.where)}: ${closed(slip.text)}`)),
    ...(rest.body_said ?? []).map((said) => make("li", {}, `Body: ${said}.`)),
    ...(rest.book ?? []).map((figure) => make("li", {}, `Your book: ${figure.said}.`)),
    ...(rest.seen ?? []).map((words) => make("li", {}, `Seen on the water: ${words}.`)),
    ...(rest.seen_of_shape ?? []).map((seen) =>
      make("li", {}, `Seen of a lure of this shape, ${seen.lure}: ${seen.words}.`),
    ),
    ...rest.outcome.notes.map((note) => make("li", {}, note)),
  );

// how: as drawWater has it.
export function draw(svg, rest, how = {}) {
  drawWater(svg, rest.drawing, how);
  svg.setAttribute(
    "aria-label",
    `The lure from the side and from ahead, as it lies in the water: ${headline(rest)}` +
      (rest.drawing.heel_deg ? `, heeled by ${figure(Math.abs(rest.drawing.heel_deg), 0, "deg")}` : ""),
  );
}
