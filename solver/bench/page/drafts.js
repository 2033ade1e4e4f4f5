// SPDX-License-Identifier: GPL-3.0-or-later
// What is not saved yet is kept beside its file, soon after each change and when the tab is left,
// and dropped when there is nothing unsaved any more.
import { ask, ofDisk } from "./ask.js";
import { remember } from "./kept.js";

const SOON = 500; // ms
const KEEPALIVE_MOST = 60000; // bytes that a browser still sends for a tab that is closing

export class Drafts {
  #bench;
  #tell;
  #timer = 0;
  #kept = null; // the text that is kept

  constructor(bench, tell) {
    this.#bench = bench;
    this.#tell = tell;
    document.addEventListener("visibilitychange", () => document.hidden && this.#now());
    window.addEventListener("pagehide", () => this.#now());
  }

  begin() {
    clearTimeout(this.#timer);
    this.#kept = null;
  }

  changed() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#now(), SOON);
  }

  #now() {
    clearTimeout(this.#timer);
    const { text, unsaved } = this.#bench;
    remember(this.#bench.keep());
    if (unsaved && text !== this.#kept) {
      this.#kept = text;
      this.#send("draft", { name: this.#bench.file.draft, build: text }, text.length < KEEPALIVE_MOST);
    } else if (!unsaved && this.#kept !== null) {
      this.#kept = null;
      this.#send("draft-drop", { name: this.#bench.file.draft }, true);
    }
  }

  // A draft that cannot be kept is tried again at the next change, and it is told what the disk has
  // against it; the page tells elsewhere when the program is gone.
  #send(route, body, keepalive) {
    ask(route, body, { keepalive }).catch((refusal) => {
      this.#kept = null;
      if (ofDisk(refusal)) this.#tell(refusal);
    });
  }

  // The program is back: what it has not got is sent.
  again() {
    this.#kept = null;
    this.#now();
  }

  saved() {
    clearTimeout(this.#timer);
    this.#kept = null;
  }
}
