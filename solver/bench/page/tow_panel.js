// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the line: what the lure does when it is drawn, what a change does, what the target
// asks of it there, and what the water said.
import { ask } from "./ask.js";
import { make, table } from "./dom.js";
import { TowAsk } from "./tow_ask.js";
import { towPicture } from "./tow_picture.js";
import { TowWish } from "./tow_wish.js";
import { WaterBack } from "./water_back.js";

const REST = 400; // ms

const row = (name, value) => (value ? make("div", {}, make("dt", {}, name), make("dd", {}, value)) : null);

const depthOf = (said) => (said.lies === "" ? "" : said.depth === "" ? "stays at the surface" : said.depth);

const run = (said) =>
  make(
    "section",
    { class: "run" },
    make("h4", {}, `At ${said.speed}: ${said.does}`),
    make(
      "dl",
      { class: "figures" },
      row("Runs", said.lies),
      row("Trolled depth", depthOf(said)),
      row("Cast and reeled in", said.cast && `at most ${said.cast}`),
      row("Pulls", said.pull && `${said.pull}${said.at_rod && `, ${said.at_rod} at the rod`}; ${said.most} of its drag`),
      row("Comes up near the rod from", said.near_rod && `${said.near_rod} of line`),
    ),
  );

const levers = (said) =>
  make(
    "div",
    { class: "table" },
    table(
      ["a change", "depth", "pull", "tilt"],
      said.changes.map((change) =>
        make(
          "tr",
          {},
          make("th", { scope: "row" }, change.change),
          ...["depth", "pull", "tilt"].map((key) => make("td", {}, change[key])),
        ),
      ),
    ),
  );

// The first line is a heading.
const asked = (words) => [
  make("h4", {}, "What the target asks"),
  make(
    "ul",
    { class: "notes wished" },
    ...words.trim().split("\n").slice(1).map((line) => make("li", {}, line.trim())),
  ),
];

// Of several speeds each note once.
const notes = (tow) => [...new Set(tow.speeds.flatMap((speed) => speed.notes))];

export class TowPanel {
  #bench;
  #asked = 0; // the newest question's number
  #shown = "";
  #answer = null;
  #at = null; // the speed in the picture; null: the middle one
  #timer = 0;

  // open(id): opens a drawer.
  // book: the maker's (book_panel.js)
  constructor(root, bench, tell, open, book) {
    this.#bench = bench;
    this.root = root;
    this.tell = tell;
    this.ask = new TowAsk(() => this.#later());
    this.result = make("div", { class: "towed" });
    this.wish = new TowWish(bench, open);
    this.water = new WaterBack(bench, tell, this.ask, book);
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "On the line"),
        make(
          "p",
          { class: "hint" },
          "What it does when it is drawn: an estimate from published forces on plates, wires and slender bodies, never checked against a lure on a line. Whether it runs steady, porpoises, rolls over or how it wobbles only the water tells.",
        ),
        this.ask.root,
        this.result,
      ),
      this.wish.root,
      this.water.root,
    );
    new ResizeObserver(() => this.#picture()).observe(this.result);
  }

  show(doc) {
    this.wish.show(doc);
    this.water.show(doc);
    this.#later();
  }

  opened() {
    void this.#ask();
  }

  // Of the lure that was left nothing stays.
  forget() {
    this.#asked++;
    this.#shown = "";
    this.#answer = null;
    this.result.replaceChildren();
    this.water.forget();
  }

  #later() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#ask(), REST);
  }

  // Units too are part of what is asked: words are in them.
  unitsChanged() {
    this.#shown = "";
    this.#later();
  }

  async #ask() {
    const asked = { build: this.#bench.text, ...this.ask.asked };
    const key = JSON.stringify(asked);
    if (this.root.hidden || !asked.build || key === this.#shown) return;
    const mine = ++this.#asked;
    this.root.setAttribute("aria-busy", "true");
    try {
      const answer = await ask("tow", asked);
      if (mine !== this.#asked) return;
      this.#answer = answer;
      this.#shown = key;
      this.#show();
    } catch (refusal) {
      if (mine === this.#asked) this.#refused(refusal);
    } finally {
      if (mine === this.#asked) this.root.setAttribute("aria-busy", "false");
    }
  }

  #refused(refusal) {
    this.#answer = null;
    this.#shown = "";
    if (refusal.status === 0) this.tell(refusal);
    const words = this.ask.blame(refusal) ? "" : refusal.message;
    this.result.replaceChildren(words ? make("p", { class: "bad" }, words) : "");
  }

  #speeds(said) {
    const name = "tow-at";
    const group = make("fieldset", { class: "choice" }, make("legend", {}, "The picture shows it at"));
    said.forEach((one, i) => {
      const input = make("input", { type: "radio", name, value: i, checked: i === this.#at });
      input.addEventListener("change", () => {
        this.#at = i;
        this.#picture();
      });
      group.append(make("label", {}, input, make("span", {}, one.speed)));
    });
    return group;
  }

  #show() {
    const { tow, said, text, wished_text } = this.#answer;
    const count = said.speeds.length;
    if (this.#at === null || this.#at >= count) this.#at = Math.floor(count / 2);
    this.picture = make("div");
    const held = this.result.contains(document.activeElement) && document.activeElement.name === "tow-at";
    this.result.replaceChildren(
      ...(count > 1 ? [this.#speeds(said.speeds)] : []),
      this.picture,
      make(
        "p",
        { class: "hint" },
        "In brackets: 90 of 100 such lures, the error of the formulas counted in; never closer than a third or 5 deg.",
      ),
      ...said.speeds.map(run),
      ...(said.under ? [make("p", {}, `It ${said.under}.`.replace("It where", "Where"))] : []),
      ...(wished_text ? asked(wished_text) : []),
      make("ul", { class: "notes" }, ...notes(tow).map((note) => make("li", {}, note))),
      make("h4", {}, `What a change does at ${said.changes_at}, where 95 of 100 agree`),
      said.changes.length > 0 ? levers(said) : make("p", {}, "Nothing here to change: no lip, no hooks."),
      make(
        "details",
        {},
        make("summary", {}, "All of it in words"),
        make("pre", { tabindex: 0, "aria-label": "All of it in words" }, text.trim()),
      ),
    );
    this.#picture();
    if (held) this.result.querySelector("input[name=tow-at]:checked")?.focus({ preventScroll: true });
  }

  #picture() {
    if (!this.#answer || !this.picture) return;
    const width = this.picture.clientWidth - 24;
    if (width > 0)
      this.picture.replaceChildren(
        towPicture(this.#answer.drawings[this.#at], this.#answer.said.speeds[this.#at], width),
      );
  }
}
