// SPDX-License-Identifier: GPL-3.0-or-later
// Choosing a part for a seat: search the catalog, hold a part up for trial with before and after
// side by side, then mount it or leave everything as it was.
import { ask } from "./ask.js";
import { button, make, shape, table } from "./dom.js";
import { draw, headline, rows, verdict } from "./answer_view.js";
import { carries, partId, pieceNames } from "./kinds.js";
import { Live } from "./live.js";
import { length, mass } from "./said.js";

const MOST = 300;

const detail = (part) =>
  [
    typeof part.mass_g === "number" ? mass(part.mass_g, 3) : "",
    typeof part.thickness_mm === "number" ? `${length(part.thickness_mm, 2)} thick` : "",
    part.lead ? "holds lead" : "",
  ]
    .filter(Boolean)
    .join(", ");

const words = (part) => `${part.name} ${part.id} ${part.material ?? ""}`.toLowerCase();

// A number is one of its words whole, so that 4 does not find 14; other words may be begun only.
const matches = (part, word) =>
  /^[\d./]+$/.test(word)
    ? words(part)
        .split(/[\s,]+/)
        .includes(word)
    : words(part).includes(word);

export class Picker {
  #bench;
  #live;

  constructor(bench) {
    this.#bench = bench;
    this.title = make("h2", { id: "picker-title" });
    this.others = make("div", { class: "row others" });
    this.search = make("input", {
      type: "search",
      "aria-label": "Search the catalog",
      placeholder: "search: size, wire, metal …",
      spellcheck: "false",
    });
    this.list = make("ul", { class: "parts", role: "listbox", "aria-label": "Parts", tabindex: 0 });
    this.trial = make("div", { class: "trial", role: "status" });
    this.mount = button("Mount it", () => this.#take(), { class: "deed" });
    this.dialog = make(
      "dialog",
      { class: "picker", "aria-labelledby": "picker-title" },
      this.title,
      this.others,
      make("div", { class: "two" }, make("div", {}, this.search, this.list), this.trial),
      make(
        "div",
        { class: "row end" },
        button("Leave it as it is", () => this.dialog.close()),
        this.mount,
      ),
    );
    document.body.append(this.dialog);
    this.search.addEventListener("input", () => this.#searched());
    for (const node of [this.search, this.list])
      node.addEventListener("keydown", (event) => this.#key(event));
    this.#live = new Live(
      (id) => this.#try(id),
      (answer, id, newest) => newest && this.#show(answer, id),
      (refusal, id) => this.#refused(refusal, id),
    );
  }

  open(seat, kind) {
    Object.assign(this, { seat, kind, sent: this.#bench.text, not: {} });
    this.#drop();
    this.now = partId(this.#bench.doc.fitted?.[seat]?.[kind]) ?? "none";
    this.title.textContent = `${pieceNames[kind]} at ${seat}`;
    this.#showOthers();
    this.search.value = "";
    this.#fill();
    if (!this.dialog.open) this.dialog.showModal();
    this.#markId(this.now); // once it has its size, so that it can be scrolled to
    this.search.focus();
    void this.#learnNot();
  }

  // In the picture parts of one seat lie close together: the others of it are one press away.
  #showOthers() {
    const kinds = carries[this.#bench.doc.seats?.[this.seat]?.kind] ?? [];
    const others = kinds.filter((kind) => kind !== this.kind);
    this.others.replaceChildren(
      ...others.map((kind) => button(`${pieceNames[kind]} instead`, () => this.open(this.seat, kind), { class: "quiet" })),
    );
  }

  // What was held up for trial is no longer what is chosen: it cannot be mounted any more.
  #drop() {
    Object.assign(this, { answer: null, chosen: null, takeSoon: false });
    this.mount.disabled = true;
    this.trial.replaceChildren(make("p", { class: "hint" }, "Choose a part to see what it would do."));
  }

  // The first part that is found is tried at once, so that Enter mounts what was searched for.
  #searched() {
    this.#drop();
    this.#fill();
    const rows = [...this.list.querySelectorAll("[role=option]")];
    const first = rows.find((row) => !(row.dataset.id in this.not)) ?? rows[0];
    if (first && asked(this.search.value)) this.#choose(first);
  }

  // Parts that cannot be mounted with what else is on the seat are marked, with why. A lip's half
  // alone is no fault: the other half is tried along.
  async #learnNot() {
    if (this.#partner("").length > 0) return;
    const { sent, seat, kind } = this;
    try {
      const answer = await ask("mountable", { build: sent, seat, kind });
      if (sent !== this.sent || seat !== this.seat || kind !== this.kind) return;
      this.not = answer.not;
      const held = this.list.querySelector("[aria-selected=true]");
      const stood = held?.offsetTop;
      for (const row of this.list.querySelectorAll("[role=option]")) this.#markNot(row);
      if (held) this.list.scrollTop += held.offsetTop - stood; // the marks above push it out of sight
    } catch {
      // what cannot be mounted is told when it is tried
    }
  }

  #markNot(row) {
    const why = this.not[row.dataset.id];
    if (why === undefined || row.querySelector(".not")) return;
    row.classList.add("unfit");
    row.append(make("small", { class: "not" }, `does not fit: ${why}`));
  }

  #parts() {
    const asked = this.search.value
      .toLowerCase()
      .replaceAll("#", " ") // "#8" and "size 8" mean 8
      .split(/\s+/)
      .filter((word) => word !== "" && word !== "size" && word !== "no" && word !== "no.");
    const parts = this.#bench.shelf.parts.filter((part) => part.kind === this.kind);
    return parts.filter((part) => asked.every((word) => matches(part, word)));
  }

  #fill() {
    const none = asked(this.search.value) ? [] : [{ id: "none", name: "none" }];
    const parts = [...none, ...this.#parts()];
    this.list.replaceChildren(
      ...parts.slice(0, MOST).map((part, i) => {
        const row = make(
          "li",
          { role: "option", id: `part-${i}`, "data-id": part.id, "aria-selected": "false" },
          make("span", {}, part.name, part.id === this.now ? make("em", {}, " (now)") : null),
          make("small", {}, detail(part)),
        );
        row.addEventListener("click", () => this.#choose(row));
        this.#markNot(row);
        return row;
      }),
      ...(parts.length === 0 ? [make("li", { class: "hint" }, "nothing of that kind")] : []),
    );
  }

  #markId(id) {
    const row = [...this.list.children].find((r) => r.dataset.id === id);
    if (row) this.#mark(row);
  }

  #mark(row) {
    for (const other of this.list.querySelectorAll("[role=option]"))
      other.setAttribute("aria-selected", String(other === row));
    for (const node of [this.list, this.search]) node.setAttribute("aria-activedescendant", row.id);
    row.scrollIntoView({ block: "nearest" });
  }

  #choose(row) {
    this.#mark(row);
    Object.assign(this, { answer: null, chosen: row.dataset.id, takeSoon: false });
    this.mount.disabled = true;
    this.#live.want(row.dataset.id);
  }

  #key(event) {
    const rows = [...this.list.querySelectorAll("[role=option]")];
    const at = rows.findIndex((row) => row.getAttribute("aria-selected") === "true");
    const by = { ArrowDown: 1, ArrowUp: -1, PageDown: 8, PageUp: -8 }[event.key];
    if (by !== undefined && rows.length > 0) {
      event.preventDefault();
      this.#choose(rows[Math.min(rows.length - 1, Math.max(0, at + by))]);
    } else if (event.key === "Escape") {
      event.preventDefault(); // else the first press empties the search, and only the next one leaves
      this.dialog.close();
    } else if (event.key === "Enter") {
      event.preventDefault();
      if (!this.mount.disabled) this.#take();
      else this.takeSoon = this.chosen !== null; // as soon as it was worked out
    }
  }

  // A lip is a sheet and an outline: where the other one is missing, the least of its kind is tried
  // along, and can be changed afterwards.
  #partner(id) {
    const other = { sheet: "outline", outline: "sheet" }[this.kind];
    if (!other || id === "none" || this.#bench.doc.fitted?.[this.seat]?.[other] !== undefined) return [];
    const size = (part) => part.width_mm ?? part.thickness_mm ?? 0;
    const least = this.#bench.shelf.parts
      .filter((part) => part.kind === other)
      .sort((a, b) => size(a) - size(b))[0];
    return least ? [{ seat: this.seat, kind: other, id: least.id }] : [];
  }

  #try(id) {
    const swap = { seat: this.seat, kind: this.kind, id };
    const partner = this.#partner(id);
    return ask("swap", { build: this.sent, ...(partner.length > 0 ? { after: [swap, ...partner] } : swap) });
  }

  // box: that of both lures, so that they are seen at one scale.
  #side(title, rest, box) {
    const svg = shape("svg", { class: "lies small", role: "img" });
    draw(svg, { ...rest, drawing: { ...rest.drawing, box, end: undefined } });
    return make(
      "section",
      { class: "side" },
      make("h3", {}, title),
      svg,
      make(
        "p",
        {},
        headline(rest),
        verdict(rest) ? make("span", { class: rest.target.met ? "good" : "bad" }, ` ${verdict(rest)}`) : "",
      ),
    );
  }

  #show(answer, id) {
    if (id !== this.chosen) return;
    this.answer = answer;
    const before = new Map(rows(answer.before));
    const after = rows(answer.after);
    const box = union(answer.before.drawing.box, answer.after.drawing.box);
    this.trial.replaceChildren(
      make(
        "div",
        { class: "sides" },
        this.#side("Before", answer.before, box),
        this.#side("After", answer.after, box),
      ),
      table(
        ["", "before", "after"],
        after.map(([name, value]) =>
          make(
            "tr",
            {},
            make("th", { scope: "row" }, name),
            make("td", {}, before.get(name) ?? ""),
            make("td", { class: value === before.get(name) ? "" : "changed" }, value),
          ),
        ),
      ),
      make("pre", { tabindex: 0, "aria-label": "How sure that is" }, this.#bench.named(answer.text.trim())),
    );
    this.mount.disabled = false;
    if (this.takeSoon) this.#take();
  }

  #refused(refusal, id) {
    if (id !== this.chosen) return;
    Object.assign(this, { answer: null, takeSoon: false });
    this.trial.replaceChildren(make("p", { class: "fault" }, refusal.message));
  }

  #take() {
    this.dialog.close(); // first, so that the keyboard's place is back on the page
    if (this.answer && this.#bench.text === this.sent) this.#bench.take(this.answer.build);
  }
}

const union = (a, b) => [
  Math.min(a[0], b[0]),
  Math.min(a[1], b[1]),
  Math.max(a[2], b[2]),
  Math.max(a[3], b[3]),
];

const asked = (text) => text.trim() !== "";
