// SPDX-License-Identifier: GPL-3.0-or-later
// One of the two workers of the page: the program, and what it is asked. emscripten's own function `ballastry`
// stands before this text (.alone/pack).
/* global ballastry */
import { Engine } from "./engine.js";
import { Searches } from "./searches.js";

let engine = null;
let searches = null;

async function answer({ route, units, body }) {
  const reply = Searches.routes.has(route) ? await searches.ask(route, units, body) : engine.ask(route, units, body);
  return { ...reply, changes: Searches.routes.has(route) ? new Map() : engine.changes() };
}

const works = {
  async begin({ compiled, files }) {
    engine = await Engine.start(ballastry, compiled, files);
    searches = new Searches(engine);
    return { why: engine.why };
  },
  async put({ files }) {
    await searches.rest();
    engine.put(files);
    return { why: engine.why };
  },
  ask: answer,
  memory: async () => engine.memory,
};

self.addEventListener("message", async ({ data }) => {
  try {
    self.postMessage({ number: data.number, done: await works[data.work](data) });
  } catch (error) {
    self.postMessage({ number: data.number, fault: String(error?.message ?? error) });
  }
});
