// SPDX-License-Identifier: GPL-3.0-or-later
// The drawers: one open at a time, arrow keys go from one to the next.
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
