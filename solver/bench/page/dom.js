// SPDX-License-Identifier: GPL-3.0-or-later
// Elements by hand. Text always enters as text, never as markup.
const SVG = "http://www.w3.org/2000/svg";

export const $ = (id) => document.getElementById(id);

export function set(node, attributes) {
  for (const [key, value] of Object.entries(attributes)) {
    const text = value === true ? "" : String(value);
    if (value === null || value === undefined || value === false) node.removeAttribute(key);
    else if (node.getAttribute(key) !== text) node.setAttribute(key, text);
  }
  return node;
}

export function make(tag, attributes = {}, ...children) {
  const node = set(document.createElement(tag), attributes);
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

export function shape(tag, attributes = {}, ...children) {
  const node = set(document.createElementNS(SVG, tag), attributes);
  node.append(...children);
  return node;
}

export function button(words, work, attributes = {}) {
  const node = make("button", { type: "button", ...attributes }, words);
  node.addEventListener("click", work);
  return node;
}

// heads: words or elements, "" where a column has none; rows: <tr> elements.
export const table = (heads, rows) =>
  make(
    "table",
    {},
    make(
      "thead",
      {},
      make("tr", {}, ...heads.map((head) => (head === "" ? make("td") : make("th", { scope: "col" }, head)))),
    ),
    make("tbody", {}, ...rows),
  );

// Words whose figures are not torn from their units at the end of a line.
const measured = /([+-]?\d[\d.]* (?:deg|mm\/s|cm\/s|in\/s|mm|cm|in|mg|g|oz|s|%)(?!\w))/;
export const unbroken = (words) => words.split(measured).map((part, i) => (i % 2 ? make("span", { class: "whole" }, part) : part));

// Of a table of figures.
export const cell = (words) => make("td", { class: "n" }, ...unbroken(words));

// While a button's work goes on it cannot be pressed again, which takes the keyboard's place from it; it has that
// back when the work is done, unless the maker went elsewhere.
const held = new WeakSet();
export function busy(node, on) {
  if (on && node === document.activeElement) held.add(node);
  node.disabled = on;
  if (on || !held.delete(node)) return;
  if (document.activeElement === null || document.activeElement === document.body) node.focus({ preventScroll: true });
}

let made = 0;
export const freshId = (stem) => `${stem}-${++made}`;

// What is made anew would drop the keyboard's place; the element of the same data-at gets it back.
export function keepingFocus(root, work) {
  const held = root.contains(document.activeElement) ? document.activeElement : null;
  const at = held?.dataset.at;
  const [from, to] = held && "selectionStart" in held ? [held.selectionStart, held.selectionEnd] : [];
  work();
  if (!at || root.contains(document.activeElement)) return;
  const next = root.querySelector(`[data-at="${CSS.escape(at)}"]`);
  next?.focus({ preventScroll: true });
  if (next && typeof from === "number" && next.setSelectionRange) next.setSelectionRange(from, to);
}
