// SPDX-License-Identifier: GPL-3.0-or-later
// Beside a lesson: whether the lure goes into the maker's book. Asked for once: until then nothing is kept.
import { button, make } from "./dom.js";

export class BookOffer {
  #tick = null;

  // book: the maker's (book_panel.js), which was looked at.
  constructor(book) {
    this.book = book;
    this.root = make("div");
    this.#show();
  }

  get wanted() {
    return this.#tick?.checked ?? false;
  }

  #show() {
    const { book } = this;
    this.#tick = null;
    this.root.replaceChildren();
    if (!book.book?.place || book.book.off) return;
    if (book.on) {
      this.#tick = make("input", { type: "checkbox", "data-at": "keep-lure", checked: true });
      this.root.append(make("label", { class: "tick" }, this.#tick, make("span", {}, "keep this lure in your book")));
      return;
    }
    const settle = async (off) => {
      await book.turn(off);
      const held = this.root.contains(document.activeElement);
      this.#show();
      if (held) this.#tick?.focus();
    };
    this.root.append(
      make(
        "div",
        { class: "offer" },
        make("span", {}, "Shall what your lures come out at serve the next builds?"),
        button("Keep a book of them", () => void settle(false)),
        button("No", () => void settle(true)),
      ),
    );
  }
}

// What became of it; kept: as the answer has it.
const outcomes = {
  renewed: (lure) => `In your book as a further test of ${lure}.`,
  replaced: (lure) => `In your book in place of what it had of ${lure}.`,
  there: (lure) => `Your book has it already, as ${lure}.`,
  unfinished: () => "Not in your book yet: only a finished lure is, read with all that hangs from it.",
  unknown: (lure) => `Not in your book: an earlier test corrected this build, and the book has no ${lure}.`,
  off: () => "Not in your book: it is switched off.",
  no: () => "",
};

export function keptWords(kept) {
  const words = kept ? (outcomes[kept.what] ?? ((lure) => `In your book as ${lure}.`))(kept.lure) : "";
  return words ? [make("p", { class: "hint" }, words)] : [];
}
