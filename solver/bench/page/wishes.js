// SPDX-License-Identifier: GPL-3.0-or-later
// Plain words for targets, each with the bands that it writes into the file. The bands of speed are
// those of the tool's own words (docs/rest.md).
export const states = [
  ["float", "float"],
  ["suspend", "suspend"],
  ["sink", "sink"],
];

// What was asked of another state and cannot be of this one goes.
export function aimAt(doc, state) {
  const other = doc.target?.state !== state;
  doc.target = { ...doc.target, state };
  if (other) delete doc.target.drift;
  if (state !== "float") delete doc.target.shows;
}

export const speeds = {
  float: [
    ["as fast as it will", null],
    ["rise very slowly", ["-40 mm/s", "-15 mm/s"]],
    ["rise slowly", ["-100 mm/s", "-40 mm/s"]],
    ["rise briskly", ["-350 mm/s", "-100 mm/s"]],
  ],
  suspend: [
    ["stand still, or nearly", null],
    ["hover: drift up to 1.5 cm/s", ["-15 mm/s", "15 mm/s"]],
    ["hover, rather rising", ["-15 mm/s", "0 mm/s"]],
    ["hover, rather sinking", ["0 mm/s", "15 mm/s"]],
  ],
  sink: [
    ["as fast as it will", null],
    ["sink very slowly", ["15 mm/s", "40 mm/s"]],
    ["sink slowly", ["40 mm/s", "100 mm/s"]],
    ["sink briskly", ["100 mm/s", "350 mm/s"]],
    ["sink fast", ["350 mm/s", null]],
  ],
};

export const attitudes = [
  ["any way it likes", null],
  ["level", ["-3 deg", "3 deg"]],
  ["a little nose-down", ["3 deg", "10 deg"]],
  ["nose-down", ["10 deg", "25 deg"]],
  ["level to nose-down", ["0 deg", "20 deg"]],
  ["a little nose-up", ["-10 deg", "-3 deg"]],
];

export const shows = [
  ["as much as it will", null],
  ["hardly anything", ["0 %", "5 %"]],
  ["a little of the back", ["5 %", "15 %"]],
  ["a quarter or so", ["18 %", "32 %"]],
  ["some two fifths", ["34 %", "46 %"]],
];

export const salts = [
  ["fresh", ""],
  ["brackish", "10 g/kg"],
  ["sea", "35 g/kg"],
];
