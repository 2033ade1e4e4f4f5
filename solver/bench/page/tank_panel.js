// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the tank: what the scale and the tank said, what that teaches, and the corrected
// build to take.
import { ask } from "./ask.js";
import { BookOffer, keptWords } from "./book_offer.js";
import { busy, button, make } from "./dom.js";
import { Keys } from "./keys.js";
import { lesson } from "./lesson.js";
import { Log } from "./log.js";
import { fault, focusFrom, labelled, Readings, unfault } from "./readings.js";
import { Stopwatch } from "./stopwatch.js";
import { TiltPhoto } from "./tilt_photo.js";

const kinds = [
  ["scale", "it weighs on the scale", "11.92 g"],
  ["in-water", "it weighs in water", "0.2 g"],
  ["sinks", "it sinks", "60 cm in 10.4 s"],
  ["rises", "it rises", "60 cm in 8 s"],
  ["tilts", "it lies nose-down under water", "9 deg"],
  ["tilts-afloat", "it lies nose-down afloat", "4 deg"],
  ["shows", "of it shows above the water", "12 %"],
  ["balance", "it balances at, from the nose", "39 mm"],
];
const stages = [
  ["complete", "complete, hooks hung"],
  ["coated", "coated"],
  ["eyed", "eyes and lip mounted"],
  ["cut", "slot and holes cut"],
  ["blank", "bare"],
];

const refusalWords = (count) =>
  count === 1
    ? "What was read contradicts the build, so nothing was corrected. Look again: the reading, and what the lure was then."
    : "The readings contradict each other, so nothing was corrected.";

export class TankPanel {
  #bench;
  #taught = null; // the text that the lesson is about
  #told = 0; // counts what was asked

  // book: the maker's (book_panel.js); taken(): told once the build has taken what the tank said.
  constructor(root, bench, tell, { book, taken }) {
    this.#bench = bench;
    this.tell = tell;
    this.book = book;
    this.taken = taken;
    this.root = root;
    this.readings = new Readings(kinds, "How much", () => this.#reread());
    this.stage = make("select", {}, ...stages.map(([value, words]) => make("option", { value }, words)));
    this.water = make("input", { placeholder: "as the build's", spellcheck: "false" });
    this.salt = make("input", { placeholder: "as the build's", spellcheck: "false" });
    this.anyway = make("input", { type: "checkbox" });
    this.lesson = make("div", { class: "lesson", role: "status" });
    this.photo = new TiltPhoto((kind, text) => this.readings.put(kind, text));
    this.keys = new Keys(root, this.readings.root, () => document.getElementById("units").value === "inch");
    this.watch = new Stopwatch((kind, text) => this.readings.put(kind, text, ["sinks", "rises"]));
    this.teach = button("What does it teach?", () => this.run(), { class: "deed", id: "teach" });
    root.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input:not([type=checkbox])")) void this.run();
    });
    root.addEventListener("input", (event) => unfault(event.target));
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "What scale and tank say"),
        make(
          "p",
          { class: "hint" },
          "Enter what you read of the lure. Let it settle for 15 cm before you time it, and wipe off bubbles.",
        ),
        this.readings.root,
        this.watch.root,
        this.photo.root,
        make(
          "div",
          { class: "row" },
          button("One more reading", () => this.readings.add("tilts").focus()),
          this.keys.press,
        ),
        this.keys.pad,
        make(
          "div",
          { class: "fields" },
          labelled("The lure was", this.stage, true),
          labelled("Tank's temperature", this.water),
          labelled("Salt in the tank", this.salt),
        ),
        make(
          "label",
          { class: "tick" },
          this.anyway,
          make("span", {}, "take readings that contradict each other"),
        ),
        make("div", { class: "row" }, this.teach),
        this.lesson,
      ),
    );
    this.log = new Log(root, bench);
    this.readings.begin("scale", "sinks");
    for (const control of [this.stage, this.water, this.salt, this.anyway])
      for (const kind of ["input", "change"]) control.addEventListener(kind, () => this.#reread());
  }

  // For a reading that is asked for elsewhere: the stage, and a row for it to type into.
  prepare(stage, kind) {
    this.stage.value = stage;
    this.readings.add(kind).focus();
  }

  // What the lesson says is of other readings then.
  #reread() {
    if (this.#taught === null) return;
    this.#taught = null;
    this.lesson.replaceChildren(make("p", { class: "hint" }, "Something else was entered since; ask again."));
  }

  // Places are /readings/N/text, or "reading N" from 1, /water, /salt; what is none of them is the build's own fault.
  #fault(refusal, readings) {
    const [, from0, from1] = /^(?:\/readings\/(\d+)|reading (\d+)$)/.exec(refusal.where ?? "") ?? [];
    const control = from0 || from1
      ? readings[from0 ? Number(from0) : Number(from1) - 1]?.input
      : { "/water": this.water, "/salt": this.salt, "/stage": this.stage }[refusal.where];
    if (!control) return this.tell(refusal);
    fault(control, refusal.message);
    return focusFrom(this.root, control);
  }

  #clear() {
    this.lesson.replaceChildren();
    for (const control of this.root.querySelectorAll("[data-fault]")) unfault(control);
  }

  #working(on) {
    busy(this.teach, on);
    if (on) this.lesson.replaceChildren(make("p", { class: "hint" }, "Working it out …"));
  }

  async run() {
    const readings = this.readings.list;
    const sent = this.#bench.text;
    const mine = ++this.#told;
    this.#taught = null;
    this.#clear();
    if (readings.length === 0) {
      this.lesson.textContent = "Enter one reading at least.";
      return;
    }
    const optional = Object.fromEntries(
      [
        ["water", this.water.value.trim()],
        ["salt", this.salt.value.trim()],
      ].filter(([, text]) => text !== ""),
    );
    this.#working(true);
    const asked = {
      build: sent,
      readings: Readings.asked(readings),
      stage: this.stage.value,
      ...optional,
      ...(this.anyway.checked ? { anyway: true } : {}),
    };
    try {
      const [answer] = await Promise.all([ask("tank", asked), this.book.look()]);
      if (mine !== this.#told) return; // another lure by now
      this.#taught = sent;
      this.#show(answer, asked);
      if (sent !== this.#bench.text) this.changed();
    } catch (refusal) {
      if (mine !== this.#told) return;
      this.lesson.replaceChildren();
      this.#fault(refusal, readings);
    } finally {
      if (mine === this.#told) this.#working(false);
    }
  }

  // The build takes it at once; what the book does with it comes after, and is told.
  async #take(answer, asked, offer) {
    if (this.#taught !== this.#bench.text) return;
    const { lure } = this.#bench;
    const group = `tank-${this.#told}`;
    this.#taught = null;
    this.#bench.take(answer.build, group);
    this.readings.begin("scale", "sinks"); // asked once more, the same readings would count twice
    this.teach.focus();
    const words = make("div");
    this.lesson.replaceChildren(
      make("p", { class: "good" }, "The build now agrees with what was read. Undo brings the earlier one back."),
      words,
    );
    if (offer.wanted) await this.#keep(asked, group, lure, words);
    if (lure === this.#bench.lure) this.taken();
  }

  async #keep(asked, group, lure, words) {
    try {
      const { kept, build } = await ask("tank", { ...asked, keep: true });
      words.append(...keptWords(kept));
      const name = JSON.parse(build).learnt?.lure;
      if (lure === this.#bench.lure && name !== undefined && this.#bench.doc.learnt)
        this.#bench.edit(group, (doc) => {
          doc.learnt.lure = name; // as the book knows it
        });
    } catch (refusal) {
      words.append(make("p", { class: "bad" }, `Not in your book: ${refusal.message}`));
    }
  }

  #show(answer, asked) {
    const offer = new BookOffer(this.book);
    const take = button("Take the corrected build", () => void this.#take(answer, asked, offer), {
      class: "deed",
      id: "tank-take",
    });
    this.lesson.replaceChildren(
      ...lesson(answer, (words) => this.#bench.named(words)),
      ...(answer.build
        ? [offer.root, take]
        : [make("p", { class: "bad" }, refusalWords(answer.readings.length))]),
    );
  }

  // Readings are of the lure that was left.
  forget() {
    this.#told++;
    this.#taught = null;
    this.#working(false);
    this.lesson.replaceChildren();
    this.readings.begin("scale", "sinks");
    this.stage.value = "complete";
    this.water.value = this.salt.value = "";
    this.anyway.checked = false;
    this.photo.forget();
  }

  changed() {
    this.log.show(this.#bench.doc);
    if (this.#taught === null || this.#taught === this.#bench.text) return;
    this.#taught = null;
    if (this.lesson.querySelector("#tank-take"))
      this.lesson.replaceChildren(make("p", { class: "hint" }, "The build was changed since; ask again."));
  }
}
