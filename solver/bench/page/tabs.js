// SPDX-License-Identifier: GPL-3.0-or-later
// The drawers: one open at a time, arrow keys go from one to the next.
// The list scrolls sideways where it is narrower than its tabs; the page itself stays where it is.
function show(tab) {
  const list = tab.parentElement;
  const [from, to] = [tab.offsetLeft - list.offsetLeft, tab.offsetLeft - list.offsetLeft + tab.offsetWidth];
  if (from < list.scrollLeft) list.scrollLeft = from;
  else if (to > list.scrollLeft + list.clientWidth) list.scrollLeft = to - list.clientWidth;
}

export class Tabs {
  #tabs;
  #opened;

  constructor(list, opened = () => {}) {
    this.#tabs = [...list.querySelectorAll("[role=tab]")];
    this.#opened = opened;
    for (const tab of this.#tabs) tab.addEventListener("click", () => this.open(tab.id));
    list.addEventListener("keydown", (event) => this.#key(event));
  }

  open(id, focus = false) {
    for (const tab of this.#tabs) {
      const chosen = tab.id === id;
      tab.setAttribute("aria-selected", String(chosen));
      tab.tabIndex = chosen ? 0 : -1;
      document.getElementById(tab.getAttribute("aria-controls")).hidden = !chosen;
      if (chosen && focus) tab.focus();
      if (chosen) show(tab);
    }
    this.#opened(id);
  }

  #key(event) {
    const at = this.#tabs.indexOf(document.activeElement);
    const count = this.#tabs.length;
    const next = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: count - 1 }[event.key];
    if (at < 0 || next === undefined) return;
    event.preventDefault();
    this.open(this.#tabs[(next + count) % count].id, true);
  }
}
