// SPDX-License-Identifier: GPL-3.0-or-later
// The picture as the control: a press on a part in the water leads to its choice, lip and metal are dragged
// along the body. By keyboard each part is a button; arrow keys move what can be moved.
import { keepingFocus, set, shape } from "./dom.js";
import { draw } from "./answer_view.js";
import { gauges } from "./gauges.js";
import { madeOf, madeWords } from "./grain.js";
import { Grip } from "./grip.js";
import { carries, openKinds, partId, pieceNames } from "./kinds.js";
import { length, sayLength } from "./said.js";

const REACH = { mouse: 10, touch: 20, pen: 12 }; // px within which a press takes the nearest part
const STEADY = 4; // px: less than this is a press, no drag
const PAUSE = 1500; // ms after which keys count as a new step of undo
const HIT = 2.2; // mm, how wide a wire is to the pointer
const slides = new Set(["sheet", "strip", "dot"]);

let groups = 0;

function setPlace(doc, seat, x) {
  const own = doc.seats[seat];
  if (Array.isArray(own.x)) doc.fitted[seat].x = sayLength(x, doc.fitted[seat].x);
  else own.x = sayLength(x, own.x);
}

// What the seat lacks to be of use, as the next kind to mount; null: nothing.
function lacks(doc, name) {
  const seat = doc.seats[name];
  const has = (kind) => doc.fitted?.[name]?.[kind] !== undefined;
  if (seat.kind === "patch") {
    const open = openKinds(doc, name);
    return has("strip") || has("dot") ? null : (open[0] ?? carries.patch[0]);
  }
  const needed = { tie: ["eye"], hanger: ["eye", "hook"], slot: ["sheet"] }[seat.kind] ?? [];
  return needed.find((kind) => !has(kind)) ?? null;
}

export class Picture {
  #svg;
  #bench;
  #pick;
  #grip;
  #rest = null;
  #taken = null; // { seat, piece, x, y, sits, moved, group }
  #keyed = { group: "", at: -Infinity };

  // pick(seat, kind): lets the maker choose a part; say(words): told where a part was moved to.
  constructor(svg, bench, pick, say) {
    this.#svg = svg;
    this.#bench = bench;
    this.#pick = pick;
    this.#grip = new Grip(bench);
    this.say = say;
    svg.addEventListener("pointerdown", (event) => this.#press(event));
    svg.addEventListener("pointermove", (event) => this.#move(event));
    svg.addEventListener("pointerup", (event) => this.#release(event));
    svg.addEventListener("pointercancel", () => this.#let());
    svg.addEventListener("keydown", (event) => this.#key(event));
  }

  // own: the build's own lure, whose parts can be taken; else a preview, to look at only.
  draw(rest, own) {
    this.#rest = own ? rest : null;
    const doc = this.#bench.doc;
    const made = madeOf(doc, this.#bench.shelf);
    keepingFocus(this.#svg, () => {
      draw(this.#svg, rest, { made, over: (frame) => gauges(rest, frame) });
      set(this.#svg, { role: "group", "aria-label": [this.#svg.getAttribute("aria-label"), madeWords[made]].filter(Boolean).join("; ") });
      if (own) this.#makeControls(rest.drawing, doc);
    });
  }

  #makeControls(drawing, doc) {
    for (const node of this.#svg.querySelectorAll(":scope > .part, .ahead .part[data-piece=outline]"))
      this.#makeButton(node, doc);
    for (const [name, at] of Object.entries(drawing.seats)) {
      const kind = doc.seats?.[name] && lacks(doc, name);
      if (kind) this.#svg.append(this.#makeEmpty(doc, name, kind, at));
    }
  }

  #makeButton(node, doc) {
    const { seat, piece } = node.dataset;
    if (!doc.seats?.[seat]) return;
    const id = partId(doc.fitted?.[seat]?.[piece]);
    const name = this.#bench.part(id)?.name ?? id ?? "";
    for (const line of [...node.children])
      if (!line.classList.contains("hidden")) node.prepend(hit(line));
    const moves = slides.has(piece);
    node.classList.toggle("slides", moves);
    this.#asButton(node, `${seat}-${piece}`, `${seat}: ${pieceNames[piece].toLowerCase()}, ${name}. Swap it`, moves);
  }

  #asButton(node, at, label, moves) {
    const title = shape("title");
    title.textContent = label;
    node.prepend(title);
    set(node, {
      role: "button",
      tabindex: 0,
      "data-at": at,
      "aria-label": label,
      "aria-description": moves ? "Arrow keys move it along the body" : null,
    });
  }

  #makeEmpty(doc, name, kind, [x, y]) {
    const { side, kind: seatKind } = doc.seats[name];
    const off = { back: [0, -3.4], belly: [0, 3.4], nose: [-3.4, 0], tail: [3.4, 0] }[side] ?? [0, 0];
    const [cx, cy] = [x + off[0], y + off[1] * (seatKind === "hanger" && kind === "hook" ? 2 : 1)];
    const node = shape(
      "g",
      { class: "part empty", "data-seat": name, "data-piece": kind },
      shape("circle", { class: "hit", cx, cy, r: 4 }),
      shape("circle", { class: "plus", cx, cy, r: 2 }),
      shape("path", { class: "plus", d: `M${cx - 1.1} ${cy}h2.2M${cx} ${cy - 1.1}v2.2` }),
    );
    this.#asButton(node, `${name}-${kind}`, `${name}: no ${pieceNames[kind].toLowerCase()} yet. Mount one`, false);
    return node;
  }

  // ---- by pointer ----

  #nearest(event) {
    const hitOne = event.target.closest?.(".part[role=button]");
    if (hitOne) return hitOne;
    const most = REACH[event.pointerType] ?? REACH.mouse;
    const near = [...this.#svg.querySelectorAll(".part[role=button]")]
      .map((node) => ({ node, far: distance(node, event) }))
      .sort((a, b) => a.far - b.far)[0];
    return near && near.far <= most ? near.node : null;
  }

  #press(event) {
    if (event.button !== 0 || this.#rest === null) return;
    const node = this.#nearest(event);
    if (!node) return;
    const { seat, piece } = node.dataset;
    const { clientX, clientY, pointerId } = event;
    this.#svg.setPointerCapture(pointerId);
    node.focus({ preventScroll: true });
    event.preventDefault();
    const group = `slide-${++groups}`;
    this.#taken = { seat, piece, clientX, clientY, group, room: this.#room(node), moved: false };
  }

  // Where the part may go: mm from the nose; null when it stays.
  #room(node) {
    const { seat, piece } = node.dataset;
    const sits = this.#rest.drawing.sits[seat];
    if (!slides.has(piece) || !node.classList.contains("slides") || sits?.x === null || !sits) return null;
    const rows = this.#rest.body.profile;
    const one = sits.to - sits.from < 0.05;
    const [least, most] = one ? [rows[0].x, rows[rows.length - 1].x] : [sits.from, sits.to];
    const long = piece === "sheet" ? 0 : this.#extent(seat, piece);
    const [before, after] = piece === "dot" ? [long / 2, long / 2] : [0, long];
    return { x: sits.x, least: least + before, most: Math.max(least + before, most - after) };
  }

  // How long the part is along the body's axis, mm.
  #extent(seat, piece) {
    const t = (this.#rest.drawing.nose_down_deg * Math.PI) / 180;
    const along = this.#rest.drawing.shapes
      .filter((p) => p.seat === seat && p.piece === piece)
      .flatMap((p) => p.points.map(([x, y]) => x * Math.cos(t) - y * Math.sin(t)));
    return along.length > 0 ? Math.max(...along) - Math.min(...along) : 0;
  }

  #move(event) {
    const taken = this.#taken;
    if (!taken?.room) return;
    const [dx, dy] = [event.clientX - taken.clientX, event.clientY - taken.clientY];
    if (!taken.moved && Math.hypot(dx, dy) < STEADY) return;
    taken.moved = true;
    const t = (this.#rest.drawing.nose_down_deg * Math.PI) / 180;
    const px = this.#svg.getScreenCTM().a; // a millimetre
    this.#to(taken, taken.room, taken.room.x + (dx * Math.cos(t) - dy * Math.sin(t)) / px, taken.group);
  }

  #release(event) {
    const taken = this.#taken;
    this.#let();
    if (!taken) return;
    const steady = Math.hypot(event.clientX - taken.clientX, event.clientY - taken.clientY) < STEADY;
    if (!taken.moved && steady) this.#pick(taken.seat, taken.piece);
  }

  #let() {
    if (this.#taken?.moved) this.#bench.endStep();
    this.#taken = null;
  }

  #to({ seat }, room, wanted, group) {
    const x = Math.round(Math.min(room.most, Math.max(room.least, wanted)) * 20) / 20;
    this.#grip.edit(group, null, (doc) => setPlace(doc, seat, x));
    this.say(`${seat}: ${length(x)} from the nose`);
    return x;
  }

  // ---- by keyboard ----

  #key(event) {
    const node = event.target.closest(".part[role=button]");
    if (!node || this.#rest === null || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.#pick(node.dataset.seat, node.dataset.piece);
      return;
    }
    const by = { ArrowRight: 1, ArrowLeft: -1, ArrowUp: -1, ArrowDown: 1, PageUp: -10, PageDown: 10 }[event.key];
    const room = by === undefined ? null : this.#room(node);
    if (!room) return;
    event.preventDefault();
    this.#slideByKey(node, room, by * (event.shiftKey ? 0.1 : 0.5));
  }

  // Keys may come faster than answers: each counts from where the last one went.
  #slideByKey(node, room, by) {
    const now = performance.now();
    const going = now - this.#keyed.at < PAUSE && this.#keyed.seat === node.dataset.seat;
    const from = going ? this.#keyed.x : room.x;
    const group = going ? this.#keyed.group : `slide-${++groups}`;
    const x = this.#to(node.dataset, room, from + by, group);
    this.#keyed = { group, at: now, x, seat: node.dataset.seat };
  }
}

function hit(line) {
  const closed = /Z$/.test(line.getAttribute("d") ?? "") && !line.classList.contains("thread");
  return shape("path", {
    class: closed ? "hit filled" : "hit",
    d: line.getAttribute("d"),
    "stroke-width": Math.max(HIT, Number(line.getAttribute("stroke-width")) + 1.4),
  });
}

// px from a press to what is seen of a part.
function distance(node, { clientX, clientY }) {
  const out = (at, low, high) => Math.max(low - at, 0, at - high);
  const far = ({ left, right, top, bottom }) => Math.hypot(out(clientX, left, right), out(clientY, top, bottom));
  return Math.min(...[...node.querySelectorAll(".hit")].map((line) => far(line.getBoundingClientRect())));
}
