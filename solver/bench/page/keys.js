// SPDX-License-Identifier: GPL-3.0-or-later
// Large keys for wet hands: digits and units for the reading that was touched last, so that no keyboard
// of a phone or laptop is needed beside the tank.
import { button, make } from "./dom.js";

const digits = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "-"];
const units = {
  metric: [" g", " cm in ", " s", " deg", " %", " mm"],
  inch: [" oz", " in in ", " s", " deg", " %", " in"],
};

export class Keys {
  #to = null;

  // root: the drawer whose readings they write; inch(): whether the page speaks in inches.
  constructor(root, rows, inch) {
    this.root = root;
    this.rows = rows;
    this.inch = inch;
    this.press = button("Large keys", () => this.#toggle(), { id: "large-keys", "aria-expanded": "false" });
    this.face = make("output", { class: "face", "aria-live": "off" });
    this.pad = make("div", { class: "pad", role: "group", "aria-label": "Large keys", hidden: true });
    rows.addEventListener("focusin", (event) => {
      if (event.target.matches("input")) this.#aim(event.target);
    });
  }

  #aim(input) {
    for (const other of this.rows.querySelectorAll("input.aimed")) other.classList.remove("aimed");
    this.#to = input;
    if (!this.pad.hidden) input.classList.add("aimed");
    this.#show();
  }

  // What is being written stands above the keys, whatever lies out of sight.
  #show() {
    const what = this.#to?.closest(".reading")?.querySelector("select");
    this.face.textContent = this.#to ? `${what?.selectedOptions[0]?.textContent ?? ""}: ${this.#to.value || "…"}` : "";
  }

  // The one touched last, if it is still there; else the first that is empty, else the last.
  #target() {
    const inputs = [...this.rows.querySelectorAll("input")];
    if (!inputs.includes(this.#to)) this.#to = inputs.find((one) => one.value === "") ?? inputs[inputs.length - 1] ?? null;
    if (this.#to) this.#aim(this.#to);
    return this.#to;
  }

  #write(text) {
    const input = this.#target();
    if (!input) return;
    input.value = text === null ? input.value.trimEnd().slice(0, -1) : input.value + text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    this.#show();
  }

  #next() {
    const inputs = [...this.rows.querySelectorAll("input")];
    const at = inputs.indexOf(this.#target());
    if (inputs.length > 0) this.#aim(inputs[(at + 1) % inputs.length]);
  }

  #toggle() {
    const on = this.pad.hidden;
    const key = (words, work, attributes = {}) => button(words, work, { class: "large", ...attributes });
    if (on)
      this.pad.replaceChildren(
        this.face,
        ...digits.map((digit) => key(digit, () => this.#write(digit), digit === "-" ? { "aria-label": "minus" } : {})),
        ...units[this.inch() ? "inch" : "metric"].map((unit) => key(unit.trim(), () => this.#write(unit))),
        key("⌫", () => this.#write(null), { "aria-label": "Take the last letter back" }),
        key("Next reading", () => this.#next(), { class: "large next" }),
      );
    this.pad.hidden = !on;
    this.root.classList.toggle("wet", on);
    this.press.setAttribute("aria-expanded", String(on));
    if (on) this.#target();
    else this.#to?.classList.remove("aimed");
  }
}
