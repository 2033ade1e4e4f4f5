// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers as text: lengths for the file, in the unit that the maker used there, and figures for
// the eye. Nothing is worked out here but digits.
const inches = /(in|inch|inches|")\s*$/i;

const digits = (value, most) => String(Number(value.toFixed(most)) + 0);

export const sayLength = (mm, like) =>
  typeof like === "string" && inches.test(like) ? `${digits(mm / 25.4, 3)} in` : `${digits(mm, 1)} mm`;

export const figure = (value, most, unit) =>
  typeof value === "number"
    ? `${value
        .toFixed(most)
        .replace(/^-(?=[0.]*$)/, "")
        .replace("-", "−")} ${unit}`.trim()
    : "not known";

export const signed = (value, most, unit) =>
  (typeof value === "number" && value > 0 ? "+" : "") + figure(value, most, unit);

export const drift = (mm_s) =>
  typeof mm_s !== "number"
    ? "speed not known"
    : Math.abs(mm_s) < 0.05
      ? "stands still"
      : `${figure(Math.abs(mm_s), 1, "mm/s")} ${mm_s > 0 ? "down" : "up"}`;

export const angle = (deg) =>
  typeof deg !== "number"
    ? "angle not known"
    : Math.abs(deg) < 0.05
      ? "level"
      : `${figure(Math.abs(deg), 1, "deg")} ${deg > 0 ? "nose-down" : "nose-up"}`;

export const share = (part) => (part > 0 && part < 0.01 ? "fewer than 1" : String(Math.round(part * 100)));

export const water = (w) =>
  `${w.salinity_g_kg > 0 ? `water of ${digits(w.salinity_g_kg, 1)} g/kg salt` : "fresh water"} at ${digits(w.temperature_c, 1)} C`;
