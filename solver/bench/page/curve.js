// SPDX-License-Identifier: GPL-3.0-or-later
// One figure over a row of values, as a line with a mark; places without a figure leave a gap.
import { make, shape } from "./dom.js";

const WIDE = 240;
const HIGH = 70;
const EDGE = 6;

// Zero is on it where it is not far from what there is.
function bounds(known) {
  const [least, most] = [Math.min(...known), Math.max(...known)];
  const room = most - least;
  if (least > 2 * room || most < -2 * room) return [least, most];
  return [Math.min(0, least), Math.max(0, most)];
}

export class Curve {
  #node;

  // name: of the figure; say(figure).
  constructor(name, say) {
    Object.assign(this, { name, say });
    this.#node = shape("svg", { class: "curve", role: "img", viewBox: `0 0 ${WIDE} ${HIGH}` });
    this.top = make("span");
    this.foot = make("span");
    this.root = make(
      "figure",
      { class: "curve-of" },
      make("figcaption", {}, make("b", {}, name), this.top),
      this.#node,
      this.foot,
    );
  }

  // figures: one for each value, null where it is not known (yet); at: the one that is marked, -1: none.
  show(figures, at, ends) {
    const known = figures.filter((v) => v !== null);
    if (known.length === 0) {
      this.#node.replaceChildren();
      return;
    }
    const [low, high] = bounds(known);
    const x = (i) => EDGE + ((WIDE - 2 * EDGE) * i) / Math.max(1, figures.length - 1);
    const y = (v) => HIGH - EDGE - ((HIGH - 2 * EDGE) * (v - low)) / (high - low || 1);
    const line = figures
      .map((v, i) => (v === null ? "" : `${i > 0 && figures[i - 1] !== null ? "L" : "M"}${x(i)} ${y(v)}`))
      .join("");
    const marked = at >= 0 && figures[at] !== null;
    this.#node.replaceChildren(
      ...(low <= 0 && high >= 0 ? [shape("line", { class: "zero", x1: 0, x2: WIDE, y1: y(0), y2: y(0) })] : []),
      shape("path", { class: "line", d: line }),
      ...(marked ? [shape("circle", { class: "mark", cx: x(at), cy: y(figures[at]), r: 4 })] : []),
    );
    this.#node.setAttribute("aria-label", `${this.name}: ${this.say(known[0])} at ${ends[0]}, ${this.say(known[known.length - 1])} at ${ends[1]}`);
    this.top.textContent = marked ? ` ${this.say(figures[at])}` : "";
    this.foot.textContent = `${ends[0]} to ${ends[1]}: between ${this.say(Math.min(...known))} and ${this.say(Math.max(...known))}`;
  }
}
