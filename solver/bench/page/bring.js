// SPDX-License-Identifier: GPL-3.0-or-later
// Files of the maker's own, chosen or dropped onto the page: a build, a caliper list, a drawing, a mesh,
// a box. The program's readers look at them first; what they say is told here, and nothing is written
// until a build reads well with the file.
import { ask } from "./ask.js";
import { button, make } from "./dom.js";
import { faultSlot } from "./field.js";
import { placeWords } from "./faults.js";
import { tooLargeWords } from "./transport.js";

const MOST = 11 * 1024 * 1024; // bytes that a request takes as base64
const ending = (name) => /\.[^.]+$/.exec(name)?.[0].toLowerCase() ?? "";
const stem = (name) => name.replace(/\.[^.]+$/, "");

// A name that the folder takes.
const plain = (name) => name.replace(/[\\/\0-\x1f\x7f]/g, "-").replace(/^\.+/, "").slice(-100);

async function base64(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let i = 0; i < bytes.length; i += 32768) text += String.fromCharCode(...bytes.subarray(i, i + 32768));
  return btoa(text);
}

const labelled = (label, control) =>
  make("label", { class: "field" }, make("span", { class: "name" }, label), control, faultSlot(control));
const select = (...choices) => make("select", {}, ...choices.map(([value, words]) => make("option", { value }, words)));
const input = (hint) => make("input", { placeholder: hint, spellcheck: "false", autocapitalize: "off" });

// What has to be said of a file besides its name, and the body's source that comes of it.
const shapes = {
  ".csv": (name) => ({ about: "A list of widths along the body, as calipers read them.", fields: [], source: () => ({ stations: name }) }),
  ".stl": (name) => {
    const unit = select(["mm", "millimetres"], ["cm", "centimetres"], ["in", "inches"]);
    return {
      about: "A mesh of the bare body. STL files say no unit of their own.",
      fields: [["Its numbers are", unit]],
      source: () => ({ mesh: name, unit: unit.value }),
    };
  },
  ".svg": (name) => {
    const side = input("the only one");
    const way = select(["turned", "turned: as wide as high"], ["top", "drawn in the same file"], ["board", "cut from a board of"], ["width", "as wide as, of the height"]);
    const more = input("its name, or 18 mm, or 70 %");
    const length = input("as drawn");
    const of = (id) => (id ? `${name}#${id}` : name);
    return {
      about: "A drawing of the blank's outline, at life size or with its length said.",
      fields: [["Side view's name", side], ["From above it is", way], ["that is", more], ["Its real length", length]],
      source() {
        const text = more.value.trim();
        const above = { turned: { turned: true }, top: { top: of(text) }, board: { board: text }, width: { width: text } }[way.value];
        return { outline: { side: of(side.value.trim()), ...above, ...(length.value.trim() ? { length: length.value.trim() } : {}) } };
      },
    };
  },
};

// The body keeps what it is made of and its coats; all that said where its shape came from goes.
const sources = ["stations", "outline", "mesh", "measured", "unit", "nose", "up", "wall", "infill", "section", "give"];

function reshaped(doc, source) {
  const body = { ...(doc.body ?? {}) };
  for (const key of sources) delete body[key];
  for (const key of ["mass", "weighed", "balance", "balance_up"]) delete body[key]; // of the blank before
  return { ...doc, body: { ...source, material: "larch", ...body } };
}

export class Bring {
  #bench;

  // files: the page's (files.js); box: the maker's box (box_panel.js).
  constructor(bench, files, box, tell) {
    this.#bench = bench;
    this.files = files;
    this.box = box;
    this.tell = tell;
    this.dialog = make("dialog", { class: "bring", "aria-labelledby": "h-bring" });
    this.chooser = make("input", { type: "file", class: "sr", accept: ".json,.csv,.svg,.stl", tabindex: "-1", "aria-hidden": "true", id: "bring-file" });
    this.chooser.addEventListener("change", () => {
      const [file] = this.chooser.files;
      this.chooser.value = "";
      if (file) void this.take(file);
    });
    document.body.append(this.dialog, this.chooser);
    this.#hearDrops();
  }

  choose() {
    this.chooser.click();
  }

  #hearDrops() {
    const isFile = (event) => [...(event.dataTransfer?.types ?? [])].includes("Files");
    document.addEventListener("dragover", (event) => {
      if (isFile(event)) event.preventDefault();
    });
    document.addEventListener("drop", (event) => {
      if (!isFile(event) || event.defaultPrevented) return;
      event.preventDefault();
      const [file] = event.dataTransfer.files;
      if (file) void this.take(file);
    });
  }

  async take(file) {
    document.querySelector("dialog[open]")?.close();
    try {
      const kind = ending(file.name);
      if (file.size > MOST) this.#say(`${file.name} ${tooLargeWords}`);
      else if (kind === ".json") await this.files.bring(plain(file.name), await file.text());
      else if (kind === ".csv" && /box/i.test(file.name)) await this.#boxed(file);
      else if (shapes[kind]) this.#shape(file, shapes[kind](plain(file.name)));
      else this.#say(`${file.name} is no build (.json), caliper list or box (.csv), drawing (.svg) or mesh (.stl).`);
    } catch (refusal) {
      this.#say(refusal.message);
    }
  }

  #say(words) {
    this.#open("This file", make("p", { role: "alert" }, words));
  }

  #open(title, ...nodes) {
    const end = make("div", { class: "row end" }, button("Leave it", () => this.dialog.close()));
    this.dialog.replaceChildren(make("h2", { id: "h-bring" }, title), ...nodes, end);
    if (!this.dialog.open) this.dialog.showModal();
  }

  async #boxed(file) {
    const text = await file.text();
    const fault = make("p", { class: "bad", role: "alert" });
    const put = button(
      "Make it your box",
      async () => {
        fault.textContent = (await this.box.replace(text)) ?? "";
        if (fault.textContent === "") this.dialog.close();
      },
      { class: "deed" },
    );
    this.#open("A box", make("p", {}, `${file.name} becomes box.csv beside your builds; what lies there now can be had back under Box.`), fault, make("div", { class: "row" }, put));
  }

  // The lure as it is by now, should it have been changed while the file was on its way.
  #reshape(lure, source) {
    if (lure === this.#bench.lure) this.#bench.take(JSON.stringify(reshaped(this.#bench.doc, source)));
  }

  #shape(file, { about, fields, source }) {
    const name = plain(file.name);
    const { lure } = this.#bench;
    const fault = make("p", { class: "bad", role: "alert" });
    const over = make("input", { type: "checkbox" });
    const again = make("label", { class: "tick", hidden: true }, over, make("span", {}, "write over the file that is there"));
    // The dialog holds the page until the build is there: what is typed then is the new shape's.
    const work = (doc, done) => async () => {
      fault.textContent = "";
      this.dialog.inert = true;
      try {
        const build = JSON.stringify(doc());
        await ask("import", { name, base64: await base64(file), build, ...(over.checked ? { over: true } : {}) });
        await done(build);
        this.dialog.close();
      } catch (refusal) {
        again.hidden = refusal.status !== 409;
        fault.textContent = [placeWords(refusal.where ?? ""), refusal.message].filter(Boolean).join(": ");
      } finally {
        this.dialog.inert = false;
      }
    };
    const fresh = () => ({ ballastry: 1, name: stem(name), body: { ...source(), material: "larch" }, seats: {} });
    this.#open(
      `The shape in ${name}`,
      make("p", { class: "hint" }, about),
      make("div", { class: "fields" }, ...fields.map(([label, control]) => labelled(label, control))),
      fault,
      again,
      make(
        "div",
        { class: "row" },
        button("Begin a lure of that shape", work(fresh, (build) => this.files.bring(`${stem(name)}.json`, build)), { class: "deed" }),
        button("Give the open lure that shape", work(() => reshaped(this.#bench.doc, source()), () => this.#reshape(lure, source()))),
      ),
    );
  }
}
