// SPDX-License-Identifier: GPL-3.0-or-later
// The build being worked on, as texts: what was, what is, what was taken back.
const MOST = 200;

export class History {
  #past = [];
  #future = [];
  #now = "";
  start(text) {
    this.#past = [];
    this.#future = [];
    this.#now = text;
  }
  put(text) {
    if (text === this.#now) return false;
    this.#past.push(this.#now);
    if (this.#past.length > MOST) this.#past.shift();
    this.#future = [];
    this.#now = text;
    return true;
  }
  undo() {
    if (!this.canUndo) return;
    this.#future.push(this.#now);
    this.#now = this.#past.pop();
  }
  redo() {
    if (!this.canRedo) return;
    this.#past.push(this.#now);
    this.#now = this.#future.pop();
  }
  get text() { return this.#now; }
  get canUndo() { return this.#past.length > 0; }
  get canRedo() { return this.#future.length > 0; }
}
