// SPDX-License-Identifier: GPL-3.0-or-later
// The body's outline with handles. One station is the chosen one and has the four handles back,
// belly, width and place; the others are dots that choose theirs, or are dragged at once.
import { button, make, set, shape } from "./dom.js";
import { BenchView } from "./bench_view.js";
import { madeOf } from "./grain.js";
import { Grip } from "./grip.js";
import { Handle } from "./handle.js";
import { length, sayLength } from "./said.js";
import { setEdges, setWidth, stationsOf, stretch } from "./sizes.js";

const THIN = 0.5; // mm: handles leave this much between them
const STOUT = 0.5; // of the length: as far as a handle goes from the axis, unless it is further out


export class Outline {
  #bench;
  #chosen = null; // the thickest one to begin with
  #dots = [];
  #grip;

  constructor(root, bench, chosen) {
    this.#bench = bench;
    this.#grip = new Grip(bench);
    this.onChoose = chosen;
    this.view = new BenchView(root, "The body");
    this.view.framed = () => this.#place();
    this.view.grips = () => [this.back, this.belly, this.width, this.place, ...this.#dots];
    this.#choiceBar(root);
    this.#handles();
  }

  #choiceBar(root) {
    this.which = make("output", { class: "which" });
    root.append(
      (this.bar = make(
        "div",
        { class: "row" },
        button("‹", () => this.choose(this.#chosen - 1), {
          "aria-label": "Station before",
          "data-at": "station-before",
        }),
        this.which,
        button("›", () => this.choose(this.#chosen + 1), {
          "aria-label": "Station after",
          "data-at": "station-after",
        }),
      )),
    );
  }

  // work(doc, station of the file, the same in mm, value)
  #handle(name, axis, form, words, work) {
    return new Handle({
      name,
      axis,
      form,
      words,
      move: (value, group) =>
        this.#grip.edit(group, this.view.body, (doc, body) =>
          work(stationsOf(doc)[this.#chosen], body.stations[this.#chosen], value, doc, body),
        ),
      begin: () => this.view.hold(true),
      done: () => {
        this.view.hold(false);
        this.#bench.endStep();
      },
    });
  }

  #handles() {
    const from = (z) => `${length(Math.abs(z))} ${z < 0 ? "below" : "above"} the axis`;
    this.back = this.#handle("Back", "y", "round", from, (own, was, back) => setEdges(own, was, { back }));
    this.belly = this.#handle("Belly", "y", "round", from, (own, was, belly) =>
      setEdges(own, was, { belly }),
    );
    this.width = this.#handle(
      "Half the width",
      "y",
      "round",
      (half) => `${length(2 * half)} wide`,
      (own, was, half) => setWidth(own, 2 * half),
    );
    this.place = this.#handle(
      "Place from the nose",
      "x",
      "square",
      (x) => `${length(x)} from the nose`,
      (own, was, x, doc, body) => this.#moveStation(own, x, doc, body),
    );
    this.label = shape("text", { class: "size", "aria-hidden": "true" });
    this.stem = shape("line", { class: "stem" });
    this.view.overSide.prepend(this.stem);
    this.view.overSide.append(this.label, this.place.node, this.belly.node, this.back.node);
    this.view.overTop.append(this.width.node);
  }

  // The last one is the tail: the whole body goes with it, seats and all.
  #moveStation(own, x, doc, body) {
    const last = body.stations.length - 1;
    if (this.#chosen < last) {
      own.x = sayLength(x, own.x);
      return;
    }
    const first = body.stations[0].x;
    const old = body.stations[last].x;
    stretch(doc, body, (x - first) / (old - first), 1);
  }

  choose(i, told = true) {
    const count = this.view.body?.stations?.length ?? 0;
    if (count === 0) return;
    this.#chosen = Math.min(count - 1, Math.max(0, i));
    this.#place();
    if (told) this.onChoose(this.#chosen);
  }

  // What was chosen belongs to the body that was left.
  forget() {
    this.#chosen = null;
    this.which.textContent = "";
    this.view.forget();
  }

  show(body, doc) {
    this.editable = stationsOf(doc)?.length === body.stations?.length && body.stations !== null;
    this.view.side.classList.toggle("fixed", !this.editable);
    this.view.show(body, madeOf(doc, this.#bench.shelf));
  }

  // A press on a dot makes its station the chosen one, and goes on as a drag of that handle.
  #makeDots(count) {
    if (this.#dots.length === count * 3) return;
    for (const dot of this.#dots) dot.node.remove();
    this.#dots = [];
    for (let i = 0; i < count; i++) {
      for (const edge of ["back", "belly", "width"]) {
        const node = shape(
          "g",
          { class: "dot", "data-station": i, "data-edge": edge },
          shape("circle", { class: "grab" }),
          shape("circle"),
        );
        this.#dots.push({
          node,
          i,
          edge,
          get gone() {
            return node.classList.contains("gone");
          },
          seize: (event) => {
            this.choose(i);
            this[edge].seize(event);
          },
        });
        (edge === "width" ? this.view.overTop : this.view.overSide).prepend(node);
      }
    }
  }

  #placeDots(stations, scale) {
    for (const { node, i, edge } of this.#dots) {
      const s = stations[i];
      const middle = s.centre ?? 0;
      const y = { back: -middle - s.height / 2, belly: -middle + s.height / 2, width: -s.width / 2 }[edge];
      set(node.firstChild, { cx: s.x, cy: y, r: 11 * scale });
      set(node.lastChild, { cx: s.x, cy: y, r: 3 * scale });
      node.classList.toggle("gone", i === this.#chosen);
    }
  }

  #place() {
    const stations = this.view.body.stations;
    const scale = this.view.scale;
    const shown = this.editable;
    for (const h of [this.back, this.belly, this.width, this.place]) h.node.classList.toggle("gone", !shown);
    for (const node of [this.label, this.stem]) node.classList.toggle("gone", !shown);
    this.#makeDots(shown ? stations.length : 0);
    if (!shown) {
      this.which.textContent = "";
      return;
    }
    const chosen = Math.min(this.#chosen ?? thickest(stations), stations.length - 1);
    if (chosen !== this.#chosen) this.onChoose(chosen);
    this.#chosen = chosen;
    this.#placeDots(stations, scale);
    const s = stations[this.#chosen];
    const last = this.#chosen === stations.length - 1;
    const middle = s.centre ?? 0;
    const back = middle + s.height / 2;
    const belly = middle - s.height / 2;
    const half = s.width / 2;
    const long = stations[stations.length - 1].x - stations[0].x;
    const far = STOUT * long;
    const put = (handle, y, value, least, most) =>
      handle.place({ x: s.x, y, value, scale, least: Math.min(least, value), most: Math.max(most, value) });
    put(this.back, -back, back, belly + THIN, far);
    put(this.belly, -belly, belly, -far, back - THIN);
    put(this.width, -half, half, THIN / 2, far);
    const [before, after] = [
      stations[this.#chosen - 1]?.x ?? s.x - long,
      last ? s.x + long : stations[this.#chosen + 1].x,
    ];
    this.place.place({
      x: s.x,
      y: this.view.rail,
      value: s.x,
      least: before + 0.1,
      most: after - 0.1,
      scale,
    });
    set(this.stem, { x1: s.x, x2: s.x, y1: -back, y2: this.view.rail, "stroke-width": scale });
    this.which.textContent =
      `Station ${this.#chosen + 1} of ${stations.length}` +
      (last ? ", the tail" : this.#chosen === 0 ? ", the nose" : "");
    const along = (s.x - stations[0].x) / long; // its words stay in the picture at either end
    const anchor = along < 0.2 ? "start" : along > 0.8 ? "end" : "middle";
    set(this.label, { x: s.x, y: -back - 10 * scale, "font-size": 12 * scale, "text-anchor": anchor });
    this.label.textContent = `${length(s.height)} high, ${length(s.width)} wide`;
  }
}

const thickest = (stations) =>
  stations.reduce((best, s, i) => (s.height > stations[best].height ? i : best), 0);
