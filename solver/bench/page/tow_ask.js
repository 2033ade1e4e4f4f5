// SPDX-License-Identifier: GPL-3.0-or-later
// What is asked of a draw: speeds, line, rod, in the maker's words, read by the program alone.
import { make } from "./dom.js";
import { fault, labelled, unfault } from "./readings.js";

export class TowAsk {
  // changed(): told after every change.
  constructor(changed) {
    const input = (key, hint) => make("input", { placeholder: hint, spellcheck: "false", "data-at": `tow-${key}` });
    this.speeds = input("speeds", "0.5, 1, 1.5 m/s");
    this.line = input("line", "30 m of 0.30 mm");
    this.rod = input("rod", "1 m");
    this.root = make(
      "div",
      { class: "fields" },
      labelled("Drawn at, commas between", this.speeds),
      labelled("Line out, and how thick", this.line),
      labelled("Rod's tip above the water", this.rod),
    );
    this.root.addEventListener("input", (event) => {
      unfault(event.target);
      changed();
    });
  }

  // Members of a request; what is empty is as usual, or as the target has it. A unit behind the last
  // speed holds for all.
  get asked() {
    const texts = this.speeds.value.split(/[,;]/).map((text) => text.trim()).filter(Boolean);
    const unit = /[a-z].*$/i.exec(texts.at(-1) ?? "")?.[0];
    const speeds = texts.map((text) => (unit && !/[a-z]/i.test(text) ? `${text} ${unit}` : text));
    const [line, rod] = [this.line.value.trim(), this.rod.value.trim()];
    return { ...(speeds.length > 0 ? { speeds } : {}), ...this.lineOnly(line, rod) };
  }

  lineOnly(line = this.line.value.trim(), rod = this.rod.value.trim()) {
    return { ...(line ? { line } : {}), ...(rod ? { rod } : {}) };
  }

  // Whether the refusal is about one of these.
  blame(refusal) {
    const where = refusal.where ?? "";
    const control = where.startsWith("/speeds")
      ? this.speeds
      : { "/line": this.line, "/rod": this.rod }[where];
    if (!control) return false;
    fault(control, refusal.message);
    return true;
  }
}
