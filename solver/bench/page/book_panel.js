// SPDX-License-Identifier: GPL-3.0-or-later
// The maker's book: off until it is asked for; what earlier lures came out at, what each figure rests
// on, a lure or a figure forgotten, the whole switched on and off.
import { ask } from "./ask.js";
import { button, make } from "./dom.js";

const kindWords = {
  density: "density",
  coat: "coat's thickness",
  "coat-density": "coat's density",
  hook: "hook's mass",
  drag: "drag",
};

export class BookPanel {
  book = null; // as the program last told it; null: not asked yet

  // restocked(): told once what builds take from it is another.
  constructor(root, tell, restocked) {
    this.tell = tell;
    this.restocked = restocked;
    this.state = make("p", { class: "hint", id: "book-state", role: "status" });
    this.press = button("Keep a book", () => this.turn(this.on), { id: "book-switch", hidden: true });
    this.figures = make("div", { id: "book-figures" });
    this.lures = make("div", { id: "book-lures" });
    root.append(
      make(
        "section",
        { class: "card", "aria-labelledby": "h-book" },
        make("h3", { id: "h-book" }, "Your book"),
        this.state,
        make("div", { class: "row" }, this.press),
        this.figures,
        this.lures,
      ),
    );
  }

  get on() {
    return this.book !== null && this.book.there && !this.book.off;
  }

  async look() {
    try {
      this.#show(await ask("book"));
    } catch (refusal) {
      this.tell(refusal);
    }
    return this.book;
  }

  // off: whether it is switched off.
  async turn(off) {
    await this.#change("book-switch", { off });
  }

  async #change(route, what) {
    try {
      this.#show(await ask(route, what));
      if (document.activeElement === document.body) this.press.focus({ preventScroll: true }); // what was pressed is gone
      this.restocked();
    } catch (refusal) {
      this.tell(refusal);
    }
  }

  #show(book) {
    this.book = book;
    const lures = `${book.lures.length} ${book.lures.length === 1 ? "lure" : "lures"}`;
    this.state.textContent =
      book.place === ""
        ? "No book is kept here."
        : !book.there
          ? `None yet. Kept in ${book.place}, what your finished lures came out at would serve the next builds.`
          : book.off
            ? `${lures} in it; it is switched off: nothing is taken from it or added.`
            : `${lures} in it. Builds take from it what they leave to be usual; a finished lure that the tank was told of can be kept in it.`;
    this.press.textContent = this.on ? "Switch it off" : book.there ? "Switch it on" : "Keep a book";
    this.press.hidden = book.place === "";
    this.figures.replaceChildren(...this.#figureList(book));
    this.lures.replaceChildren(...this.#lureList(book));
  }

  #figureList({ figures }) {
    if (figures.length === 0) return [];
    return [
      make("h4", {}, "What the next lure is taken for"),
      ...figures.map((f) =>
        make(
          "details",
          {},
          make("summary", {}, `${kindWords[f.kind] ?? f.kind}, ${f.key}`),
          make("pre", { tabindex: 0, "aria-label": `What ${f.key} rests on` }, f.text),
          button("Forget this figure", () => this.#change("book-forget", { kind: f.kind, key: f.key }), {
            "aria-label": `Forget ${kindWords[f.kind] ?? f.kind} of ${f.key}`,
          }),
        ),
      ),
    ];
  }

  #lureList({ lures }) {
    if (lures.length === 0) return [];
    return [
      make("h4", {}, "Lures in it"),
      make(
        "ul",
        {},
        ...lures.map((lure) =>
          make(
            "li",
            {},
            `${lure.lure}, ${lure.date}: ${lure.readings} `,
            button("Forget", () => this.#change("book-forget", { lure: lure.lure }), { "aria-label": `Forget ${lure.lure}` }),
          ),
        ),
      ),
    ];
  }
}
