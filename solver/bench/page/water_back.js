// SPDX-License-Identifier: GPL-3.0-or-later
// From the water back: what was read and seen of the lure on its line, what that teaches, and the
// build that knows of it.
import { ask } from "./ask.js";
import { button, make, table } from "./dom.js";
import { faultSlot } from "./field.js";
import { fault, labelled, unfault } from "./tow_ask.js";

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

  constructor(bench, tell, towAsk) {
    this.#bench = bench;
    this.tell = tell;
    this.towAsk = towAsk;
    this.known = make("div");
    this.rows = make("div", { class: "readings" });
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
      this.rows,
      make("div", { class: "row" }, button("One more reading", () => this.#add())),
      make("div", { class: "fields" }, labelled("Seen, in your words", this.saw), labelled("The day", this.on)),
      make("label", { class: "tick" }, this.anyway, make("span", {}, "take readings that contradict")),
      make("div", { class: "row" }, this.teach),
      this.lesson,
    );
    this.root.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input:not([type=checkbox])")) void this.run();
    });
    this.root.addEventListener("input", (event) => unfault(event.target));
    this.#add("ran-deep");
  }

  #add(kind = "pulled") {
    const which = make(
      "select",
      { "aria-label": "What was read" },
      ...kinds.map(([value, words]) => make("option", { value }, words)),
    );
    which.value = kind;
    const text = make("input", { "aria-label": "How much, and how fast it was drawn", spellcheck: "false" });
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

  #readings() {
    return [...this.rows.children]
      .map((row) => ({
        input: row.querySelector("input"),
        kind: row.querySelector("select").value,
        text: row.querySelector("input").value.trim(),
      }))
      .filter((reading) => reading.text !== "");
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
      control.focus();
    } else if (!this.towAsk.blame(refusal)) this.tell(refusal);
  }

  async run() {
    const readings = this.#readings();
    const saw = this.saw.value.trim();
    const sent = this.#bench.text;
    if (readings.length === 0 && saw === "") {
      this.lesson.textContent = "Enter a reading, or what you saw.";
      return;
    }
    this.teach.disabled = true;
    this.lesson.replaceChildren(make("p", { class: "hint" }, "Working it out …"));
    try {
      const answer = await ask("water", {
        build: sent,
        readings: readings.map(({ kind, text }) => ({ kind, text })),
        ...(saw ? { saw: [saw] } : {}),
        ...(this.on.value ? { on: this.on.value } : {}),
        ...this.towAsk.lineOnly(),
        ...(this.anyway.checked ? { anyway: true } : {}),
      });
      this.#taught = sent;
      this.#show(answer);
    } catch (refusal) {
      this.lesson.replaceChildren();
      this.#fault(refusal, readings);
    } finally {
      this.teach.disabled = false;
    }
  }

  #show(answer) {
    const taught = answer.from_water !== undefined;
    const spoilt = taught && answer.build === null;
    const take = button("Keep it with the build", () => this.#take(answer.build), { class: "deed", id: "water-take" });
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
            take,
          ]),
    );
  }

  #take(build) {
    if (this.#taught !== this.#bench.text) return;
    this.#bench.take(build);
    this.saw.value = "";
    for (const { input } of this.#readings()) input.value = "";
    this.lesson.replaceChildren(
      make("p", { class: "good" }, "The build knows of it now. Undo brings the earlier one back."),
    );
    this.teach.focus();
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
    this.#taught = null;
    this.lesson.replaceChildren();
    this.rows.replaceChildren();
    this.saw.value = "";
    this.#add("ran-deep");
  }
}
