// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures of the blank under its outline, from the side and from above: to drag the stations onto the edge,
// or to have it found along each station's line and offered. The pictures stay in this tab.
import { readLength } from "./ask.js";
import { button, make, set, shape } from "./dom.js";
import { faultSlot } from "./field.js";
import { PhotoBoard } from "./photo_board.js";
import { edgesAt } from "./photo_edge.js";
import { lay } from "./photo_lines.js";
import { length, sayLength } from "./said.js";
import { isTurned, setEdges, setWidth, stationsOf, stretch } from "./sizes.js";

const HALF = 0.4; // of the length: as far from the axis as an edge is looked for
const BESIDE = 0.7; // of the way to the ruler, so that the ruler's edge is not taken for the blank's
const INSIDE = 0.6; // mm: blunt ends are looked at so far inside
const SAME = 0.3; // mm: lengths that differ by less are one

const ends = [
  ["nose", "the tip of the nose"],
  ["tail", "the end of the tail"],
];

export class BodyPhoto {
  #bench;
  #view;
  #laid = { side: null, top: null };
  #mm = null; // between the two marks of the ruler
  #read = Promise.resolve(); // until what is typed there was read

  // view: the outline's (bench_view.js).
  constructor(root, bench, view) {
    this.#bench = bench;
    this.#view = view;
    this.root = root;
    const lines = [["nose", "tail"]];
    const ruler = [
      ["from", "one mark of a ruler in the picture"],
      ["to", "another mark, far from it"],
    ];
    this.boards = {
      side: new PhotoBoard("Picture from the side", [...ruler, ...ends], [...lines, ["from", "to"]], () => this.#lay()),
      top: new PhotoBoard("Picture from above", ends, lines, () => this.#lay()),
    };
    this.under = {};
    this.found = {};
    for (const [name, svg] of [
      ["side", view.side],
      ["top", view.top],
    ]) {
      this.under[name] = shape("svg", { class: "under" });
      this.found[name] = shape("g", { class: "found" });
      svg.prepend(this.under[name]);
      svg.append(this.found[name]);
    }
    this.#build(root);
  }

  #build(root) {
    this.marks = make("input", { value: "100 mm", spellcheck: "false" });
    this.fault = faultSlot(this.marks);
    this.marks.addEventListener("input", () => this.#readMarks());
    this.words = make("p", { class: "words", role: "status" });
    this.offers = make("div", { class: "row" });
    const marks = make("label", { class: "field" }, make("span", { class: "name" }, "Between the two marks"), this.marks, this.fault);
    root.append(
      make(
        "details",
        { class: "body-photo" },
        make("summary", {}, "A photo under the outline"),
        make(
          "p",
          { class: "hint" },
          "Lay the blank flat beside a ruler, on a ground of another colour, and take it from far off and square on. Pictures stay in this tab: they are not sent and not saved.",
        ),
        this.boards.side.root,
        marks,
        this.boards.top.root,
        this.words,
        this.offers,
      ),
    );
    this.#readMarks();
  }

  #readMarks() {
    this.#read = this.#readNow();
  }

  async #readNow() {
    const text = this.marks.value;
    try {
      const mm = await readLength(text);
      if (text !== this.marks.value) return;
      this.#mm = mm > 0 ? mm : null;
      this.fault.hidden = true;
      this.#lay();
    } catch (refusal) {
      if (text !== this.marks.value) return;
      this.#mm = null;
      this.fault.textContent = refusal.message;
      this.fault.hidden = false;
    }
  }

  get #body() {
    return this.#bench.answer?.body ?? null;
  }

  // Both pictures at their place under the outline; what was found in them before is no longer offered.
  #lay() {
    const list = this.#body?.stations;
    for (const name of ["side", "top"]) {
      const points = this.boards[name].all;
      this.#laid[name] = points && list ? this.#place(name, points, list) : null;
      this.#paint(name);
      this.found[name].replaceChildren();
    }
    this.#view.root.classList.toggle("with-photo", Boolean(this.#laid.side || this.#laid.top));
    this.#offer();
  }

  // Pictures of a blank that was left.
  forget() {
    for (const board of Object.values(this.boards)) board.forget();
  }

  // The body was changed: its pictures go with its nose and its length.
  answered() {
    if (!this.#laid.side && !this.#laid.top) return;
    for (const name of ["side", "top"]) {
      const points = this.boards[name].all;
      if (points && this.#body?.stations) this.#laid[name] = this.#place(name, points, this.#body.stations);
      this.#paint(name);
    }
  }

  #place(name, points, list) {
    const x0 = list[0].x;
    const far = (a, b) => Math.hypot(points[a][0] - points[b][0], points[a][1] - points[b][1]);
    if (name === "top") return lay(points, list[list.length - 1].x - x0, far("nose", "tail"), x0);
    return this.#mm && far("from", "to") > 0 ? lay(points, this.#mm, far("from", "to"), x0) : null;
  }

  #paint(name) {
    const laid = this.#laid[name];
    const { photo } = this.boards[name];
    const viewBox = this.#view[name].getAttribute("viewBox");
    if (laid && viewBox) {
      const [x, y, width, height] = viewBox.split(" "); // names of stations may stand out of it, pictures not
      set(this.under[name], { x, y, width, height, viewBox });
    }
    this.under[name].replaceChildren(
      ...(laid
        ? [
            shape("image", {
              href: photo.url,
              width: photo.width,
              height: photo.height,
              transform: `matrix(${laid.matrix.map((v) => v.toFixed(6)).join(" ")})`,
            }),
          ]
        : []),
    );
  }

  #offer() {
    const { side, top } = this.#laid;
    this.words.textContent = "";
    this.offers.replaceChildren();
    if (!side && !top) return;
    this.offers.append(...this.#stretchOffer(), button("Find the edge", () => void this.#find()));
  }

  // As long as the body is not as long as the blank in the picture.
  #stretchOffer() {
    const { side } = this.#laid;
    const list = this.#body.stations;
    const now = list[list.length - 1].x - list[0].x;
    if (!side || Math.abs(side.length - now) <= SAME) return [];
    return [button(`Stretch the body to ${length(side.length)}, as in the picture`, () => this.#stretch(side.length / now))];
  }

  #stretch(factor) {
    this.#bench.withAnswer(({ body }) => {
      this.#bench.edit(null, (doc) => stretch(doc, body, factor, 1));
      this.#again();
    });
  }

  // Once the program has answered, the outline is another.
  #again() {
    this.#bench.withAnswer(() => this.#lay());
  }

  // From where to where across the body an edge may be.
  #span(name, laid, long) {
    const half = HALF * long;
    let [top, bottom] = [-half, half];
    if (name === "side") {
      const { from, to } = this.boards.side.all;
      const ruler = [from, to].map((p) => laid.toBody(p)[1]);
      if (Math.min(...ruler) > 0) bottom = Math.min(bottom, BESIDE * Math.min(...ruler));
      if (Math.max(...ruler) < 0) top = Math.max(top, BESIDE * Math.max(...ruler));
    }
    return [top, bottom];
  }

  async #find() {
    await this.#read; // else the marks' old distance would count
    if ((!this.#laid.side && !this.#laid.top) || !this.#body?.stations) return;
    const list = this.#body.stations;
    const [first, last] = [list[0].x, list[list.length - 1].x];
    const edges = {};
    for (const name of ["side", "top"]) {
      const laid = this.#laid[name];
      if (!laid) continue;
      const [top, bottom] = this.#span(name, laid, last - first);
      edges[name] = list.map((s) => {
        if ((s.x === first || s.x === last) && s.height === 0) return null; // a tip has no edge across
        const x = Math.min(last - INSIDE, Math.max(first + INSIDE, s.x));
        return edgesAt(this.boards[name].photo, laid.toPhoto, x, top, bottom);
      });
      this.#mark(name, list, edges[name]);
    }
    this.#tell(edges, list);
  }

  #mark(name, list, found) {
    const r = 3 * this.#view.scale;
    const diamond = (x, y) => shape("path", { d: `M${x - r} ${y}L${x} ${y - r}L${x + r} ${y}L${x} ${y + r}Z` });
    this.found[name].replaceChildren(
      ...found.flatMap((edge, i) => (edge ? [diamond(list[i].x, -edge.back), diamond(list[i].x, -edge.belly)] : [])),
    );
  }

  #tell(edges, list) {
    const count = (found) => found.filter(Boolean).length;
    const words = { side: "from the side", top: "from above" };
    this.words.textContent = Object.entries(edges)
      .map(([name, found]) => `Found ${words[name]} at ${count(found)} of ${list.length} stations.`)
      .concat("The diamonds show where; nothing is changed yet.", this.#roundWords(edges.side))
      .join(" ");
    const text = this.#bench.text;
    const take = button("Take these edges", () => this.#take(edges, text), { class: "deed" });
    take.disabled = Object.values(edges).every((found) => count(found) === 0);
    this.offers.replaceChildren(...this.#stretchOffer(), button("Find the edge", () => void this.#find()), take);
  }

  // A body that is round all along takes how thick the blank is there, and not that back and belly differ.
  #roundWords(found) {
    const own = stationsOf(this.#bench.doc);
    const off = Math.max(0, ...(found ?? []).map((edge, i) => (edge && isTurned(own[i]) ? Math.abs(edge.back + edge.belly) / 2 : 0)));
    if (off <= SAME) return [];
    return [`The blank's middle lies up to ${length(off)} off the axis; a round body takes its thickness alone. Where back and belly differ, give it width and height first.`];
  }

  #take(edges, text) {
    if (text !== this.#bench.text) {
      this.words.textContent = "The body was changed since; find the edge again.";
      return;
    }
    const was = this.#body.stations;
    this.#bench.edit(null, (doc) =>
      stationsOf(doc).forEach((own, i) => {
        const [side, top] = [edges.side?.[i], edges.top?.[i]];
        if (side && isTurned(own)) own.diameter = sayLength(side.back - side.belly, own.diameter);
        else if (side) setEdges(own, was[i], side);
        if (top && !(side && isTurned(own))) setWidth(own, top.back - top.belly);
      }),
    );
    for (const layer of Object.values(this.found)) layer.replaceChildren();
    this.words.textContent = "Taken. Undo brings the outline before back.";
    this.#again();
  }
}
