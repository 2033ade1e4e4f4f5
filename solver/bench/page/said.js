// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers as text: lengths for the file, in the unit that the maker used there, and figures for the
// eye in the units that the bench was started with. Nothing is worked out here but units and digits.
const MM_INCH = 25.4; // both by definition
const G_OUNCE = 28.349523125;

let inch = false;

export const useUnits = (units) => {
  inch = units === "inch";
};

const known = (value) => typeof value === "number";

const digits = (value, most) => String(Number(value.toFixed(most)) + 0);

// like: the text that stood there; without one the bench's own unit is taken.
const inchText = /(in|inch|inches|")\s*$/i;
export const sayLength = (mm, like) =>
  (typeof like === "string" ? inchText.test(like) : inch)
    ? `${digits(mm / MM_INCH, 3)} in`
    : `${digits(mm, 1)} mm`;

export function figure(value, most, unit) {
  if (!known(value)) return "not known";
  const text = value.toFixed(most).replace(/^-(?=[0.]*$)/, ""); // never minus zero
  return `${text} ${unit}`.trim(); // a plain "-", as the program's own texts and files have it
}

export const length = (mm, most = 1) =>
  inch && known(mm) ? figure(mm / MM_INCH, most + 1, "in") : figure(mm, most, "mm");

// Of lines and depths of water, m.
export const reach = (m) => (inch ? figure(m / 0.3048, m < 3 ? 1 : 0, "ft") : figure(m, m < 9.95 ? 1 : 0, "m"));

export const mass = (g, most = 2) =>
  inch && known(g) ? figure(g / G_OUNCE, most + 1, "oz") : figure(g, most, "g");

// With its sign, where the digits shown are not all nought.
const plus = (text) => (/^[0.]*[1-9]/.test(text) ? `+${text}` : text);

// Milligrams below a gram, as in the figures beside the drawing.
export function signedMass(g) {
  const small = !inch && known(g) && Math.abs(g) < 0.9995;
  return plus(small ? figure(g * 1e3, 0, "mg") : mass(g, inch ? 3 : 2));
}

// What the program says, as a sentence; closed: as its end.
export const closed = (words) => (/[.?!]$/.test(words) ? words : `${words}.`);
export const sentence = (words) => (words ? `${words[0].toUpperCase()}${closed(words.slice(1))}` : "");

export const signed = (value, most, unit) => plus(figure(value, most, unit));

export function speed(mm_s) {
  if (inch && known(mm_s)) return figure(mm_s / MM_INCH, 2, "in/s");
  const slow = Math.abs(mm_s) < 9.95;
  return figure(known(mm_s) ? mm_s / 10 : mm_s, slow ? 2 : 1, "cm/s");
}

export function drift(mm_s) {
  if (!known(mm_s)) return "speed not known";
  if (Math.abs(mm_s) < 0.05) return "stands still";
  return `${speed(Math.abs(mm_s))} ${mm_s > 0 ? "down" : "up"}`;
}

export function angle(deg) {
  if (!known(deg)) return "angle not known";
  if (Math.abs(deg) < 0.05) return "level";
  return `${deg > 0 ? "nose-down" : "nose-up"} ${figure(Math.abs(deg), 1, "deg")}`;
}

// As share_text (solver/words) has it.
export const share = (part) => {
  const whole = Math.floor(part * 100 + 0.5);
  return part > 0 && whole < 1 ? "fewer than 1" : String(whole);
};

export const warmth = (c) => (inch ? `${digits(c * 1.8 + 32, 0)} F` : `${digits(c, 1)} C`);

export function water({ salinity_g_kg, temperature_c }) {
  const salt = salinity_g_kg > 0 ? `water of ${digits(salinity_g_kg, 1)} g/kg salt` : "fresh water";
  return `${salt} at ${warmth(temperature_c)}`;
}
