// SPDX-License-Identifier: GPL-3.0-or-later
// What tank readings taught, as tables: each reading against what the build said, and what the lure
// is now thought to do, with ranges that hold 90 of 100.
import { cell, make, table, unbroken } from "./dom.js";
import { angle, drift, figure, length, mass, sentence, signedMass } from "./said.js";

const names = {
  scale: "on the scale",
  "in water": "in water",
  drift: "speed",
  tilt: "nose-down under water",
  "tilt afloat": "nose-down afloat",
  shows: "shows",
  balance: "balances at",
};
const sayers = {
  g: mass,
  mm_s: drift,
  mm: length,
  deg: (value) => figure(value, 1, "deg"),
  percent: (value) => figure(value, 1, "%"),
};

// A reading's keys end in its unit: read_g, before_g, after_g.
function reading(r, named) {
  const unit = Object.keys(r)
    .find((key) => key.startsWith("read_"))
    .slice(5);
  const say = (value) => (sayers[unit] ?? String)(value);
  return make(
    "tr",
    {},
    make("th", { scope: "row" }, names[r.reading] ?? r.reading),
    ...[r[`read_${unit}`], r[`before_${unit}`], r[`after_${unit}`]].map((value) => cell(say(value))),
    make("td", {}, r.contradicts ? make("span", { class: "bad" }, "contradicts the others") : named(r.taught_most)),
  );
}

const range = (word, at, say) =>
  make(
    "tr",
    {},
    make("th", { scope: "row" }, word),
    ...at.map(([value, band]) =>
      make(
        "td",
        {},
        say(value),
        band.low === null ? "" : make("small", {}, " ", ...unbroken(`${say(band.low)} to ${say(band.high)}`)),
      ),
    ),
  );

const wide = (heads, rows) => make("div", { class: "table" }, table(heads, rows));

// A reading that contradicts spoils every figure: then only the sentences are shown. named(words): ids in them as names.
export function lesson({ said, readings, before, after, text, contradiction, build }, named) {
  const spoilt = contradiction && !build;
  const first = said.map((words) => make("p", { class: spoilt ? "bad" : "hint" }, sentence(words)));
  if (spoilt) return first;
  const both = (what, unit) =>
    [before, after].map((lure) => [lure.outcome[`${what}_${unit}`], lure[`${what}_range_${unit}`]]);
  return [
    ...first,
    make("h4", {}, "Each reading"),
    wide(
      ["read", "the tank said", "the build said", "it says now", "taught most about"],
      readings.map((r) => reading(r, named)),
    ),
    make("h4", {}, "The finished lure"),
    wide(
      ["", "before", "now"],
      [
        range("Weight in water", both("net_weight", "g"), signedMass),
        range("Speed", both("drift", "mm_s"), drift),
        range("Lies", both("nose_down", "deg"), angle),
      ],
    ),
    make(
      "details",
      {},
      make("summary", {}, "All corrections"),
      make("pre", { tabindex: 0, "aria-label": "All corrections" }, text),
    ),
  ];
}
