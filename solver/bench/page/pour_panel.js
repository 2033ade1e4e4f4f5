// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for a cast blank: mould, filler and resin in the maker's words; what to weigh out by
// weight, the density that comes out, and the body made of that.
import { ask } from "./ask.js";
import { busy, button, cell, make, table } from "./dom.js";
import { fault, focusFrom, labelled, unfault } from "./readings.js";
import { mass } from "./said.js";

// key of the route, label, hint
const fields = [
  ["mould", "Mould", "this body's, or 60 ml"],
  ["filler", "Filler's density, or its name", "0.2 g/cm3"],
  ["packed", "Filler fills", "60 %"],
  ["target", "Or the blank shall have", "0.75 g/cm3"],
  ["by-weight", "Mix ratio by weight, A to B", "100:90"],
  ["by-volume", "Mix ratio by volume, A to B", "1:1"],
  ["a-density", "Density of part A", "1.10 g/cm3"],
  ["b-density", "Density of part B", "0.98 g/cm3"],
  ["cured", "Density when cured", "by its kind"],
  ["allowance", "More, for cup and sprue", "10 %"],
];
const resins = [
  ["", "not said"],
  ["epoxy", "epoxy"],
  ["urethane", "urethane"],
  ["other", "another"],
];

const cupTable = (heads, lines) => {
  const node = table(heads, lines);
  node.className = "cup";
  return node;
};

export class PourPanel {
  #bench;
  #inputs = new Map();
  #asked = 0;

  constructor(root, bench, tell) {
    this.#bench = bench;
    this.tell = tell;
    this.resin = make("select", {}, ...resins.map(([value, words]) => make("option", { value }, words)));
    this.stirred = make("input", { type: "checkbox" });
    this.answer = make("div", { class: "poured", role: "status" });
    this.work = button("What to weigh out", () => this.run(), { class: "deed", id: "pour-work" });
    this.root = root;
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "A cast blank"),
        make(
          "p",
          { class: "hint" },
          "Resin and light filler for a mould or for this body. The maker's data sheet goes before all of this: gloves, fresh air, no large batch in one cup.",
        ),
        make("div", { class: "fields" }, labelled("Resin", this.resin), ...fields.map((f) => this.#field(f))),
        make("label", { class: "tick" }, this.stirred, make("span", {}, "the filler is stirred into the resin")),
        make("div", { class: "row" }, this.work),
        this.answer,
      ),
    );
    root.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input:not([type=checkbox])")) void this.run();
    });
    root.addEventListener("input", () => this.#clear());
  }

  #field([key, label, hint]) {
    const input = make("input", { placeholder: hint, spellcheck: "false", "data-at": `pour-${key}` });
    this.#inputs.set(key, input);
    return labelled(label, input);
  }

  #clear() {
    for (const control of [...this.#inputs.values(), this.resin]) unfault(control);
  }

  // A fault names the option, "--filler"; what names none is told below the button.
  #fault(refusal) {
    const key = /^-{0,2}([a-z-]+)/.exec(refusal.where || refusal.message)?.[1];
    const control = key === "resin" ? this.resin : this.#inputs.get(key);
    if (!control) {
      this.answer.replaceChildren(make("p", { class: "bad" }, refusal.message));
      return;
    }
    fault(control, refusal.message);
    focusFrom(this.root, control);
  }

  async run() {
    this.#clear();
    const asked = this.stirred.checked ? { stirred: true } : {};
    for (const [key, input] of this.#inputs) if (input.value.trim() !== "") asked[key] = input.value.trim();
    if (this.resin.value !== "") asked.resin = this.resin.value;
    busy(this.work, true);
    this.answer.replaceChildren(make("p", { class: "hint" }, "Working it out …"));
    const mine = ++this.#asked;
    try {
      const answer = await ask("pour", { build: this.#bench.text, asked });
      if (mine === this.#asked) this.#show(answer);
    } catch (refusal) {
      if (mine !== this.#asked) return;
      this.answer.replaceChildren();
      if (refusal.status === 422) this.#fault(refusal);
      else this.tell(refusal);
    } finally {
      if (mine === this.#asked) busy(this.work, false);
    }
  }

  // What it would be in the lure that was left; what is asked of the cup stays.
  forget() {
    this.#asked++;
    busy(this.work, false);
    this.answer.replaceChildren();
  }

  #show(answer) {
    const cup = [
      ["Part A", answer.part_a?.mass_g],
      ["Part B", answer.part_b?.mass_g],
      ["Filler", answer.filler?.mass_g],
    ].filter(([, grams]) => typeof grams === "number" && grams > 0);
    const density = answer.blank_density_g_cm3;
    this.answer.replaceChildren(
      cup.length > 0
        ? cupTable(
            ["Into the cup", "by weight"],
            cup.map(([word, grams]) =>
              make("tr", {}, make("th", { scope: "row" }, word), cell(mass(grams, 1))),
            ),
          )
        : "",
      make("pre", { tabindex: 0, "aria-label": "The whole pour" }, this.#bench.named(answer.text.trim())),
      ...(typeof density === "number" ? [this.#take(density, answer.blank_density_give_g_cm3)] : []),
    );
  }

  #take(density, give) {
    return button(
      "Make the body of this mix",
      () => {
        this.#bench.edit(null, (doc) => {
          doc.body.material = {
            density: `${density.toFixed(3)} g/cm3`,
            ...(typeof give === "number" ? { give: `${give.toFixed(3)} g/cm3` } : {}),
          };
        });
        this.answer.append(make("p", { class: "good" }, "The body is made of it now; Undo brings the earlier one back."));
        this.work.focus();
      },
      { id: "pour-take" },
    );
  }
}
