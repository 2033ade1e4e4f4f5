// SPDX-License-Identifier: GPL-3.0-or-later
// Asks again whenever something changes: one question at a time, always the newest next, and an
// answer to anything but the newest is dropped.
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
    while (this.#next !== null) {
      const { question, since } = this.#next;
      this.#next = null;
      try {
        const answer = await this.#ask(question);
        if (this.#next !== null) continue;
        this.#show(answer, question);
        performance.measure("edit to result", { start: since });
      } catch (refusal) {
        if (this.#next === null) this.#fail(refusal, question);
      }
    }
    this.#busy = false;
    this.#tell(false);
  }
}
