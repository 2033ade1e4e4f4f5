// SPDX-License-Identifier: GPL-3.0-or-later
// What to do now at the bench to a lure that was in the tank: the act, what it should weigh then, the
// chance before and after, what the next test should show, and what to do where it comes out otherwise.
import { ask } from "./ask.js";
import { busy, button, make } from "./dom.js";
import { bar, LIKELY } from "./odds.js";
import { mass } from "./said.js";

const lines = (text, bench) =>
  bench
    .named(text)
    .split("\n")
    .map((line) => line.trim().replace("give the reading to `tank`", "enter the reading above"))
    .filter(Boolean);

const list = (tag, words) => make(tag, {}, ...words.map((line) => make("li", {}, line)));

// The first line of what the program expects is the heading of the others.
function expected(text, bench) {
  const [head, ...rest] = lines(text, bench);
  const sentence = (words) => words[0].toUpperCase() + words.slice(1);
  return [make("h4", {}, sentence(head)), list("ul", rest)];
}

// Left alone because it is good, or because nothing that hands can do now makes it so.
const leaveWords = (chance) =>
  chance >= LIKELY
    ? "Leave it as it is."
    : "Nothing that can be trimmed makes it likelier. Look for other rigs, or ask less of it under Target.";

export class Mend {
  #bench;
  #about = null; // the text that the advice is about

  constructor(root, bench, tell) {
    this.#bench = bench;
    this.tell = tell;
    this.press = button("What to do now?", () => this.ask(), { class: "deed", id: "mend" });
    this.advice = make("div", { class: "lesson", id: "mending", role: "status" });
    root.append(
      make(
        "section",
        { class: "card", "aria-labelledby": "h-mend" },
        make("h3", { id: "h-mend" }, "At the bench now"),
        make(
          "p",
          { class: "hint" },
          "Once the build has taken what the tank said: trims of what is mounted first, in steps that hands can make.",
        ),
        make("div", { class: "row" }, this.press),
        this.advice,
      ),
    );
  }

  #say(words, attributes = { class: "hint" }) {
    this.advice.replaceChildren(make("p", attributes, words));
  }

  async ask() {
    const sent = this.#bench.text;
    if (!this.#bench.doc.target) {
      this.#say("Say under Target what the lure shall do; then there is something to mend towards.");
      return;
    }
    busy(this.press, true);
    this.#say("Working it out …");
    try {
      const answer = await ask("mend", { build: sent });
      if (sent !== this.#bench.text) {
        this.#say("The build was changed meanwhile; ask again.");
        return;
      }
      this.#about = sent;
      this.#show(answer);
    } catch (refusal) {
      this.advice.replaceChildren();
      this.tell(refusal);
    } finally {
      busy(this.press, false);
    }
  }

  #show(answer) {
    const chances = make(
      "span",
      { class: "bars" },
      bar("on target as it is", answer.chance_now),
      answer.leave ? "" : bar("after this", answer.chance_after),
    );
    this.advice.replaceChildren(
      chances,
      ...(answer.leave ? [make("p", {}, leaveWords(answer.chance_now))] : this.#act(answer)),
      ...expected(answer.expected, this.#bench),
      ...(answer.otherwise.trim()
        ? [make("h4", {}, "If it comes out otherwise"), list("ul", lines(answer.otherwise, this.#bench))]
        : []),
    );
  }

  #act(answer) {
    const swaps = answer.exchanges ? make("p", { class: "hint" }, "No trim of what is mounted does it.") : null;
    return [
      swaps,
      list("ol", answer.do.map((step) => this.#bench.named(step))),
      list("ul", answer.how.map((way) => this.#bench.named(way[0].toUpperCase() + way.slice(1)))),
      button("Done: put it into the build", () => this.#take(answer.build), { class: "deed", id: "mend-take" }),
    ].filter(Boolean);
  }

  #take(build) {
    if (this.#about !== this.#bench.text) return;
    this.#about = null;
    this.#bench.take(build);
    this.press.focus();
    this.#say("The build is now as mended; Undo takes it back. Enter the next test's readings above.", { class: "good" });
  }

  changed() {
    if (this.#about === null || this.#about === this.#bench.text) return;
    this.#about = null;
    this.#say("The build was changed since; ask again.");
  }

  forget() {
    this.#about = null;
    this.advice.replaceChildren();
  }
}
