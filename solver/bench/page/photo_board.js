// SPDX-License-Identifier: GPL-3.0-or-later
// A picture to press points on, one after the other, and to move them afterwards: by pointer, or by arrow
// keys. It can be made larger to press more finely.
import { button, make, set, shape } from "./dom.js";
import { Photo } from "./photo.js";

const NEAR = 24; // px of the screen within which a press takes a point

export class PhotoBoard {
  #reads = 0;
  #photo = null;
  #at = {}; // key -> [x, y] in px of the picture
  #held = null;

  // points: [key, what is to be pressed]; lines: pairs of keys; changed(): told of every change.
  constructor(label, points, lines, changed) {
    Object.assign(this, { points, lines, changed });
    this.input = make("input", { type: "file", accept: "image/*", "aria-label": label });
    this.input.addEventListener("change", () => void this.#read());
    this.svg = shape("svg", { class: "photo", role: "group", "aria-label": label });
    this.ask = make("p", { class: "words", role: "status" });
    this.zoom = make("input", { type: "range", min: 1, max: 6, step: 0.5, value: 1, "aria-label": "Make it larger" });
    this.zoom.addEventListener("input", () => (this.svg.style.width = `${100 * this.zoom.value}%`));
    this.middle = button("Put it in the middle", () => this.#put([this.#photo.width / 2, this.#photo.height / 2]));
    this.tools = make(
      "div",
      { class: "row", hidden: true },
      make("label", { class: "field" }, make("span", { class: "name" }, "Larger"), this.zoom),
      this.middle,
      button("Press anew", () => this.#clear()),
      button("Take the picture away", () => this.forget()),
    );
    this.pane = make("div", { class: "scroll", hidden: true }, this.svg);
    const choose = make("label", { class: "field" }, make("span", { class: "name" }, label), this.input);
    this.root = make("div", { class: "photo-board" }, choose, this.ask, this.pane, this.tools);
    this.svg.addEventListener("pointerdown", (event) => this.#press(event));
    this.svg.addEventListener("pointermove", (event) => this.#held && this.#move(this.#held, this.#spot(event)));
    for (const end of ["pointerup", "pointercancel"]) this.svg.addEventListener(end, () => (this.#held = null));
    this.svg.addEventListener("keydown", (event) => this.#key(event));
  }

  get photo() {
    return this.#photo;
  }

  // The points; null while one is missing.
  get all() {
    return this.#photo && this.points.every(([key]) => this.#at[key]) ? this.#at : null;
  }

  forget() {
    this.#reads++;
    this.#photo?.letGo();
    this.#photo = null;
    this.#at = {};
    this.input.value = "";
    this.#draw();
  }

  async #read() {
    const file = this.input.files[0];
    if (!file) return;
    const mine = ++this.#reads;
    try {
      const photo = await Photo.read(file);
      if (mine !== this.#reads) return void photo.letGo(); // of a lure that was left, or not the newest
      this.#photo?.letGo();
      this.#photo = photo;
      this.#clear();
    } catch (fault) {
      this.ask.textContent = fault.message;
    }
  }

  #clear() {
    this.#at = {};
    this.#draw();
  }

  #next() {
    return this.points.find(([key]) => !this.#at[key]);
  }

  #put(spot) {
    const next = this.#next();
    if (!next) return;
    this.#move(next[0], spot);
    this.svg.querySelector(`[data-key="${next[0]}"]`)?.focus({ preventScroll: true });
  }

  #spot(event) {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [p.x, p.y];
  }

  // A missing point is set; else the nearest one is taken.
  #press(event) {
    if (event.button !== 0 || !this.#photo) return;
    event.preventDefault();
    const spot = this.#spot(event);
    const scale = this.svg.getScreenCTM().a;
    const near = Object.entries(this.#at)
      .map(([key, at]) => ({ key, far: Math.hypot(at[0] - spot[0], at[1] - spot[1]) * scale }))
      .sort((a, b) => a.far - b.far)[0];
    const next = this.#next();
    if (next && !(near?.far < NEAR / 3)) {
      this.#held = next[0];
      this.#put(spot);
    } else if (near?.far < NEAR) this.#held = near.key;
    if (this.#held) this.svg.setPointerCapture(event.pointerId);
  }

  #move(key, [x, y]) {
    const inside = (v, most) => Math.min(most, Math.max(0, v));
    this.#at = { ...this.#at, [key]: [inside(x, this.#photo.width), inside(y, this.#photo.height)] };
    this.#draw();
  }

  #key(event) {
    const key = event.target.closest("[data-key]")?.dataset.key;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!key || !way) return;
    event.preventDefault();
    const by = event.shiftKey ? 0.5 : Math.max(1, this.#photo.width / 200);
    this.#move(key, [0, 1].map((i) => this.#at[key][i] + way[i] * by));
  }

  #draw() {
    const next = this.#photo ? this.#next() : null;
    this.pane.hidden = this.tools.hidden = this.#photo === null;
    this.middle.hidden = !next;
    this.ask.textContent = next ? `Press ${next[1]}.` : "";
    if (this.#photo) this.#paint();
    this.changed();
  }

  #paint() {
    const { width, height, url } = this.#photo;
    const held = this.svg.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const r = width / 90;
    set(this.svg, { viewBox: `0 0 ${width} ${height}` });
    this.image ??= shape("image", { x: 0, y: 0 });
    set(this.image, { href: url, width, height });
    const lines = this.lines
      .filter(([a, b]) => this.#at[a] && this.#at[b])
      .map(([a, b]) => {
        const [p, q] = [this.#at[a], this.#at[b]];
        return shape("line", { class: "photo-line", x1: p[0], y1: p[1], x2: q[0], y2: q[1] });
      });
    const dots = this.points
      .filter(([key]) => this.#at[key])
      .map(([key, words]) => this.#dot(key, words, this.#at[key], r));
    this.svg.replaceChildren(this.image, ...lines, ...dots);
    if (held) this.svg.querySelector(`[data-key="${held}"]`)?.focus({ preventScroll: true });
  }

  #dot(key, words, [x, y], r) {
    const cross = `M${x - r} ${y}H${x + r}M${x} ${y - r}V${y + r}`;
    return shape(
      "g",
      {
        class: "photo-dot",
        "data-key": key,
        role: "button",
        tabindex: 0,
        "aria-label": `${words}: ${x.toFixed(0)} across, ${y.toFixed(0)} down`,
        "aria-description": "Arrow keys move it",
      },
      shape("circle", { cx: x, cy: y, r: 1.4 * r }),
      shape("path", { d: cross }),
    );
  }
}
