// SPDX-License-Identifier: GPL-3.0-or-later
// How likely the lure meets its target: asked once the build has come to rest, shown as words and a
// bar. Good is only what is likely.
import { ask } from "./ask.js";
import { make } from "./dom.js";
import { share } from "./said.js";

const REST = 700; // ms
export const LIKELY = 0.5;

// Chances after 0, 1, 2 .. tests, as many as the target asks for.
export function chances(reserve) {
  if (!reserve) return [];
  return reserve.chance_after_tests.slice(0, reserve.tests + 1);
}

const after = ["right first time", "after one tank test and trimming", "after two", "after three"];

export const bar = (words, chance) =>
  make(
    "span",
    { class: "bar" },
    make("span", {}, `${words} `),
    make("meter", { min: 0, max: 1, value: chance, low: LIKELY, optimum: 1, "aria-hidden": "true" }),
    make("b", {}, ` ${share(chance)} in 100`),
  );

export const bars = (list) => make("span", { class: "bars" }, ...list.map((chance, i) => bar(after[i], chance)));

export const isLikely = (list) => list.some((chance) => chance >= LIKELY);

export class Odds {
  #root;
  #bench;
  #timer = 0;
  #shown;
  #sure;
  list = []; // chances as they are known

  // shown(list): told of the chances once they are known, of none while they are not; sure (sure.js):
  // shows the rest of the answer.
  constructor(root, bench, shown, sure) {
    this.#root = root;
    this.#bench = bench;
    this.#shown = shown;
    this.#sure = sure;
  }

  forget() {
    clearTimeout(this.#timer);
    this.#root.replaceChildren();
    this.#sure.forget();
    this.#tell([]);
  }

  #tell(list) {
    this.list = list;
    this.#shown(list);
  }

  changed() {
    clearTimeout(this.#timer);
    this.list = []; // those shown are of the build as it was
    this.#root.classList.add("stale");
    this.#timer = setTimeout(() => void this.#ask(), REST);
  }

  async #ask() {
    const sent = this.#bench.text;
    try {
      const answer = await ask("sure", { build: sent });
      if (sent !== this.#bench.text) return;
      const list = chances(answer.reserve);
      this.#root.classList.remove("stale");
      this.#root.replaceChildren(list.length > 0 ? bars(list) : "");
      this.#sure.show(answer);
      this.#tell(list);
    } catch (refusal) {
      this.forget();
      this.#sure.refuse(refusal);
    }
  }
}
