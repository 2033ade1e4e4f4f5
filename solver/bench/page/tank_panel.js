// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the tank: what the scale and the tank said, what that teaches, and the corrected
// build to take.
import { ask } from "./ask.js";
import { button, make } from "./dom.js";
import { faultSlot } from "./field.js";
import { Keys } from "./keys.js";
import { lesson } from "./lesson.js";
import { Log } from "./log.js";
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

const labelled = (label, control) =>
  make("label", { class: "field" }, make("span", { class: "name" }, label), control, faultSlot(control));

// A fault lasts as long as what it is about.
function unfault(control) {
  if (!control.dataset.fault || !control.hasAttribute("aria-invalid")) return;
  control.removeAttribute("aria-invalid");
  document.getElementById(control.dataset.fault).hidden = true;
}

export class TankPanel {
  #bench;
  #taught = null; // the text that the lesson is about

  // book: the maker's (book_panel.js); taken(): told once the build has taken what the tank said.
  constructor(root, bench, tell, { book, taken }) {
    this.#bench = bench;
    this.tell = tell;
    this.book = book;
    this.taken = taken;
    this.rows = make("div", { class: "readings" });
    this.stage = make("select", {}, ...stages.map(([value, words]) => make("option", { value }, words)));
    this.water = make("input", { placeholder: "as the build's", spellcheck: "false" });
    this.salt = make("input", { placeholder: "as the build's", spellcheck: "false" });
    this.anyway = make("input", { type: "checkbox" });
    this.lesson = make("div", { class: "lesson", role: "status" });
    this.keys = new Keys(root, this.rows, () => document.getElementById("units").value === "inch");
    this.watch = new Stopwatch((kind, text) => this.#timed(kind, text));
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
        this.rows,
        this.watch.root,
        new TiltPhoto((kind, text) => this.#read(kind, text)).root,
        make(
          "div",
          { class: "row" },
          button("One more reading", () => this.#add()),
          this.keys.press,
        ),
        this.keys.pad,
        make(
          "div",
          { class: "fields" },
          labelled("The lure was", this.stage),
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
    this.#add("scale");
    this.#add("sinks");
  }

  #add(kind = "tilts") {
    const which = make(
      "select",
      { "aria-label": "What was read" },
      ...kinds.map(([value, words]) => make("option", { value }, words)),
    );
    which.value = kind;
    const text = make("input", { "aria-label": "How much", spellcheck: "false" });
    const hint = () => {
      text.placeholder = `such as ${kinds.find(([value]) => value === which.value)[2]}`;
    };
    which.addEventListener("change", hint);
    hint();
    const row = make(
      "div",
      { class: "reading" },
      which,
      text,
      button("−", () => row.remove(), { class: "quiet", "aria-label": "Remove this reading" }),
      faultSlot(text),
    );
    this.rows.append(row);
  }

  // For a reading that is asked for elsewhere: the stage, and a row for it to type into.
  prepare(stage, kind) {
    this.stage.value = stage;
    this.#add(kind);
    this.rows.lastElementChild.querySelector("input").focus();
  }

  // What the stopwatch read goes where nothing was entered for it yet, else into a row of its own.
  #timed(kind, text) {
    const empty = [...this.rows.children].find(
      (row) => ["sinks", "rises"].includes(row.querySelector("select").value) && row.querySelector("input").value === "",
    );
    if (!empty) this.#add(kind);
    const row = empty ?? this.rows.lastElementChild;
    row.querySelector("select").value = kind;
    row.querySelector("input").value = text;
  }

  // What was read off a picture goes where nothing was entered for it yet, else into a row of its own.
  #read(kind, text) {
    const free = (row) => row.querySelector("select").value === kind && row.querySelector("input").value === "";
    if (![...this.rows.children].some(free)) this.#add(kind);
    [...this.rows.children].find(free).querySelector("input").value = text;
  }

  #readings() {
    return [...this.rows.children]
      .map((row) => ({
        row,
        kind: row.querySelector("select").value,
        text: row.querySelector("input").value.trim(),
      }))
      .filter((reading) => reading.text !== "");
  }

  // Places are /readings/N/text, /water, /salt; what is none of them is the build's own fault.
  #fault(refusal, readings) {
    const at = /^\/readings\/(\d+)/.exec(refusal.where ?? "");
    const control = at
      ? readings[Number(at[1])]?.row.querySelector("input")
      : { "/water": this.water, "/salt": this.salt, "/stage": this.stage }[refusal.where];
    if (!control) return this.tell(refusal);
    const slot = document.getElementById(control.dataset.fault);
    slot.textContent = refusal.message;
    slot.hidden = false;
    control.setAttribute("aria-invalid", "true");
    control.setAttribute("aria-describedby", slot.id);
    return control.focus();
  }

  #clear() {
    this.lesson.replaceChildren();
    for (const control of this.rows.parentElement.querySelectorAll("[data-fault]")) unfault(control);
  }

  #working(on) {
    this.teach.disabled = on;
    if (on) this.lesson.replaceChildren(make("p", { class: "hint" }, "Working it out …"));
  }

  async run() {
    const readings = this.#readings();
    const sent = this.#bench.text;
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
      readings: readings.map(({ kind, text }) => ({ kind, text })),
      stage: this.stage.value,
      ...optional,
      ...(this.anyway.checked ? { anyway: true } : {}),
    };
    try {
      const [answer] = await Promise.all([ask("tank", asked), this.book.look()]);
      this.#taught = sent;
      this.#show(answer, asked);
    } catch (refusal) {
      this.lesson.replaceChildren();
      this.#fault(refusal, readings);
    } finally {
      this.#working(false);
    }
  }

  // Asked for once: until then nothing is kept. A lure that is not finished tells of no hooks yet.
  #offerBook() {
    if (!this.book.book?.place || this.book.book.off) return [];
    if (this.book.on) {
      this.keep = make("input", { type: "checkbox", "data-at": "keep-lure", checked: true });
      return [make("label", { class: "tick" }, this.keep, make("span", {}, "keep this lure in your book"))];
    }
    const offer = make("div", { class: "offer" });
    const settle = async (off) => {
      await this.book.turn(off);
      offer.replaceWith(...this.#offerBook());
    };
    offer.append(
      make("span", {}, "Shall what your lures come out at serve the next builds?"),
      button("Keep a book of them", () => void settle(false)),
      button("No", () => void settle(true)),
    );
    return [offer];
  }

  async #take(answer, asked) {
    if (this.#taught !== this.#bench.text) return;
    try {
      const kept = this.keep?.checked ? await ask("tank", { ...asked, keep: true }) : answer;
      if (this.#taught !== this.#bench.text) return;
      this.#bench.take(kept.build);
      this.teach.focus();
      this.lesson.replaceChildren(
        make("p", { class: "good" }, "The build now agrees with what was read. Undo brings the earlier one back."),
        ...(kept.kept ? [make("p", { class: "hint" }, `In your book as ${kept.kept.lure}.`)] : []),
      );
      this.taken();
    } catch (refusal) {
      this.tell(refusal);
    }
  }

  #show(answer, asked) {
    this.keep = null;
    const take = button("Take the corrected build", () => void this.#take(answer, asked), {
      class: "deed",
      id: "tank-take",
    });
    this.lesson.replaceChildren(
      ...lesson(answer),
      ...(answer.build
        ? [...this.#offerBook(), take]
        : [make("p", { class: "bad" }, "The readings contradict each other, so nothing was corrected.")]),
    );
  }

  changed() {
    this.log.show(this.#bench.doc);
    if (this.#taught === null || this.#taught === this.#bench.text) return;
    this.#taught = null;
    if (this.lesson.querySelector("#tank-take"))
      this.lesson.replaceChildren(make("p", { class: "hint" }, "The build was changed since; ask again."));
  }
}
