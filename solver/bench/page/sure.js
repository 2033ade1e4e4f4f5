// SPDX-License-Identifier: GPL-3.0-or-later
// How sure the result is: bars of what 90 of 100 such lures do, what to measure next, and all of it in
// the program's words. What is shown is what odds.js asked for.
import { make } from "./dom.js";
import { ranges } from "./ranges.js";
import { Todo } from "./todo.js";

export class Sure {
  #bench;

  // root: below the heading; words: where the program's text goes; elsewhere: as Todo takes it.
  constructor(root, words, bench, elsewhere) {
    this.#bench = bench;
    this.spans = make("div");
    this.words = words;
    const list = make("div", { id: "todo" });
    this.todo = new Todo(list, bench, elsewhere);
    root.prepend(
      this.spans,
      list,
    );
  }

  show(answer) {
    this.words.textContent = this.#bench.named(answer.text);
    this.spans.replaceChildren(ranges(answer.spread, answer.wanted));
    this.todo.show(answer.next_reading, this.#bench.doc);
  }

  refuse(refusal) {
    this.forget();
    this.words.textContent = refusal.message;
  }

  forget() {
    this.words.textContent = "";
    this.spans.replaceChildren();
    this.todo.show(undefined);
  }
}
