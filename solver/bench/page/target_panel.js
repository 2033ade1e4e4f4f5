// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the target: what the lure shall do, said in plain words or in figures, and in
// which waters; and what the search may use.
import { button, freshId, keepingFocus, make } from "./dom.js";
import { band, field, refresh, tick } from "./field.js";
import { look, put } from "./path.js";
import { startCard } from "./starts.js";
import { aimAt, attitudes, salts, shows, speeds, states } from "./wishes.js";

const FIGURES = "by the figures below";

export class TargetPanel {
  #bench;
  #shape = "";

  // open(id): opens a drawer.
  constructor(root, bench, open) {
    this.#bench = bench;
    this.root = root;
    this.wish = make("section", { class: "card" });
    this.water = make("section", { class: "card" });
    this.limits = make("section", { class: "card" });
    root.append(startCard(bench, open), this.wish, this.water, this.limits);
  }

  #states() {
    const name = freshId("state");
    const group = make("fieldset", { class: "choice" }, make("legend", {}, "It should"));
    for (const [value, label] of states) {
      const input = make("input", { type: "radio", name, value, "data-at": `state-${value}` });
      input.addEventListener("change", () =>
        this.#bench.edit(null, (doc) => aimAt(doc, value)),
      );
      group.append(make("label", {}, input, make("span", {}, label)));
    }
    return group;
  }

  // A list of plain words, each standing for a band; what is none of them is "by the figures".
  #words(label, key, list) {
    const select = make(
      "select",
      { "data-band": key, "data-at": `words-${key}` },
      ...list.map(([words], i) => make("option", { value: i }, words)),
      make("option", { value: "own" }, FIGURES),
    );
    select.addEventListener("change", () => {
      if (select.value !== "own")
        this.#bench.edit(null, (doc) => put(doc, ["target", key], list[Number(select.value)][1] ?? ""));
    });
    return make("label", { class: "field wide" }, make("span", { class: "name" }, label), select);
  }

  #build(doc) {
    const bench = this.#bench;
    const state = doc.target?.state;
    if (!doc.target) {
      this.wish.replaceChildren(
        make("h3", {}, "What it should do"),
        make("p", {}, "Nothing is asked of this lure yet."),
        button(
          "Set a target",
          () =>
            bench.edit(null, (now) => {
              now.target = { state: "suspend" };
            }),
          { "data-at": "set-target" },
        ),
      );
    } else {
      const t = ["target"];
      this.wish.replaceChildren(
        make("h3", {}, "What it should do"),
        this.#states(),
        make(
          "div",
          { class: "fields pair" },
          this.#words("How fast", "drift", speeds[state] ?? []),
          ...band(bench, "Speed down", [...t, "drift"], ["any", "any"], ["from", "to"]),
        ),
        make(
          "div",
          { class: "fields pair" },
          this.#words("How it lies", "nose_down", attitudes),
          ...band(bench, "Nose-down", [...t, "nose_down"], ["any", "any"], ["from", "to"]),
        ),
        ...(state === "float"
          ? [
              make(
                "div",
                { class: "fields pair" },
                this.#words("How much shows", "shows", shows),
                ...band(bench, "Shows", [...t, "shows"], ["any", "any"], ["from", "to"]),
              ),
            ]
          : []),
        make(
          "p",
          { class: "hint" },
          "Speeds as you say them: 1 ft / 4 s, 60 cm in 5 s, 2 cm/s. Up is minus.",
        ),
      );
    }
    this.#buildWater(doc);
    this.#buildLimits(doc);
  }

  #salt(path) {
    return salts.map(([words, text]) =>
      button(
        words,
        () =>
          this.#bench.edit(null, (doc) => {
            if (!look(doc, path.slice(0, -1))) put(doc, path.slice(0, -1), {});
            put(doc, path, text);
          }),
        { class: "quiet" },
      ),
    );
  }

  #buildWater(doc) {
    const bench = this.#bench;
    const waters = doc.target?.water ?? [];
    const one = (title, path, remove) =>
      make(
        "fieldset",
        { class: "water-row" },
        make("legend", {}, title),
        make(
          "div",
          { class: "fields" },
          field(bench, "Temperature", [...path, "temperature"], { hint: "12 C" }),
          field(bench, "Salt", [...path, "salinity"], { hint: "0 g/kg, fresh" }),
          make(
            "div",
            { class: "row wide" },
            ...this.#salt([...path, "salinity"]),
            ...(remove ? [remove] : []),
          ),
        ),
      );
    this.water.replaceChildren(
      make("h3", {}, "In which water"),
      one("The picture and the figures show it in", ["water"], null),
      ...waters.map((_, i) =>
        one(
          `The target must hold in water ${i + 1}`,
          ["target", "water", i],
          button(
            "Remove",
            () =>
              bench.edit(null, (now) => {
                now.target.water.splice(i, 1);
                if (now.target.water.length === 0) delete now.target.water;
              }),
            { class: "quiet", "aria-label": `Remove water ${i + 1}` },
          ),
        ),
      ),
      ...(doc.target && waters.length < 4
        ? [
            button(
              "Add a water in which it must hold",
              () =>
                bench.edit(null, (now) => {
                  now.target.water = [
                    ...(now.target.water ?? []),
                    { temperature: now.water?.temperature ?? "12 C" },
                  ];
                }),
              { "data-at": "add-water" },
            ),
          ]
        : []),
    );
  }

  #buildLimits() {
    const bench = this.#bench;
    const l = ["limits"];
    const names = (label, key) =>
      field(bench, label, [...l, key], {
        hint: "any",
        edit: (doc, text) => {
          const list = text
            .split(",")
            .map((id) => id.trim())
            .filter(Boolean);
          put(doc, [...l, key], list.length > 0 ? list : "");
        },
      });
    this.only = names("Only these parts", "only");
    this.never = names("Never these parts", "never");
    this.limits.replaceChildren(
      make("h3", {}, "What may be used"),
      make(
        "div",
        { class: "fields" },
        ...band(bench, "Hook size", [...l, "hook_size"], ["any", "any"], ["smallest", "largest"]),
        ...band(bench, "Wire of eyes", [...l, "eye_wire"], ["any", "by length"], ["thinnest", "thickest"]),
        field(bench, "Most seats to change", [...l, "changes"], {
          hint: "any number",
          edit: (doc, text) => number(doc, [...l, "changes"], text),
        }),
        field(bench, "Most money for new parts", [...l, "price"], { hint: "no limit" }),
      ),
      tick(bench, "the same hook everywhere", [...l, "same_hooks"]),
      tick(bench, "nothing with lead", [...l, "lead_free"]),
      tick(bench, "only what is in my box", [...l, "box_only"]),
      make(
        "details",
        {},
        make("summary", {}, "Parts by name"),
        make("p", { class: "hint" }, "Ids with commas between; a * stands for any ending."),
        make("div", { class: "fields" }, this.only, this.never),
      ),
    );
  }

  show(doc) {
    const shape = JSON.stringify([doc.target === undefined, doc.target?.state, doc.target?.water?.length]);
    keepingFocus(this.root, () => {
      if (shape !== this.#shape) this.#build(doc);
      this.#shape = shape;
      refresh(this.root, doc);
    });
    for (const radio of this.wish.querySelectorAll("input[type=radio]"))
      radio.checked = radio.value === doc.target?.state;
    this.#showWords(doc);
    this.#showLists(doc);
  }

  #showWords(doc) {
    const lists = { drift: speeds[doc.target?.state] ?? [], nose_down: attitudes, shows };
    for (const select of this.wish.querySelectorAll("select[data-band]")) {
      const now = JSON.stringify(look(doc, ["target", select.dataset.band]) ?? null);
      const at = lists[select.dataset.band].findIndex(([, bounds]) => JSON.stringify(bounds) === now);
      select.value = at < 0 ? "own" : String(at);
    }
  }

  // Lists of ids are one text with commas here; the one being typed in is left alone.
  #showLists(doc) {
    for (const [label, key] of [
      [this.only, "only"],
      [this.never, "never"],
    ]) {
      const input = label.querySelector("input");
      const list = look(doc, ["limits", key]);
      input.disabled = list !== undefined && !Array.isArray(list);
      if (input !== document.activeElement) input.value = Array.isArray(list) ? list.join(", ") : "";
    }
  }
}

function number(doc, path, text) {
  const value = Number(text);
  put(doc, path, text === "" ? "" : Number.isInteger(value) ? value : text);
}
