// SPDX-License-Identifier: GPL-3.0-or-later
// The build as fields. A field stands for one place of the file and holds the file's own text, so
// that whatever a file accepts, the field accepts; the program alone reads it.
import { make } from "./view.js";

const plain = (value) => value === undefined || typeof value === "string" || typeof value === "number";

function look(doc, path) {
  return path.reduce((at, key) => (at === undefined || at === null ? undefined : at[key]), doc);
}

export function put(doc, path, value) {
  const last = path[path.length - 1];
  let at = doc;
  for (const key of path.slice(0, -1)) at = at[key] ??= {};
  if (value !== "") at[last] = value;
  else if (Array.isArray(at)) at[last] = null;
  else delete at[last];
}

export const pointer = (path) => "/" + path.join("/");

function field(doc, label, path, change, choices) {
  const value = look(doc, path);
  const input = make(choices ? "select" : "input", { "data-path": pointer(path) });
  if (choices) {
    for (const [id, name] of choices) input.append(make("option", { value: id }, name));
  } else {
    input.spellcheck = false;
  }
  if (value !== null && !plain(value)) {
    input.disabled = true;
    input.title = "written out in the file; change it there";
  }
  input.value = value === null || !plain(value) ? "" : String(value ?? "");
  input.addEventListener(choices ? "change" : "input", () => change(path, input.value));
  return make("label", {}, label, input);
}

const paired = (doc, label, path, change) =>
  ["least", "most"].map((word, i) => field(doc, `${label}, ${word}`, [...path, i], change));

const states = [["float", "floats"], ["suspend", "suspends"], ["sink", "sinks"]];

export function showLure(into, doc, shelf, change) {
  const materials = [["", "by its weight alone"], ...shelf.materials.map((m) => [m.id, m.name])];
  into.replaceChildren(
    field(doc, "Name", ["name"], change),
    field(doc, "Body of", ["body", "material"], change, materials),
    field(doc, "Blank on the scale", ["body", "mass"], change),
    field(doc, "Water temperature", ["water", "temperature"], change),
    field(doc, "Salt in the water", ["water", "salinity"], change));
}

export function showTarget(into, doc, change) {
  const waters = look(doc, ["target", "water"]);
  into.replaceChildren(
    field(doc, "It", ["target", "state"], change, states),
    ...(look(doc, ["target", "drift"]) ? paired(doc, "Drift down", ["target", "drift"], change) : []),
    ...(look(doc, ["target", "nose_down"]) ? paired(doc, "Nose-down", ["target", "nose_down"], change) : []),
    ...(look(doc, ["target", "shows"]) ? paired(doc, "Shows", ["target", "shows"], change) : []),
    ...(Array.isArray(waters) ? waters.map((_, i) =>
      field(doc, `In water ${i + 1}, temperature`, ["target", "water", i, "temperature"], change)) : []));
}

const carries = { tie: ["eye", "ring", "snap"], hanger: ["eye", "ring", "hook"], slot: [], patch: [] };

export function showSeats(into, doc, parts, shelf, change, swap) {
  into.replaceChildren(...Object.entries(doc.seats ?? {}).map(([name, seat]) => {
    const place = Array.isArray(seat.x)
      ? ["from", "to"].map((word, i) => field(doc, `Place ${word}`, ["seats", name, "x", i], change))
      : [field(doc, "Place from the nose", ["seats", name, "x"], change)];
    const pieces = (carries[seat.kind] ?? []).map((kind) => {
      const select = make("select", { "data-swap": `${name}.${kind}` }, make("option", { value: "none" }, "none"));
      for (const part of shelf.parts) if (part.kind === kind) select.append(make("option", { value: part.id }, part.id));
      select.value = parts[name]?.[kind] ?? "none";
      select.addEventListener("change", () => swap(name, kind, select.value));
      return make("label", {}, kind, select);
    });
    return make("fieldset", {}, make("legend", {}, name), make("div", { class: "fields" }, ...place, ...pieces));
  }));
}

export function showBody(into, doc, change) {
  const stations = look(doc, ["body", "stations"]);
  if (!Array.isArray(stations)) {
    into.replaceChildren("This body is not given by stations; change it in its file.");
    return;
  }
  into.replaceChildren(...stations.map((station, i) => {
    const keys = "diameter" in station ? ["x", "diameter"] : ["x", "width", "height"];
    return make("fieldset", {}, make("legend", {}, `section ${i + 1}`),
      make("div", { class: "fields" }, ...keys.map((key) => field(doc, key, ["body", "stations", i, key], change))));
  }));
}

export function markFault(where) {
  for (const input of document.querySelectorAll("[data-path]"))
    input.setAttribute("aria-invalid", String(where !== "" && input.dataset.path === where));
}
