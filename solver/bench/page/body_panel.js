// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the bare body: its outline and stations, what it is made of, its coats.
import { button, keepingFocus, make } from "./dom.js";
import { faultSlot, field, refresh } from "./field.js";
import { readLength } from "./ask.js";
import { look, put } from "./path.js";
import { BodyPhoto } from "./body_photo.js";
import { isMix, makeMix, mixFields, mixShape, plainMaterial } from "./mix.js";
import { Outline } from "./outline.js";
import { Pieces } from "./pieces.js";
import { isTurned, stationsOf, stretch, turn } from "./sizes.js";
import { StationTable } from "./station_table.js";

const section = (title, ...children) =>
  make("section", { class: "card" }, make("h3", {}, title), ...children);

export class BodyPanel {
  #bench;
  #shape = "";

  constructor(root, bench) {
    this.#bench = bench;
    this.root = root;
    const drawing = make("div");
    this.table = new StationTable(bench, (i) => this.outline.choose(i, false));
    this.outline = new Outline(drawing, bench, (i) => this.table.choose(i));
    const photo = make("div");
    this.photo = new BodyPhoto(photo, bench, this.outline.view);
    this.made = make("div", { class: "fields" });
    this.coats = make("div");
    this.scale = this.#scaleRow();
    this.source = make("p", { class: "hint" });
    this.pieces = new Pieces(bench);
    root.append(
      section(
        "Shape",
        make(
          "div",
          { class: "fields" },
          field(bench, "Name of the lure", ["name"], { hint: "a name", wide: true }),
        ),
        drawing,
        this.scale,
        this.source,
        photo,
        make("details", { class: "stations" }, make("summary", {}, "Stations, to type"), this.table.root),
      ),
      section("Made of", this.made),
      this.pieces.root,
      section("Coats", this.coats),
    );
  }

  #scaleRow() {
    const input = make("input", {
      "data-at": "new-length",
      spellcheck: "false",
      placeholder: "90 mm or 3 1/2 in",
    });
    const fault = faultSlot(input);
    const work = (across) => async () => {
      fault.hidden = true;
      input.removeAttribute("aria-invalid");
      try {
        const { lure } = this.#bench;
        const text = input.value;
        const mm = await readLength(text);
        if (lure !== this.#bench.lure) return;
        if (input.value === text) input.value = "";
        this.#bench.withAnswer(({ body }) => {
          const list = body.stations;
          const factor = mm / (list[list.length - 1].x - list[0].x);
          this.#bench.edit(null, (doc) => stretch(doc, body, factor, across ? factor : 1));
        });
      } catch (refusal) {
        fault.textContent = refusal.message;
        fault.hidden = false;
        input.setAttribute("aria-invalid", "true");
        input.setAttribute("aria-describedby", fault.id);
      }
    };
    input.addEventListener("input", () => {
      fault.hidden = true;
      input.removeAttribute("aria-invalid");
    });
    input.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && input.value.trim() !== "") void work(false)();
    });
    return make(
      "div",
      { class: "row ends" },
      make("label", { class: "field" }, make("span", { class: "name" }, "New length"), input, fault),
      button("Stretch lengthwise", work(false)),
      button("Scale all round", work(true)),
    );
  }

  #materials() {
    return [
      ["", "not known: weighed only"],
      ...this.#bench.shelf.materials.map((m) => [m.id, m.name]),
      ["#own", "of its own density"],
      ["#mix", "a cast mix"],
      ["#file", "as its file says"],
    ];
  }

  // What the fields are depends on the body's source; the fields of each keep their own texts.
  #build(doc) {
    const bench = this.#bench;
    const body = doc.body ?? {};
    const stages = [
      ["", "bare"],
      ["cut", "slot and holes cut"],
      ["eyed", "eyes and lip mounted"],
      ["coated", "coated"],
      ["complete", "complete, hooks hung"],
    ];
    this.made.replaceChildren(
      ...[
        field(bench, "Material", ["body", "material"], { choices: this.#materials(), edit: chooseMaterial }),
        ...(look(body, ["material", "density"]) !== undefined
          ? [
              field(bench, "Its density", ["body", "material", "density"], { hint: "0.55 g/cm3" }),
              field(bench, "give or take", ["body", "material", "give"], { hint: "10 %" }),
            ]
          : []),
        ...mixFields(bench, body),
        ...plainMaterial(bench, body),
        field(bench, "Blank on the scale", ["body", "mass"], { hint: "not weighed" }),
        ...(body.mass !== undefined
          ? [field(bench, "Weighed when", ["body", "weighed"], { choices: stages })]
          : []),
        field(bench, "Balances at, from the nose", ["body", "balance"], { hint: "not measured" }),
        ...(body.stations !== undefined
          ? [field(bench, "Roundness of sections", ["body", "section"], { hint: "2, an ellipse" })]
          : []),
        ...Object.keys(look(body, ["measured"]) ?? {}).map((key) =>
          field(bench, `Measured ${key}`, ["body", "measured", key]),
        ),
      ],
    );
    this.#buildCoats(body.coats ?? []);
    const list = stationsOf(doc);
    this.scale.hidden = this.outline.bar.hidden = this.photo.root.hidden = list === null;
    this.table.root.parentElement.hidden = list === null;
    this.#tellSource(body);
  }

  #buildCoats(coats) {
    const bench = this.#bench;
    const choices = [...bench.shelf.materials.map((m) => [m.id, m.name]), ["#own", "as its file says"]];
    this.coats.replaceChildren(
      ...coats.map((_, i) =>
        make(
          "div",
          { class: "row ends" },
          field(bench, `Coat ${i + 1}, inside first`, ["body", "coats", i, "material"], { choices }),
          field(bench, "Thickness", ["body", "coats", i, "thickness"], { hint: "0.25 mm" }),
          button("Remove", () => bench.edit(null, (doc) => doc.body.coats.splice(i, 1)), {
            "aria-label": `Remove coat ${i + 1}`,
          }),
        ),
      ),
      button(
        "Add a coat",
        () =>
          bench.edit(null, (doc) => {
            doc.body.coats = [...(doc.body.coats ?? []), { material: "epoxy-clear", thickness: "0.25 mm" }];
          }),
        { "data-at": "add-coat" },
      ),
    );
  }

  // Bodies that are not given by stations in the file itself can only be looked at here.
  #tellSource(body) {
    this.source.replaceChildren();
    if (typeof body.stations === "string") {
      this.source.append(`The stations stand in ${body.stations}. Change them there, then bring that file in again under Begin.`);
    } else if (stationsOf({ body }) === null) {
      this.source.append("This body is not given by stations; its shape is changed in its file.");
    } else {
      const turned = body.stations.every(isTurned);
      this.source.append(
        turned ? "Turned: round all along. " : "Carved: width and height of their own. ",
        button(
          turned ? "Give it width and height" : "Make it round",
          () =>
            this.#bench.withAnswer((answer) => {
              const read = answer.body?.stations;
              if (read)
                this.#bench.edit(null, (doc) => {
                  doc.body.stations = doc.body.stations.map((s, i) => turn(s, read[i], !turned));
                });
            }),
          { "data-at": "turned" },
        ),
      );
    }
  }

  show(doc) {
    const body = doc.body ?? {};
    const shape = JSON.stringify([
      typeof body.stations,
      Array.isArray(body.stations) && body.stations.every(isTurned),
      body.coats?.length,
      typeof body.material,
      body.mass !== undefined,
      look(body, ["material", "density"]) !== undefined,
      isMix(body) && mixShape(body),
      Object.keys(body),
      this.#bench.shelf.materials.length,
    ]);
    keepingFocus(this.root, () => {
      if (shape !== this.#shape) this.#build(doc);
      this.#shape = shape;
      this.table.show(doc);
      this.pieces.show(doc);
      refresh(this.root, doc);
    });
  }

  // Drawn at once when the drawer is open, else when it is opened.
  answer(rest, doc) {
    this.latest = [rest.body, doc];
    if (!this.root.hidden) this.outline.show(...this.latest);
    this.photo.answered();
  }

  forget() {
    this.latest = null;
    this.photo.forget();
    this.outline.forget();
  }

  opened() {
    if (this.latest) this.outline.show(...this.latest);
  }
}

function chooseMaterial(doc, id) {
  if (id === "#own") put(doc, ["body", "material"], { density: "" });
  else if (id === "#mix") makeMix(doc);
  else if (id !== "#file") put(doc, ["body", "material"], id);
}
