// SPDX-License-Identifier: GPL-3.0-or-later
// Plain bodies to start from; every line is meant to be changed.
const round = (pairs) => pairs.map(([x, d]) => ({ x: `${x} mm`, diameter: `${d} mm` }));
const flat = (rows) => rows.map(([x, w, h]) => ({ x: `${x} mm`, width: `${w} mm`, height: `${h} mm` }));

function build(name, stations, belly, tail) {
  return {
    ballastry: 1,
    name,
    water: { temperature: "10 C", salinity: "0 g/kg" },
    body: { stations, material: "larch", coats: [{ material: "epoxy-clear", thickness: "0.25 mm" }] },
    seats: {
      tie: { kind: "tie", x: "1 mm", side: "nose" },
      belly: { kind: "hanger", x: `${belly} mm`, side: "belly" },
      tail: { kind: "hanger", x: `${tail} mm`, side: "tail" },
      keel: { kind: "patch", x: [`${belly + 4} mm`, `${Math.round(tail * 0.75)} mm`], side: "belly", width: "8 mm" },
    },
    target: { state: "suspend", drift: ["-15 mm/s", "15 mm/s"], nose_down: ["0 deg", "20 deg"] },
    limits: { hook_size: ["10", "4"], lead_free: true },
  };
}

export const bodies = {
  "turned spindle, 90 mm": build("turned spindle",
    round([[0, 0], [6, 9], [18, 14], [35, 16], [55, 14], [75, 9], [90, 3]]), 32, 89),
  "flat-sided body, 70 mm": build("flat-sided body",
    flat([[0, 0, 0], [5, 6, 10], [18, 9, 19], [34, 9, 20], [52, 7, 13], [70, 3, 5]]), 22, 69),
  "short round body, 55 mm": build("short round body",
    round([[0, 0], [4, 11], [14, 19], [26, 21], [40, 15], [55, 4]]), 20, 54),
};
