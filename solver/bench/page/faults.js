// SPDX-License-Identifier: GPL-3.0-or-later
// Tells what is wrong next to the field that it belongs to, and which drawer holds that field.
import { steps } from "./path.js";

const marked = new Set();

function clear() {
  for (const control of marked) {
    control.removeAttribute("aria-invalid");
    control.removeAttribute("aria-describedby");
    const slot = document.getElementById(control.dataset.fault);
    if (slot) slot.hidden = true;
  }
  marked.clear();
  for (const tab of document.querySelectorAll("[role=tab][data-faulty]")) {
    tab.removeAttribute("data-faulty");
    tab.querySelector(".sr").textContent = "";
  }
}

// The field of that very place, else one inside it, else the nearest around it.
function find(where) {
  const controls = [...document.querySelectorAll("[data-path][data-fault]")];
  const at = (control) => control.dataset.path;
  return (
    controls.find((c) => at(c) === where) ??
    controls.find((c) => at(c).startsWith(`${where}/`)) ??
    controls.filter((c) => where.startsWith(`${at(c)}/`)).sort((a, b) => at(b).length - at(a).length)[0] ??
    null
  );
}

function markTab(control) {
  const panel = control.closest("[role=tabpanel]");
  const tab = panel && document.querySelector(`[aria-controls="${panel.id}"]`);
  if (!tab) return;
  tab.setAttribute("data-faulty", "");
  tab.querySelector(".sr").textContent = " (something to mend)";
}

// A place of the build as a maker finds it: its field's name, else the keys that lead there.
export function placeWords(where) {
  if (!where.startsWith("/")) return where;
  const [kind, seat, ...rest] = steps(where);
  const field = find(where);
  // The field of another place inside this one says less than the place itself.
  const own = field && !field.dataset.path.startsWith(`${where}/`);
  const label = own ? field.closest("label")?.querySelector(".name")?.firstChild.textContent : undefined;
  if (seat === undefined || (kind !== "seats" && kind !== "fitted")) return label ?? steps(where).join(", ");
  return [`the seat ${seat}`, ...(label ? [label.toLowerCase()] : rest)].join(", ");
}

// Returns the field, or null when no field stands for that place.
export function showFault(where, text) {
  clear();
  const control = where ? find(where) : null;
  if (!control) return null;
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", control.dataset.fault);
  const slot = document.getElementById(control.dataset.fault);
  slot.textContent = text;
  slot.hidden = false;
  marked.add(control);
  markTab(control);
  return control;
}

export const clearFaults = clear;
