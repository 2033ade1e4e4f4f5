// SPDX-License-Identifier: GPL-3.0-or-later
// What the lure would do if one thing were otherwise: a slider, curves of weight and speed over all its
// values, the lure in the water as it would lie. The curves are worked out in the background, a few values at
// a time, once the build has come to rest, so that an edit's own answer always comes first.
import { ask } from "./ask.js";
import { Curve } from "./curve.js";
import { button, make } from "./dom.js";
import { dials } from "./dials.js";
import { Live } from "./live.js";
import { angle, drift, signedMass } from "./said.js";

const REST = 900; // ms
const AT_ONCE = 3; // builds a request
const key = "what-if";

export class WhatIf {
  #bench;
  #details;
  #timer = 0;
  #about = ""; // the text that values and curves are of
  #list = [];
  #got = [];
  #live;

  // preview(rest, words): shows another lure in the water for a look, null the build's own again.
  constructor(details, bench, preview) {
    this.#details = details;
    this.#bench = bench;
    this.preview = preview;
    this.which = make("select", { "data-at": `${key}-which` });
    this.slider = make("input", { type: "range", step: 1, min: 0, "data-at": `${key}-slider` });
    this.words = make("p", { class: "words", role: "status" });
    this.curves = [
      new Curve("Weight in water", signedMass),
      new Curve("Speed", drift),
    ];
    this.take = button("Make it so", () => this.#take(), { disabled: true });
    details.append(
      make("label", { class: "field" }, make("span", { class: "name" }, "If it were otherwise:"), this.which),
      this.slider,
      this.words,
      make("div", { class: "curves" }, ...this.curves.map((curve) => curve.root)),
      make("div", { class: "row" }, this.take),
    );
    details.addEventListener("toggle", () => this.changed(0));
    this.which.addEventListener("change", () => this.#begin());
    this.slider.addEventListener("input", () => this.#slid());
    this.slider.addEventListener("blur", (event) => event.relatedTarget !== this.take && this.#leave());
    this.take.addEventListener("blur", () => this.#leave());
    this.#live = new Live(
      ({ text }) => ask("rest", { build: text }),
      (rest, { words }, newest) => newest && this.sliding && this.preview(rest, words),
      () => {},
    );
  }

  // The build has an answer of its own.
  changed(wait = REST) {
    clearTimeout(this.#timer);
    if (this.#bench.text !== this.#about) this.#details.classList.add("stale-curves");
    if (this.#details.open) this.#timer = setTimeout(() => this.#begin(), wait);
  }

  get #dial() {
    return this.#list[Number(this.which.value)] ?? this.#list[0];
  }

  #textAt(i) {
    const doc = JSON.parse(this.#about);
    this.#dial.set(doc, this.#dial.values[i]);
    return JSON.stringify(doc);
  }

  #begin() {
    const before = this.#list[Number(this.which.value)]?.name;
    const { values: old } = this.#list[Number(this.which.value)] ?? {};
    this.#about = this.#bench.text;
    this.#list = dials(this.#bench);
    this.which.replaceChildren(...this.#list.map(({ name }, i) => make("option", { value: i }, name)));
    this.which.value = String(Math.max(0, this.#list.findIndex(({ name }) => name === before)));
    const { values, name } = this.#dial;
    const same = JSON.stringify(old) === JSON.stringify(values) && before === name;
    this.slider.max = values.length - 1;
    this.slider.setAttribute("aria-label", name);
    if (!same) this.slider.value = String(values.length >> 1);
    if (document.activeElement === this.take) this.slider.focus({ preventScroll: true });
    this.take.disabled = true;
    this.#got = values.map(() => null);
    this.#details.classList.remove("stale-curves");
    this.#tell();
    void this.#workOut();
  }

  async #workOut() {
    const [about, dial] = [this.#about, this.#dial];
    const stays = () => about === this.#bench.text && about === this.#about && dial === this.#dial;
    for (let i = 0; i < dial.values.length; i += AT_ONCE) {
      const some = dial.values.slice(i, i + AT_ONCE).map((_, k) => this.#textAt(i + k));
      const answer = await ask("along", { builds: some }).catch(() => null);
      if (answer === null || !stays()) return;
      answer.along.forEach((one, k) => {
        this.#got[i + k] = one;
      });
      this.#tell();
    }
  }

  #tell() {
    const { values, say } = this.#dial;
    const at = Number(this.slider.value);
    const ends = [say(values[0]), say(values[values.length - 1])];
    const over = (name) => this.#got.map((one) => (typeof one?.outcome?.[name] === "number" ? one.outcome[name] : null));
    this.curves[0].show(over("net_weight_g"), at, ends);
    this.curves[1].show(over("drift_mm_s"), at, ends);
    const one = this.#got[at];
    const what = one?.outcome
      ? `weight in water ${signedMass(one.outcome.net_weight_g)}, ${drift(one.outcome.drift_mm_s)}, ${angle(one.outcome.nose_down_deg)}`
      : (one?.refused ?? "…");
    this.words.textContent = `${say(values[at])}: ${what}`;
    this.slider.setAttribute("aria-valuetext", this.words.textContent);
  }

  #slid() {
    if (this.#about !== this.#bench.text) return;
    this.sliding = true;
    this.take.disabled = false;
    this.#tell();
    const at = Number(this.slider.value);
    this.#live.want({ text: this.#textAt(at), words: `At ${this.#dial.say(this.#dial.values[at])}` });
  }

  #leave() {
    if (!this.sliding) return;
    this.sliding = false;
    this.preview(null);
  }

  #take() {
    if (this.#about !== this.#bench.text) return;
    this.sliding = false;
    const { set, values } = this.#dial;
    this.#bench.edit(null, (doc) => set(doc, values[Number(this.slider.value)]));
  }
}
