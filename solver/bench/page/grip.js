// SPDX-License-Identifier: GPL-3.0-or-later
// Changes by dragging start from the build as it was when the drag began, so that rounding does not
// add up on the way.
export class Grip {
  #bench;
  #from = null; // { group, doc, body, left: the text that we left behind }

  constructor(bench) {
    this.#bench = bench;
  }

  // work(doc, body) changes the build as it was; body is the program's answer to that.
  edit(group, body, work) {
    if (this.#from?.group !== group || this.#from.left !== this.#bench.text)
      this.#from = { group, doc: this.#bench.doc, body };
    const doc = structuredClone(this.#from.doc);
    work(doc, this.#from.body);
    this.#bench.set(group, doc);
    this.#from.left = this.#bench.text;
  }
}
