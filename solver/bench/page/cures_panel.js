// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for a lure that swims badly: what was seen, what makers try first, and what each of it
// would do to this lure at rest, to its chance and on the line.
import { ask } from "./ask.js";
import { button, make } from "./dom.js";

const REST = 400; // ms

const seen = [
  ["porpoises", "porpoises: dips and rises as it is drawn"],
  ["rolls-over", "rolls over when drawn fast"],
];

const row = (name, value) => (value ? make("div", {}, make("dt", {}, name), make("dd", {}, value)) : null);

const change = (one) =>
  make(
    "li",
    {},
    make("b", {}, one.change),
    one.possible
      ? make(
          "dl",
          { class: "figures" },
          row("At rest", one.rests),
          row("Right first time", one.chance),
          row("On the line", one.runs),
        )
      : make("p", { class: "hint" }, `${one.why_not}.`),
  );

export class CuresPanel {
  #bench;
  #asked = 0;
  #shown = "";
  #timer = 0;
  #saw = null;

  // towAsked(): line and speeds, members of a request; open(id): opens a drawer.
  constructor(root, bench, tell, { towAsked, open }) {
    this.#bench = bench;
    this.root = root;
    this.tell = tell;
    this.towAsked = towAsked;
    this.kept = make("div");
    this.result = make("div", { class: "cures" });
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "When it swims badly"),
        make(
          "p",
          { class: "hint" },
          "Nothing here promises that a lure runs steady: whether it porpoises or rolls over, only the water tells.",
        ),
        this.#choice(),
        this.kept,
        this.result,
        make(
          "p",
          { class: "row" },
          button("Line, speed and readings", () => open("tab-line"), { class: "quiet" }),
        ),
      ),
    );
  }

  #choice() {
    const group = make("fieldset", { class: "choice" }, make("legend", {}, "On the water it"));
    for (const [value, words] of seen) {
      const input = make("input", { type: "radio", name: "saw", value, "data-at": `saw-${value}` });
      input.addEventListener("change", () => {
        this.#saw = value;
        void this.#ask();
      });
      group.append(make("label", {}, input, make("span", {}, words)));
    }
    return group;
  }

  show(doc) {
    const list = Array.isArray(doc.seen) ? doc.seen : [];
    this.kept.replaceChildren(
      ...(list.length > 0
        ? [
            make("h4", {}, "Seen of it before"),
            make("ul", { class: "notes" }, ...list.map((text) => make("li", {}, String(text)))),
          ]
        : []),
    );
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#ask(), REST);
  }

  opened() {
    void this.#ask();
  }

  forget() {
    this.#asked++;
    this.#shown = "";
    this.result.replaceChildren();
  }

  unitsChanged() {
    this.#shown = "";
    void this.#ask();
  }

  async #ask() {
    const asked = { build: this.#bench.text, saw: this.#saw, ...this.towAsked() };
    const key = JSON.stringify(asked);
    if (this.root.hidden || this.#saw === null || !asked.build || key === this.#shown) return;
    const mine = ++this.#asked;
    try {
      const answer = await ask("cures", asked);
      if (mine !== this.#asked) return;
      this.#shown = key;
      this.#show(answer);
    } catch (refusal) {
      if (mine !== this.#asked) return;
      this.#shown = "";
      if (refusal.status === 0) this.tell(refusal);
      this.result.replaceChildren(make("p", { class: "bad" }, refusal.message));
    }
  }

  #show({ said, at, words }) {
    const [now, ...tries] = said;
    this.result.replaceChildren(
      make("h4", {}, "As it is"),
      make("dl", { class: "figures" }, row("At rest", now.rests), row("Right first time", now.chance)),
      make("h4", {}, "What makers try, first things first"),
      make("p", { class: "hint" }, `${words[0].toUpperCase()}${words.slice(1)}.`),
      make("ol", { class: "tries" }, ...tries.map(change)),
      make(
        "p",
        { class: "hint" },
        `On the line: an estimate at ${at}, told where 95 of 100 such lures agree. After each cure the lure rests otherwise than before: read it again on the scale and in the tank.`,
      ),
    );
  }
}
