// SPDX-License-Identifier: GPL-3.0-or-later
// What to measure next, in order of worth: each reading with the chance that it buys, done in place
// where one field of the build takes it, else in the drawer that does.
import { button, freshId, make } from "./dom.js";
import { faultSlot } from "./field.js";
import { partId } from "./kinds.js";
import { isLearnt, unlearn } from "./learnt.js";
import { pointer, put } from "./path.js";
import { share } from "./said.js";

// Where a piece of this part sits on the seat.
const kindOf = (doc, seat, part) =>
  Object.keys(doc.fitted?.[seat] ?? {}).find((kind) => partId(doc.fitted[seat][kind]) === part);

const seatOf = (doc, part) => Object.keys(doc.fitted ?? {}).find((seat) => kindOf(doc, seat, part));

function into(doc, path, text) {
  if (isLearnt(doc, path)) unlearn(doc, path);
  put(doc, path, text);
}

function weigh(doc, seat, kind, text) {
  const path = ["fitted", seat, kind];
  if (isLearnt(doc, path)) unlearn(doc, path);
  doc.fitted[seat][kind] = { part: partId(doc.fitted[seat][kind]), mass: text };
}

// Of a reading: where it goes in the build, what the field says, and how it is put there; null: it is
// taken elsewhere.
const ways = {
  piece({ seat, part }, doc) {
    const kind = kindOf(doc, seat, part);
    return kind && { path: ["fitted", seat, kind, "mass"], hint: "0.66 g", work: (now, text) => weigh(now, seat, kind, text) };
  },
  gauge({ part }, doc) {
    const seat = seatOf(doc, part);
    const sheet = seat && kindOf(doc, seat, part) === "sheet";
    const path = sheet && ["fitted", seat, "thickness"];
    return path && { path, hint: "0.80 mm", work: (now, text) => into(now, path, text) };
  },
  blank: () => plain(["body", "mass"], "7.12 g"),
  balance: () => plain(["body", "balance"], "41 mm"),
  water: () => plain(["water", "temperature"], "14 C"),
};

const plain = (path, hint) => ({ path, hint, work: (doc, text) => into(doc, path, text) });

export class Todo {
  #bench;
  #elsewhere;

  // elsewhere: what is done for a reading that no single field takes, by its word: work(act).
  constructor(root, bench, elsewhere) {
    this.root = root;
    this.#bench = bench;
    this.#elsewhere = elsewhere;
  }

  // One line to type into, then back to the list, which is worked out anew.
  #open(item, press, { path, hint, work }, act) {
    const input = make("input", {
      placeholder: hint,
      spellcheck: "false",
      autocapitalize: "off",
      "aria-label": this.#bench.named(act.act),
      "data-path": pointer(path),
      "data-at": freshId("todo"),
    });
    const enter = button(
      "Put in",
      () => {
        const text = input.value.trim();
        if (text === "") return input.focus();
        item.classList.remove("open"); // the list that comes takes its place
        return this.#bench.edit(null, (doc) => work(doc, text));
      },
      { class: "deed" },
    );
    input.addEventListener("keydown", (event) => {
      if (event.key === "Enter") enter.click();
    });
    press.replaceWith(make("span", { class: "row" }, input, enter), faultSlot(input));
    input.focus();
    item.classList.add("open");
  }

  #line(act, next, doc) {
    const way = ways[act.reading]?.(act, doc) ?? null;
    const other = this.#elsewhere[act.reading];
    const minutes = act.minutes === 1 ? "1 minute" : `${act.minutes} minutes`;
    const item = make(
      "li",
      {},
      make("span", { class: "act" }, this.#bench.named(act.act)),
      make("small", {}, `${minutes}: ${share(next.chance)} in 100 becomes ${share(act.chance)}`),
    );
    if (way || other) {
      const words = way ? "Enter it" : "Do it";
      const press = button(words, () => (way ? this.#open(item, press, way, act) : other(act)), {
        "aria-label": `${words}: ${this.#bench.named(act.act)}`,
      });
      item.append(press);
    }
    return item;
  }

  // next: as the route `sure` gives `next_reading`; undefined: the build has no target.
  show(next, doc) {
    if (this.root.querySelector(".open input")?.matches(":focus")) return; // being typed into
    if (!next) {
      this.root.replaceChildren();
      return;
    }
    const acts = [...next.looked_at].sort((a, b) => b.chance - a.chance || a.minutes - b.minutes);
    const after = next.tests === 0 ? "as built" : next.tests === 1 ? "after one tank test" : `after ${next.tests} tank tests`;
    this.root.replaceChildren(
      make("h4", {}, "What to measure next"),
      make(
        "p",
        { class: "hint" },
        next.best
          ? `Buys most: ${this.#bench.named(next.best.act)}. Chances are those ${after}.`
          : "No reading before the tank test buys 3 in 100: build it and go to the tank.",
      ),
      make("ol", { class: "todo" }, ...acts.map((act) => this.#line(act, next, doc))),
    );
  }
}
