// SPDX-License-Identifier: GPL-3.0-or-later
// From the water back: what was read and seen of the lure on its line, what that teaches, and the
// build that knows of it.
import { ask } from "./ask.js";
import { BookOffer, keptWords } from "./book_offer.js";
import { busy, button, make, table } from "./dom.js";
import { fault, focusFrom, labelled, Readings, unfault } from "./readings.js";

const kinds = [
  ["ran-deep", "trolled it ran deep", "1.6 m at 1 m/s"],
  ["pulled", "a scale at the line's end read", "22 g at 1 m/s"],
  ["ran-down", "from beside it ran nose-down", "9 deg at 1 m/s"],
  ["drew-under", "it went under from", "0.6 m/s"],
];

const today = () => {
  const now = new Date();
  const two = (n) => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
};

const kept = (title, list) =>
  list.length > 0
    ? [make("h4", {}, title), make("ul", { class: "notes" }, ...list.map((text) => make("li", {}, String(text))))]
    : [];

const cells = (one, keys) => keys.map((key) => make("td", {}, one[key]));

export class WaterBack {
  #bench;
  #taught = null; // the text that the lesson is about
  #told = 0; // counts what was asked

  // book: the maker's (book_panel.js)
  constructor(bench, tell, towAsk, book) {
    this.#bench = bench;
    this.tell = tell;
    this.book = book;
    this.towAsk = towAsk;
    this.known = make("div");
    this.readings = new Readings(kinds, "How much, and how fast it was drawn", () => this.#reread());
    this.saw = make("input", { placeholder: "rolls over at about 1.8 m/s", spellcheck: "true", "data-at": "water-saw" });
    this.on = make("input", { type: "date", value: today() });
    this.anyway = make("input", { type: "checkbox" });
    this.lesson = make("div", { class: "lesson", role: "status" });
    this.teach = button("What does it teach?", () => this.run(), { class: "deed", id: "water-teach" });
    this.root = make(
      "section",
      { class: "card", id: "water-back" },
      make("h3", {}, "What the water says"),
      make(
        "p",
        { class: "hint" },
        "With hooks off or points covered, nobody in the way. What is read corrects the model for this lure; what is seen is kept in your words, and nothing is computed from it. Line and rod are those above.",
      ),
      this.known,
      this.readings.root,
      make("div", { class: "row" }, button("One more reading", () => this.readings.add("pulled").focus())),
      make("div", { class: "fields" }, labelled("Seen, in your words", this.saw, true), labelled("The day", this.on)),
      make("label", { class: "tick" }, this.anyway, make("span", {}, "take readings that contradict")),
      make("div", { class: "row" }, this.teach),
      this.lesson,
    );
    this.root.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input:not([type=checkbox])")) void this.run();
    });
    this.root.addEventListener("input", (event) => unfault(event.target));
    for (const control of [this.saw, this.on, this.anyway]) control.addEventListener("input", () => this.#reread());
    this.readings.begin("ran-deep");
  }

  // What the lesson says is of other readings then.
  #reread() {
    if (this.#taught === null) return;
    this.#taught = null;
    this.lesson.replaceChildren(make("p", { class: "hint" }, "Something else was entered since; ask again."));
  }

  #fault(refusal, readings) {
    const at = /^\/readings\/(\d+)/.exec(refusal.where ?? "");
    const control = at
      ? readings[Number(at[1])]?.input
      : refusal.where?.startsWith("/saw")
        ? this.saw
        : { "/on": this.on }[refusal.where];
    if (control) {
      fault(control, refusal.message);
      focusFrom(this.root, control);
    } else if (!this.towAsk.blame(refusal)) this.tell(refusal);
  }

  async run() {
    const readings = this.readings.list;
    const saw = this.saw.value.trim();
    const sent = this.#bench.text;
    const mine = ++this.#told;
    this.#taught = null;
    if (readings.length === 0 && saw === "") {
      this.lesson.textContent = "Enter a reading, or what you saw.";
      return;
    }
    const asked = {
      build: sent,
      readings: Readings.asked(readings),
      ...(saw ? { saw: [saw] } : {}),
      ...(this.on.value ? { on: this.on.value } : {}),
      ...this.towAsk.lineOnly(),
      ...(this.anyway.checked ? { anyway: true } : {}),
    };
    busy(this.teach, true);
    this.lesson.replaceChildren(make("p", { class: "hint" }, "Working it out …"));
    try {
      const [answer] = await Promise.all([ask("water", asked), this.book.look()]);
      if (mine !== this.#told) return; // another lure by now
      this.#taught = sent;
      this.#show(answer, asked);
      if (sent !== this.#bench.text) this.show(this.#bench.doc);
    } catch (refusal) {
      if (mine !== this.#told) return;
      this.lesson.replaceChildren();
      this.#fault(refusal, readings);
    } finally {
      if (mine === this.#told) busy(this.teach, false);
    }
  }

  #show(answer, asked) {
    const offer = new BookOffer(this.book);
    const taught = answer.from_water !== undefined;
    const spoilt = taught && answer.build === null;
    const take = button("Keep it with the build", () => void this.#take(answer.build, asked, offer), { class: "deed", id: "water-take" });
    this.lesson.replaceChildren(
      ...(taught
        ? [
            make(
              "div",
              { class: "table" },
              table(
                ["on the line", "at", "read", "the model said", "says now"],
                answer.readings.map((one) =>
                  make(
                    "tr",
                    {},
                    make("th", { scope: "row" }, one.reading),
                    ...cells(one, ["at", "read", "before", "after"]),
                  ),
                ),
              ),
            ),
          ]
        : []),
      ...(spoilt
        ? [
            make(
              "p",
              { class: "bad" },
              "This cannot all be true: such readings hardly ever come about by chance. Read again what lies furthest off; if it stays, the model does not hold for this lure. Nothing was kept.",
            ),
          ]
        : [
            ...(taught
              ? [
                  make("h4", {}, "What it taught of lures of this shape, in brackets 90 of 100"),
                  make(
                    "ul",
                    { class: "notes" },
                    ...answer.taught.map((one) =>
                      make("li", {}, `${one.figure}: ${one.words}${one.beyond ? `; ${one.beyond}` : ""}`),
                    ),
                  ),
                ]
              : [make("p", {}, "To be kept as words with the build.")]),
            offer.root,
            take,
          ]),
    );
  }

  // The build takes it at once; what the book does with it comes after, and is told.
  async #take(build, asked, offer) {
    if (this.#taught !== this.#bench.text) return;
    this.#taught = null;
    this.#bench.take(build);
    this.saw.value = "";
    this.readings.begin("ran-deep");
    const words = make("div");
    this.lesson.replaceChildren(
      make("p", { class: "good" }, "The build knows of it now. Undo brings the earlier one back."),
      words,
    );
    this.teach.focus();
    if (!offer.wanted) return;
    try {
      words.append(...keptWords((await ask("water", { ...asked, keep: true })).kept));
    } catch (refusal) {
      words.append(make("p", { class: "bad" }, `Not in your book: ${refusal.message}`));
    }
  }

  show(doc) {
    const list = (at) => (Array.isArray(at) ? at : []);
    this.known.replaceChildren(
      ...kept("Read before", list(doc.learnt?.tow?.read)),
      ...kept("Seen before", list(doc.seen)),
    );
    if (this.#taught === null || this.#taught === this.#bench.text) return;
    this.#taught = null;
    if (this.lesson.querySelector("#water-take"))
      this.lesson.replaceChildren(make("p", { class: "hint" }, "The build was changed since; ask again."));
  }

  forget() {
    this.#told++;
    this.#taught = null;
    busy(this.teach, false);
    this.lesson.replaceChildren();
    this.saw.value = "";
    this.readings.begin("ran-deep");
  }
}
