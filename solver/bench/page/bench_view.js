// SPDX-License-Identifier: GPL-3.0-or-later
// The body as it lies on the bench, level and upright: from the side and from above, to one scale,
// nose to the left. Others put their handles on it.
import { make, set, shape } from "./dom.js";
import { grain } from "./grain.js";

const REACH = 22; // px within which a press takes a handle

const closed = (one, other) => [...one, ...other.reverse()].map((p) => p.join(",")).join(" ");

function distance(node, event) {
  const box = node.getBoundingClientRect();
  return Math.hypot(box.x + box.width / 2 - event.clientX, box.y + box.height / 2 - event.clientY);
}

export class BenchView {
  // above: whether it is shown from above too.
  constructor(root, words, above = true) {
    this.side = shape("svg", { class: "bench-view", role: "group", "aria-label": `${words}, from the side` });
    this.top = shape("svg", { class: "bench-view", role: "group", "aria-label": `${words}, from above` });
    this.layers = [];
    for (const svg of [this.side, this.top]) {
      const axis = shape("line", { class: "axis" });
      const hull = shape("polygon", { class: "hull" });
      const skin = shape("g");
      const over = shape("g");
      svg.append(axis, hull, skin, over);
      this.layers.push({ axis, hull, skin, over });
    }
    this.root = make(
        "figure",
        { class: "views", hidden: true },
        make("figcaption", {}, "from the side"),
        this.side,
        ...(above ? [make("figcaption", {}, "from above"), this.top] : []),
      );
    root.append(this.root);
    // What can be taken hold of: { node, gone, seize(event) }. The nearest one is, where they crowd.
    this.grips = () => [];
    for (const svg of [this.side, this.top])
      svg.addEventListener("pointerdown", (event) => this.#press(svg, event));
    this.held = 0; // handles being dragged: the frame stands still
    this.wide = 400; // px; reading it anew at each change would lay the page out twice
    new ResizeObserver(([entry]) => {
      if (entry.contentRect.width === 0) return; // its drawer is shut
      this.wide = entry.contentRect.width;
      if (this.body) this.#frame();
    }).observe(this.side);
    this.framed = () => {};
  }

  #press(svg, event) {
    if (event.button !== 0) return;
    const near = this.grips()
      .filter((grip) => !grip.gone && svg.contains(grip.node))
      .map((grip) => ({ grip, far: distance(grip.node.lastChild, event) }))
      .sort((a, b) => a.far - b.far)[0];
    if (!near || near.far > REACH) return;
    event.preventDefault();
    near.grip.seize(event);
  }

  get overSide() {
    return this.layers[0].over;
  }
  get overTop() {
    return this.layers[1].over;
  }

  // Until another body is shown.
  forget() {
    this.root.hidden = true;
  }

  // made: what it is made of (grain.js).
  show(body, made = "") {
    this.body = body;
    this.root.hidden = false;
    const rows = body.profile;
    this.layers[0].hull.setAttribute(
      "points",
      closed(
        rows.map((r) => [r.x, -r.back]),
        rows.map((r) => [r.x, -r.belly]),
      ),
    );
    this.layers[1].hull.setAttribute(
      "points",
      closed(
        rows.map((r) => [r.x, -r.half_width]),
        rows.map((r) => [r.x, r.half_width]),
      ),
    );
    this.#paint(made);
    this.#frame();
  }

  #paint(made) {
    [this.side, this.top].forEach((svg, i) => {
      const { hull, skin } = this.layers[i];
      const pattern = grain(svg, made, 0);
      svg.dataset.made = made;
      skin.replaceChildren(
        ...(pattern
          ? [pattern.defs, shape("polygon", { class: "grain", points: hull.getAttribute("points"), fill: pattern.fill })]
          : []),
      );
    });
  }

  // The drawings' frames, and how many mm a pixel is.
  #frame() {
    if (this.held === 0) {
      const rows = this.body.profile;
      const length = rows[rows.length - 1].x - rows[0].x;
      const air = Math.max(4, length * 0.06);
      const back = Math.max(...rows.map((r) => r.back));
      const belly = Math.min(...rows.map((r) => r.belly));
      const half = Math.max(...rows.map((r) => r.half_width));
      const left = rows[0].x - air;
      const width = length + 2 * air;
      this.scale = width / this.wide;
      const foot = 34 * this.scale; // room for what stands below the belly
      this.rail = -belly + foot - 8 * this.scale;
      this.#box(0, left, -back - 30 * this.scale, width, back - belly + 30 * this.scale + foot);
      this.#box(1, left, -half - 14 * this.scale, width, 2 * half + 28 * this.scale);
    }
    this.framed();
  }

  #box(i, left, top, width, height) {
    set([this.side, this.top][i], { viewBox: `${left} ${top} ${width} ${height}` });
    const { axis, hull } = this.layers[i];
    set(axis, { x1: left, x2: left + width, y1: 0, y2: 0, "stroke-width": width / 900 });
    set(hull, { "stroke-width": width / 450 });
  }

  hold(on) {
    this.held += on ? 1 : -1;
    if (this.held === 0) this.#frame();
  }
}
