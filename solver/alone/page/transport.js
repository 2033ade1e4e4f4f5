// SPDX-License-Identifier: GPL-3.0-or-later
// How a request gets to the program where page and program are one file: to one of two workers, so that figures
// stay live while a search runs in the other. What the program writes goes to the browser's store before the
// answer is given. On the bench a module of this name asks over HTTP (solver/bench/page).
import { Side } from "./side.js";
import { Moved, Store } from "./store.js";
import { compiledProgram, newWorker } from "./unpacked.js";

const TRIES = 5; // when other tabs write at the same time
const searching = new Set(["fit-start", "fit-look", "fit-stop"]);
// Routes that work something out and write nothing. Before all others, which read or write files or are asked now
// and then, other tabs' files are taken in.
const working = new Set("rest along sure swap mountable tow cures water mend pour sheet catalog bodies".split(" "));

export const tokenNow = () => "alone";
export const useToken = () => {};
export const shelfWords = "Builds kept in this browser";
export const tooLargeWords = "is too large for this page, which takes files of up to 11 MB; the program itself takes larger ones.";

export const storeOpened = Store.open();
const start = async () => ({ worker: newWorker(), compiled: await compiledProgram });
const figures = new Side(start, start());
const search = new Side(start);

// One after the other, as far as they write.
let last = Promise.resolve();
export function inTurn(work) {
  const mine = last.then(work);
  last = mine.catch(() => {});
  return mine;
}

const error = (status, where, text) =>
  Response.json({ error: { kind: "wrong file", where, text } }, { status });

function refusal(fault, [path]) {
  const name = path.slice(path.lastIndexOf("/") + 1);
  return fault?.name === "QuotaExceededError"
    ? error(507, name, "the browser's store is full; nothing was written")
    : error(500, name, `the browser's store takes nothing: ${fault?.message ?? fault}; nothing was written`);
}

async function once(store, message) {
  if (!working.has(message.route)) await store.look();
  const answer = await figures.ask(store, message);
  if (answer.changes.size > 0) {
    try {
      const files = new Map([...answer.changes].map(([path, { bytes }]) => [path, bytes]));
      figures.wrote(await store.write(files));
    } catch (fault) {
      await figures.unwrite(answer.changes);
      if (fault instanceof Moved) return null;
      return refusal(fault, [...answer.changes.keys()]);
    }
  }
  return reply(answer);
}

const reply = ({ status, bytes, type, pages }) =>
  new Response(bytes, { status, headers: { "Content-Type": type, "X-Bench-Pages": String(pages) } });

async function carried(store, message) {
  for (let i = 0; i < TRIES; i++) {
    const answer = await once(store, message);
    if (answer) return answer;
  }
  return error(409, "", "another tab writes all the time; nothing was written");
}

// As on the bench: a Response, which says what is wrong by its status.
export async function carry(route, body, units) {
  const message = { route, units, body: JSON.stringify(body) };
  const store = await storeOpened;
  try {
    if (searching.has(route)) {
      if (route === "fit-start") await store.look();
      return reply(await search.ask(store, message));
    }
    return await (working.has(route) ? carried(store, message) : inTurn(() => carried(store, message)));
  } catch (fault) {
    return error(500, "", `the program gave up (${fault.message}) and was started anew`);
  }
}

// Why box or book cannot be read, "" when they can.
export const unread = () => figures.why;
