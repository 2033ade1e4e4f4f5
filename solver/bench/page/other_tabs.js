// SPDX-License-Identifier: GPL-3.0-or-later
// What the tabs of this page tell each other: the token of a new start, files that were saved, which
// files are open where. No tab hears what it says itself.
const channel = new BroadcastChannel("ballastry bench");
const heard = new Map(); // kind -> work(what)
const waiting = new Map(); // number of a question -> done(answer)
const WAIT = 150; // ms; a tab that does not answer by then is not there
let asked = 0;

export const tell = (kind, what) => channel.postMessage({ kind, what });

// work(what) may return an answer; undefined is none.
export const hear = (kind, work) => heard.set(kind, work);

// The first answer of another tab, or null.
export function askTabs(kind, what) {
  const number = `${performance.timeOrigin}-${++asked}`;
  return new Promise((done) => {
    const over = (answer) => {
      waiting.delete(number);
      done(answer);
    };
    waiting.set(number, over);
    channel.postMessage({ kind, what, number });
    setTimeout(() => waiting.has(number) && over(null), WAIT);
  });
}

channel.addEventListener("message", ({ data }) => {
  if (data.kind === "answer") {
    waiting.get(data.number)?.(data.what);
    return;
  }
  const answer = heard.get(data.kind)?.(data.what);
  if (data.number !== undefined && answer !== undefined)
    channel.postMessage({ kind: "answer", number: data.number, what: answer });
});
