// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the program is there: asked now and then while the page is looked at, so that an idle page
// notices, and goes on by itself once the program is back.
import { ask, isGone, tokenNow, useToken } from "./ask.js";
import { hear, tell } from "./other_tabs.js";

const OFTEN = 3000; // ms

export class Alive {
  #gone = false;
  #told = null; // the status that was told
  #lost;
  #back;

  // lost(refusal): told once; back(): told once it answers again.
  constructor(lost, back) {
    this.#lost = lost;
    this.#back = back;
    hear("token", (token) => {
      if (token === tokenNow() || !this.#gone) return;
      useToken(token);
      void this.look();
    });
    hear("token?", () => (this.#gone ? undefined : tokenNow() || undefined));
    tell("token", tokenNow());
    setInterval(() => document.hidden || void this.look(), OFTEN);
    document.addEventListener("visibilitychange", () => document.hidden || void this.look());
  }

  get gone() {
    return this.#gone;
  }

  async look() {
    try {
      await ask("alive", {}, {}, false);
      this.#is(null);
    } catch (refusal) {
      if (isGone(refusal)) this.#is(refusal);
    }
  }

  // What another request has seen.
  saw(refusal) {
    if (isGone(refusal)) this.#is(refusal);
  }

  #is(refusal) {
    const status = refusal?.status ?? null;
    if (status === this.#told) return;
    this.#told = status;
    this.#gone = refusal !== null;
    if (this.#gone) this.#lost(refusal);
    else this.#back();
  }
}
