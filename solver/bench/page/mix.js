// SPDX-License-Identifier: GPL-3.0-or-later
// A body cast of a mix: resin, filler and the filler's share, and what a plain material is changed to.
import { button } from "./dom.js";
import { field } from "./field.js";
import { look, put } from "./path.js";

const at = ["body", "material", "mix"];

export const isMix = (body) => look(body, ["material", "mix"]) !== undefined;

export function makeMix(doc) {
  put(doc, ["body", "material"], { mix: { resin: "epoxy-clear", filler: { density: "0.2 g/cm3" }, share: "30 %" } });
}

// What the fields depend on.
export const mixShape = (body) => {
  const mix = look(body, ["material", "mix"]) ?? {};
  return [typeof mix, typeof mix.filler, typeof mix.resin, Object.hasOwn(mix, "share_by_mass")];
};

function oneOf(bench, label, key, mix, materials) {
  const own = mix[key] !== null && typeof mix[key] === "object";
  const choices = [...materials.map((m) => [m.id, m.name]), ["#own", "of its own density"]];
  const choose = (doc, id) => put(doc, [...at, key], id === "#own" ? { density: "" } : id);
  return own
    ? [
        field(bench, `${label}'s density`, [...at, key, "density"], { hint: "0.2 g/cm3" }),
        button(`Known ${label.toLowerCase()}`, () => bench.edit(null, (doc) => put(doc, [...at, key], materials[0].id)), { class: "quiet", "data-at": `mix-${key}` }),
      ]
    : [field(bench, label, [...at, key], { choices, edit: choose })];
}

// bench: the page's state; body: as the build has it.
export function mixFields(bench, body) {
  const mix = look(body, ["material", "mix"]);
  if (mix === null || typeof mix !== "object") return [];
  const { materials } = bench.shelf;
  const byMass = Object.hasOwn(mix, "share_by_mass");
  const turn = (doc) => {
    const now = look(doc, at);
    const [from, to] = byMass ? ["share_by_mass", "share"] : ["share", "share_by_mass"];
    now[to] = now[from] ?? "";
    delete now[from];
  };
  return [
    ...oneOf(bench, "Resin", "resin", mix, materials),
    ...oneOf(bench, "Filler", "filler", mix, materials),
    field(bench, byMass ? "Filler's share by weight" : "Filler's share by volume", [...at, byMass ? "share_by_mass" : "share"], { hint: "30 %" }),
    button(byMass ? "Say it by volume" : "Say it by weight", () => bench.edit(null, turn), { class: "quiet", "data-at": "mix-way" }),
  ];
}

// A material that is written out gives way to a plain one again.
export const plainMaterial = (bench, body) =>
  body.material !== null && typeof body.material === "object"
    ? [button("A plain material", () => bench.edit(null, (doc) => put(doc, ["body", "material"], "larch")), { class: "quiet", "data-at": "plain-material" })]
    : [];
