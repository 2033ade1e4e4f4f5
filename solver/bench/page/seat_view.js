// SPDX-License-Identifier: GPL-3.0-or-later
// The seats on the body, each with a handle along the body; one that may lie anywhere within a
// range has a handle at either end.
import { set, shape } from "./dom.js";
import { BenchView } from "./bench_view.js";
import { madeOf } from "./grain.js";
import { Grip } from "./grip.js";
import { Handle } from "./handle.js";
import { length, sayLength } from "./said.js";
import { profileAt } from "./sizes.js";

const fixedSides = new Set(["nose", "tail"]);

export class SeatView {
  #bench;
  #grip;
  #shape = "";
  #marks = []; // { name, ends: [handle or null], label, bar }

  constructor(root, bench) {
    this.#bench = bench;
    this.#grip = new Grip(bench);
    this.view = new BenchView(root, "The seats", false);
    this.view.framed = () => this.#place();
    this.view.grips = () => this.#marks.flatMap((mark) => mark.ends);
  }

  #handle(name, i, ranged) {
    const which = ranged ? [", from", ", to"][i] : "";
    return new Handle({
      name: `${name}${which}`,
      axis: "x",
      form: ranged ? "square" : "round",
      step: 1,
      words: (x) => `${length(x)} from the nose`,
      move: (x, group) =>
        this.#grip.edit(group, this.view.body, (doc) => {
          const seat = doc.seats[name];
          if (ranged) seat.x[i] = sayLength(x, seat.x[i]);
          else seat.x = sayLength(x, seat.x);
        }),
      begin: () => this.view.hold(true),
      done: () => {
        this.view.hold(false);
        this.#bench.endStep();
      },
    });
  }

  #build(doc, seats) {
    this.view.overSide.replaceChildren();
    this.#marks = Object.entries(seats).map(([name, seat]) => {
      const ranged = Array.isArray(doc.seats[name].x);
      const ends =
        fixedSides.has(seat.side) && !ranged
          ? []
          : ranged
            ? [this.#handle(name, 0, true), this.#handle(name, 1, true)]
            : [this.#handle(name, 0, false)];
      const mark = {
        name,
        ranged,
        ends,
        bar: shape("polyline", { class: "reach" }),
        label: shape("text", { class: "size", "aria-hidden": "true" }),
        pin: shape("circle", { class: "pin" }),
      };
      mark.label.textContent = name;
      this.view.overSide.append(mark.bar, mark.pin, mark.label, ...ends.map((end) => end.node));
      return mark;
    });
  }

  show(body, doc) {
    const seats = Object.fromEntries(
      Object.entries(body.seats).filter(([name]) => doc.seats && Object.hasOwn(doc.seats, name)),
    );
    const shape = JSON.stringify(
      Object.entries(seats).map(([name, s]) => [name, s.kind, s.side, Array.isArray(doc.seats[name].x)]),
    );
    if (shape !== this.#shape) this.#build(doc, seats);
    this.#shape = shape;
    this.view.show(body, madeOf(doc, this.#bench.shelf));
  }

  #place() {
    const { body, scale } = this.view;
    const rows = body.profile;
    const nose = rows[0].x;
    const tail = rows[rows.length - 1].x;
    const spots = [];
    for (const mark of this.#marks) {
      const seat = body.seats[mark.name];
      if (!seat) continue;
      const height = (x) => {
        const here = profileAt(rows, x);
        return seat.side === "back"
          ? here.back
          : seat.side === "belly"
            ? here.belly
            : (here.back + here.belly) / 2;
      };
      const xs = seat.side === "nose" ? [nose, nose] : seat.side === "tail" ? [tail, tail] : seat.x;
      const way = seat.side === "back" ? -1 : 1; // patches stand off a little, clear of the hangers
      const off = seat.kind === "patch" ? 9 * way * scale : 0;
      const ys = xs.map((x) => -height(x) + off);
      const along = [xs[0], ...rows.map((r) => r.x).filter((x) => x > xs[0] && x < xs[1]), xs[1]];
      set(mark.bar, {
        points: along.map((x) => `${x},${-height(x) + off}`).join(" "),
        "stroke-width": 2 * scale,
      });
      set(mark.pin, { cx: xs[0], cy: ys[0], r: 4 * scale, "stroke-width": 1.2 * scale });
      mark.pin.classList.toggle("gone", mark.ends.length > 0);
      mark.ends.forEach((end, i) =>
        end.place({
          x: xs[i],
          y: ys[i],
          value: xs[i],
          scale,
          least: mark.ranged && i === 1 ? xs[0] : nose,
          most: mark.ranged && i === 0 ? xs[1] : tail,
        }),
      );
      this.#label(mark, (xs[0] + xs[1]) / 2, (ys[0] + ys[1]) / 2, way, spots);
    }
  }

  // Names stand off the body on the seat's side, one row further out where the last is too near.
  #label(mark, x, y, way, spots) {
    const { scale } = this.view;
    const wide = mark.name.length * 7 * scale;
    let row = 0;
    const clash = () =>
      spots.some(
        (s) => s.way === way && s.row === row && Math.abs(s.x - x) < (s.wide + wide) / 2 + 4 * scale,
      );
    while (row < 2 && clash()) row++;
    spots.push({ x, way, row, wide });
    set(mark.label, {
      x,
      y: y + way * (18 + 13 * row) * scale + (way > 0 ? 5 * scale : 0),
      "font-size": 12 * scale,
      "text-anchor": "middle",
    });
  }
}
