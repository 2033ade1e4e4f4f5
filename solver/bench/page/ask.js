// SPDX-License-Identifier: GPL-3.0-or-later
// Requests to this start of the program. The token stands behind the # of the address.
const token = location.hash.slice(1);

export class Refusal extends Error {
  constructor(status, error) {
    super(error.text);
    this.status = status;
    this.where = error.where ?? "";
  }
}

// The disk does not take what was to be written; it is in this tab alone.
export const ofDisk = (refusal) => refusal instanceof Refusal && [403, 500, 507].includes(refusal.status);

// Asked twice these would be done twice; all else is asked once more when the answer got lost, as it
// may after a machine has slept.
const onlyOnce = new Set(["save", "fit-start"]);
const AGAIN = 300; // ms

async function post(route, body, options) {
  const request = {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-Bench-Token": token },
    body: JSON.stringify(body),
    ...options,
  };
  for (let last = onlyOnce.has(route); ; last = true) {
    try {
      return await fetch(`/api/${route}`, request);
    } catch {
      if (last) throw new Refusal(0, { text: "The program does not answer. Is it still running?" });
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

export async function ask(route, body = {}, options = {}) {
  const reply = await post(route, body, options);
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
