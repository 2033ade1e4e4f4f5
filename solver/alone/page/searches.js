// SPDX-License-Identifier: GPL-3.0-or-later
// The three routes of a search, over an engine that runs one at a time and hears nothing while it counts.
const text = new TextDecoder();
const later = (ms) => new Promise((done) => setTimeout(done, ms));

export class Searches {
  #engine;
  #running = null; // a promise, while one runs
  #job = 0;
  #broken = null; // what ended a search other than its own end

  constructor(engine) {
    this.#engine = engine;
  }

  static routes = new Set(["fit-start", "fit-look", "fit-stop"]);

  // When no search runs.
  async rest() {
    if (this.#running === null) return;
    this.#engine.ask("fit-stop", null, JSON.stringify({ job: this.#job }));
    await this.#running;
  }

  async ask(route, units, body) {
    if (this.#broken) throw this.#broken;
    if (route === "fit-start") return this.#start(units, body);
    const answer = this.#engine.ask(route, units, body);
    if (this.#running === null || answer.status !== 200) return answer;
    const { job, wait_ms: wait = 0 } = JSON.parse(body);
    if (job !== this.#job) return answer;
    if (route === "fit-stop") await this.#running;
    else if (wait > 0) await Promise.race([this.#running, later(wait)]);
    else return answer;
    return this.#engine.ask("fit-look", units, JSON.stringify({ job }));
  }

  async #start(units, body) {
    await this.rest();
    const answer = this.#engine.ask("fit-start", units, body);
    if (answer.status !== 200) return answer;
    this.#job = JSON.parse(text.decode(answer.bytes)).job;
    // The answer goes out first.
    this.#running = later(0)
      .then(() => this.#engine.run())
      .finally(() => {
        this.#running = null;
      });
    this.#running.catch((error) => {
      this.#broken = error;
    });
    return answer;
  }
}
