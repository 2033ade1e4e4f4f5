// SPDX-License-Identifier: GPL-3.0-or-later
// Asks again whenever something changes: one question at a time, always the newest next, so answers
// come in order. What is shown is told whether it is the newest, and no refusal but the newest is.
export class Live {
  #ask;
  #show;
  #fail;
  #next = null;
  #busy = false;
  #tell;

  // tell(busy): whether what is shown is behind what was asked.
  constructor(ask, show, fail, tell = () => {}) {
    this.#ask = ask;
    this.#show = show;
    this.#fail = fail;
    this.#tell = tell;
  }

  want(question) {
    this.#next = { question, since: performance.now() };
    if (!this.#busy) void this.#run();
  }

  async #run() {
    this.#busy = true;
    this.#tell(true);
    try {
      while (this.#next !== null) await this.#answer(this.#next);
    } finally {
      this.#busy = false;
      this.#tell(false);
    }
  }

  async #answer({ question, since }) {
    this.#next = null;
    let answer;
    try {
      answer = await this.#ask(question);
    } catch (refusal) {
      if (this.#next === null) this.#fail(refusal, question);
      return;
    }
    this.#show(answer, question, this.#next === null);
    if (this.#next === null) performance.measure("edit to result", { start: since });
  }
}
