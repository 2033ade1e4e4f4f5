// SPDX-License-Identifier: GPL-3.0-or-later
// The units that figures are shown in: those that the bench was started with until the maker chooses;
// kept on this device.
import { askIn } from "./ask.js";
import { useUnits } from "./said.js";

const NAME = "ballastry units";

export class Units {
  #select;
  #changed;

  // changed(units): called at once and after each choice.
  constructor(select, changed) {
    this.#select = select;
    this.#changed = changed;
    select.addEventListener("change", () => {
      localStorage.setItem(NAME, select.value);
      this.#use(select.value);
    });
  }

  start(preset) {
    const kept = localStorage.getItem(NAME);
    this.#use(kept === "inch" || kept === "metric" ? kept : preset);
  }

  #use(units) {
    this.#select.value = units;
    askIn(units);
    useUnits(units);
    this.#changed(units);
  }
}
