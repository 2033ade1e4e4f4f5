// SPDX-License-Identifier: GPL-3.0-or-later
// How sure the figures are, as bars: where 90 of 100 such lures lie, against the band that was wanted.
// All figures are the program's; a bar only lays them out.
import { make, shape } from "./dom.js";
import { angle, drift, figure, signedMass } from "./said.js";

const percent = (value) => figure(value, 1, "%");

// name, key of the range in `spread`, key in `wanted`, words
const rows = [
  ["Speed", "drift_range_mm_s", "drift_mm_s", drift],
  ["Shows above water", "shows_range_percent", "shows_percent", percent],
  ["Lies", "nose_down_range_deg", "nose_down_deg", angle],
  ["Weight in water", "net_weight_range_g", null, signedMass],
];

const isNumber = (value) => typeof value === "number";

function bandWords([low, high], say) {
  if (isNumber(low) && isNumber(high)) return `wanted ${say(low)} to ${say(high)}`;
  if (isNumber(low)) return `wanted ${say(low)} or more`;
  return isNumber(high) ? `wanted ${say(high)} or less` : "";
}

// What is drawn goes from the least to the most of all that is told, and a little beyond.
function axis(values) {
  const known = values.filter(isNumber);
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const room = Math.max(high - low, 1e-6) * 0.08;
  const at = (value) => (100 * (value - low + room)) / (high - low + 2 * room);
  return at;
}

function drawn(range, wanted) {
  const at = axis([range.low, range.high, range.nominal, ...(wanted ?? [])]);
  const box = (from, to, top, height, name) =>
    shape("rect", { x: from, y: top, width: Math.max(to - from, 0.6), height, class: name });
  const svg = shape("svg", { viewBox: "0 0 100 14", preserveAspectRatio: "none", class: "span", "aria-hidden": "true" });
  if (wanted && wanted.some(isNumber))
    svg.append(box(isNumber(wanted[0]) ? at(wanted[0]) : 0, isNumber(wanted[1]) ? at(wanted[1]) : 100, 0, 14, "wanted"));
  svg.append(box(at(range.low), at(range.high), 4, 6, "likely"));
  if (isNumber(range.nominal)) svg.append(box(at(range.nominal) - 0.4, at(range.nominal) + 0.4, 1, 12, "middle"));
  return svg;
}

// spread, wanted: as the route `sure` gives them.
export function ranges(spread, wanted) {
  const water = spread.waters[0];
  const told = rows.filter(([, key]) => isNumber(water[key]?.low) && isNumber(water[key]?.high));
  return make(
    "dl",
    { class: "spans" },
    ...told.map(([name, key, band, say]) => {
      const range = water[key];
      const asked = band ? wanted?.[band] : null;
      return make(
        "div",
        {},
        make("dt", {}, name),
        make(
          "dd",
          {},
          drawn(range, asked),
          make("span", {}, `${say(range.low)} to ${say(range.high)}`),
          asked ? make("small", {}, bandWords(asked, say)) : null,
        ),
      );
    }),
  );
}
