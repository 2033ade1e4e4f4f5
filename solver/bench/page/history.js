// SPDX-License-Identifier: GPL-3.0-or-later
// The build being worked on, as texts: what was, what is, what was taken back. Changes that carry
// the same group, such as those of one drag or one typed word, are one step.
const MOST = 300;

export class History {
  #past = [];
  #future = [];
  #now = "";
  #group = null;

  start(text) {
    this.#past = [];
    this.#future = [];
    this.#now = text;
    this.#group = null;
  }

  put(text, group = null) {
    if (text === this.#now) return false;
    if (group === null || group !== this.#group) this.#past.push(this.#now);
    if (this.#past.length > MOST) this.#past.shift();
    this.#future = [];
    this.#now = text;
    this.#group = group;
    return true;
  }

  keep() {
    return { past: this.#past, now: this.#now, future: this.#future };
  }

  restore({ past, now, future }) {
    this.#past = past;
    this.#future = future;
    this.#now = now;
    this.#group = null;
  }

  // What comes next is a step of its own.
  close() {
    this.#group = null;
  }

  undo() {
    this.#go(this.#past, this.#future);
  }

  redo() {
    this.#go(this.#future, this.#past);
  }

  #go(from, to) {
    this.close();
    if (from.length === 0) return;
    to.push(this.#now);
    this.#now = from.pop();
  }

  get text() {
    return this.#now;
  }
  get canUndo() {
    return this.#past.length > 0;
  }
  get canRedo() {
    return this.#future.length > 0;
  }
}
