// SPDX-License-Identifier: GPL-3.0-or-later
// How sure the result is: asked for when the maker looks at it, and again once the build has come
// to rest.
import { ask } from "./ask.js";

const REST = 600; // ms

export class Sure {
  #details;
  #words;
  #bench;
  #timer = 0;

  constructor(details, words, bench) {
    this.#details = details;
    this.#words = words;
    this.#bench = bench;
    details.addEventListener("toggle", () => this.changed(0));
  }

  changed(wait = REST) {
    clearTimeout(this.#timer);
    if (this.#details.open) this.#timer = setTimeout(() => void this.#ask(), wait);
  }

  async #ask() {
    const sent = this.#bench.text;
    try {
      const answer = await ask("sure", { build: sent });
      if (sent === this.#bench.text) this.#words.textContent = answer.text;
    } catch (refusal) {
      this.#words.textContent = refusal.message;
    }
  }
}
