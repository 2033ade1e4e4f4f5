// SPDX-License-Identifier: GPL-3.0-or-later
// A stopwatch with keys for wet hands: how deep the tank is timed, one large key that starts and stops,
// and the reading that comes of it.
import { button, make } from "./dom.js";

export class Stopwatch {
  #since = null;
  #timer = 0;

  // done(kind, text): a reading, such as ("sinks", "60 cm in 10.4 s").
  constructor(done) {
    this.done = done;
    this.depth = make("input", { value: "60 cm", spellcheck: "false", "data-at": "watch-depth" });
    this.way = make(
      "select",
      {},
      make("option", { value: "sinks" }, "it sinks"),
      make("option", { value: "rises" }, "it rises"),
    );
    this.face = make("output", { class: "face", "aria-live": "off" }, "0.0 s");
    this.key = button("Start", () => this.#press(), { class: "large", id: "watch" });
    this.root = make(
      "div",
      { class: "watch" },
      make("label", { class: "field" }, make("span", { class: "name" }, "Timed over"), this.depth),
      make("label", { class: "field" }, make("span", { class: "name" }, "When let go"), this.way),
      this.key,
      this.face,
    );
  }

  #seconds() {
    return (performance.now() - this.#since) / 1000;
  }

  #press() {
    if (this.#since === null) {
      this.#since = performance.now();
      this.key.textContent = "Stop";
      this.#timer = setInterval(() => {
        this.face.textContent = `${this.#seconds().toFixed(1)} s`;
      }, 100);
      return;
    }
    const seconds = this.#seconds();
    clearInterval(this.#timer);
    this.#since = null;
    this.key.textContent = "Start";
    this.face.textContent = `${seconds.toFixed(1)} s`;
    this.done(this.way.value, `${this.depth.value.trim()} in ${seconds.toFixed(1)} s`);
  }
}
