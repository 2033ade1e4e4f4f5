// SPDX-License-Identifier: GPL-3.0-or-later
// Requests to this start of the program. The token stands behind the # of the address.
const token = location.hash.slice(1);

export class Refusal extends Error {
  constructor(status, error) {
    super(error.text);
    this.status = status;
    this.where = error.where;
  }
}

export async function ask(route, body = {}) {
  let reply;
  try {
    reply = await fetch(`/api/${route}`, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Bench-Token": token },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Refusal(0, { text: "the program does not answer; is it still running?", where: "" });
  }
  const tree = await reply.json();
  if (!reply.ok) throw new Refusal(reply.status, tree.error);
  return tree;
}
