// SPDX-License-Identifier: GPL-3.0-or-later
// Requests to the program, however they get there (transport.js).
import { carry } from "./transport.js";

export { tokenNow, useToken } from "./transport.js";

export class Refusal extends Error {
  constructor(status, error) {
    super(error.text);
    this.status = status;
    this.where = error.where ?? "";
  }
}

// The disk does not take what was to be written; it is in this tab alone.
export const ofDisk = (refusal) => refusal instanceof Refusal && [403, 500, 507].includes(refusal.status);

// The program is gone, or was started anew and does not know this tab.
export const isGone = (refusal) =>
  refusal instanceof Refusal && (refusal.status === 0 || refusal.where === "X-Bench-Token");

// Asked twice these would be done twice; all else is asked once more when the answer got lost, as it
// may after a machine has slept.
const onlyOnce = new Set(["save", "fit-start", "rename", "delete", "box-put", "box-save"]);
const AGAIN = 300; // ms

let units = null; // null: those that the bench was started with

export const askIn = (system) => {
  units = system;
};

async function post(route, body, options, again = true) {
  for (let last = !again || onlyOnce.has(route); ; last = true) {
    try {
      return await carry(route, body, units, options);
    } catch {
      if (last) throw new Refusal(0, { text: "The program does not answer." });
      await new Promise((done) => setTimeout(done, AGAIN));
    }
  }
}

async function refused(reply) {
  const tree = await reply.json().catch(() => ({}));
  return new Refusal(
    reply.status,
    tree.error ?? { text: `The program answered ${reply.status} without a reason.` },
  );
}

// again: whether it is asked once more when no answer comes.
export async function ask(route, body = {}, options = {}, again = true) {
  const reply = await post(route, body, options, again);
  if (!reply.ok) throw await refused(reply);
  return reply.json();
}

// For a file's bytes.
export async function fetchFile(route, body) {
  const reply = await post(route, body);
  if (!reply.ok) throw await refused(reply);
  return { bytes: await reply.blob(), pages: Number(reply.headers.get("X-Bench-Pages") ?? 1) };
}

// A length as a maker says it, in mm: the program reads it as the place of a body's last station.
export async function readLength(text) {
  const body = {
    material: "larch",
    stations: [
      { x: "0 mm", diameter: "0 mm" },
      { x: text, diameter: "1 mm" },
    ],
  };
  const answer = await ask("rest", { build: JSON.stringify({ ballastry: 1, name: "a length", body }) });
  return answer.body.stations[1].x;
}
