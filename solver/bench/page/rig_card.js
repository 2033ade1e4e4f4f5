// SPDX-License-Identifier: GPL-3.0-or-later
// One rig that a search found: what sits where, what is new in bold, what the lure then does in each
// water, how sure that is.
import { make, shape } from "./dom.js";
import { partId, pieceNames } from "./kinds.js";
import { bars, chances } from "./odds.js";
import { angle, drift, figure, length, share, signedMass, water } from "./said.js";

function pieceWords(kind, on, name) {
  const more = {
    wire: on.turns ? `, ${on.turns} turns` : "",
    dot: on.count > 1 ? `, ${on.count} of them` : "",
    strip: on.length_mm ? `, ${length(on.length_mm)} long` : "",
    outline: on.length_mm ? `, ${length(on.length_mm)} long` : "",
  };
  return name + (more[kind] ?? "");
}

// old: what sits on this seat now.
function onSeat(on, old, nameOf) {
  const pieces = Object.keys(pieceNames).filter((kind) => on[kind] !== undefined);
  if (pieces.length === 0) return ["nothing"];
  const words = pieces.map((kind) => {
    const id = partId(on[kind]);
    return make(partId(old?.[kind]) === id ? "span" : "strong", {}, pieceWords(kind, on, nameOf(id)));
  });
  return words.flatMap((word, i) => (i === 0 ? [word] : [", ", word]));
}

// As the headline and the figures have it: afloat first, where it floats.
const inWater = (w) =>
  [
    w.surface
      ? `${water(w.water)}: floats, ${angle(w.surface.nose_down_deg)}, ${figure(w.surface.shows_percent, 1, "%")} shows; pushed under ${drift(w.drift_mm_s)}`
      : `${water(w.water)}: ${drift(w.drift_mm_s)}`,
    angle(w.nose_down_deg),
    `${signedMass(w.net_weight_g)} in water`,
  ].join(", ");

// Of a finished lure: what to do to it, in a maker's order.
function toDo(rig, named) {
  if (rig.do === undefined) return [];
  const sure = typeof rig.chance === "number" ? `Of 100 such lures ${share(rig.chance)} meet the target in the end.` : "";
  return [
    rig.do.length > 0
      ? make("ol", { class: "to-do" }, ...rig.do.map((step) => make("li", {}, named(step))))
      : make("p", { class: "words" }, "Nothing to do: as it is."),
    sure ? make("p", { class: "hint" }, sure) : null,
  ];
}

// What is off target as built by design is brought in by what can be trimmed.
function missing(rig, byDesign) {
  if (rig.met) return null;
  if (byDesign) return make("p", { class: "hint" }, "Off target as built, by design: what can be trimmed brings it in.");
  return make("p", { class: "bad" }, `Misses ${rig.misses_most}.`);
}

// fitted: what sits on the seats now; nameOf(id): a part's name; take: the button that takes it.
// named(words): ids in them as names. pin(): told when the card is pinned or let go. byDesign: it need not meet the target as built.
export function rigCard(rig, title, { fitted, nameOf, named, take, pin, byDesign }) {
  const pinned = make("input", { type: "checkbox", "aria-label": `Compare ${title}` });
  pinned.addEventListener("change", pin);
  const seats = Object.entries(rig.parts).flatMap(([seat, on]) => [
    make("dt", {}, seat),
    make("dd", {}, ...onSeat(on, fitted?.[seat], nameOf)),
  ]);
  const waters = rig.waters.map((w) => make("li", {}, inWater(w)));
  return make(
    "li",
    {},
    make(
      "div",
      { class: "row head" },
      make("h4", {}, title),
      make("label", { class: "tick pin" }, pinned, make("span", {}, "compare")),
      take,
    ),
    shape("svg", { class: "lies small", role: "img", "aria-label": `${title} as it lies` }),
    ...toDo(rig, named),
    make("dl", { class: "on" }, ...seats),
    make("ul", { class: "waters" }, ...waters),
    rig.reserve ? make("p", { class: "odds" }, bars(chances(rig.reserve))) : null,
    missing(rig, byDesign),
  );
}
