// SPDX-License-Identifier: GPL-3.0-or-later
// A handle on a drawing in mm: dragged by pointer, moved by the keyboard, told as a slider. Arrow
// keys move it by `step`, with Shift by a fifth of it, page keys by ten of them.
import { set, shape } from "./dom.js";

const PAUSE = 1500; // ms after which keys count as a new step of undo

let groups = 0;

export class Handle {
  // axis "x" (value: mm aft) or "y" (value: mm up); move(value, group) while it is moved; begin() and done() around
  // a drag.
  // words(value): what a screen reader says.
  constructor({ name, axis, step = 0.5, words, move, begin = () => {}, done = () => {}, form = "round" }) {
    this.axis = axis;
    this.step = step;
    this.words = words;
    this.move = move;
    this.begin = begin;
    this.done = done;
    this.keyed = { group: "", at: -Infinity };
    this.grab = shape("circle", { class: "grab" });
    this.dot = form === "round" ? shape("circle", { class: "knob" }) : shape("rect", { class: "knob" });
    this.node = shape(
      "g",
      {
        class: `handle along-${axis}`,
        role: "slider",
        tabindex: 0,
        "aria-label": name,
        "aria-orientation": axis === "x" ? "horizontal" : "vertical",
      },
      this.grab,
      this.dot,
    );
    this.node.addEventListener("keydown", (event) => this.#key(event));
  }

  // scale: mm a pixel, so that handles keep their size.
  place({ x, y, value, least, most, scale }) {
    Object.assign(this, { value, least, most });
    const r = 6 * scale;
    set(this.grab, { cx: x, cy: y, r: 14 * scale });
    if (this.dot.tagName === "circle") set(this.dot, { cx: x, cy: y, r, "stroke-width": 1.6 * scale });
    else
      set(this.dot, {
        x: x - r,
        y: y - r,
        width: 2 * r,
        height: 2 * r,
        rx: r / 3,
        "stroke-width": 1.6 * scale,
      });
    set(this.node, {
      "aria-valuemin": least.toFixed(1),
      "aria-valuemax": most.toFixed(1),
      "aria-valuenow": value.toFixed(1),
      "aria-valuetext": this.words(value),
    });
  }

  #to(value, group) {
    const next = Math.min(this.most, Math.max(this.least, Math.round(value * 20) / 20));
    if (next === this.value) return;
    this.value = next; // the next key counts from here, though the answer is still to come
    this.move(next, group);
  }

  get gone() {
    return this.node.classList.contains("gone");
  }

  // A press near the handle, or on something that stands for it, begins a drag.
  seize(event) {
    const svg = this.node.ownerSVGElement;
    const toDrawing = svg.getScreenCTM().inverse();
    const at = (e) => {
      const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(toDrawing);
      return this.axis === "x" ? p.x : -p.y;
    };
    const off = this.value - at(event);
    const group = `drag-${++groups}`;
    this.node.focus({ preventScroll: true });
    this.node.setPointerCapture(event.pointerId);
    this.begin();
    const onMove = (e) => this.#to(at(e) + off, group);
    const onEnd = () => {
      this.node.removeEventListener("pointermove", onMove);
      this.done();
    };
    this.node.addEventListener("pointermove", onMove);
    this.node.addEventListener("lostpointercapture", onEnd, { once: true });
  }

  #key(event) {
    const end = { Home: this.least, End: this.most }[event.key];
    const by = { ArrowRight: 1, ArrowLeft: -1, ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[
      event.key
    ];
    if ((by === undefined && end === undefined) || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const now = performance.now();
    if (now - this.keyed.at > PAUSE) this.keyed.group = `keys-${++groups}`;
    this.keyed.at = now;
    const next = end ?? this.value + by * this.step * (event.shiftKey ? 0.2 : 1);
    this.#to(next, this.keyed.group);
  }
}
