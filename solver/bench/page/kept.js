// SPDX-License-Identifier: GPL-3.0-or-later
// What this tab goes on with when it is loaded anew, in the browser's own store for one tab.
const NAME = "ballastry bench";
const MOST = 2e6; // characters; steps of undo beyond them are let go, the oldest first

export function remember(state) {
  const { past, now, future } = state.history;
  let room = MOST - now.length;
  const fitting = (list) => {
    let at = list.length;
    while (at > 0 && list[at - 1].length < room) room -= list[--at].length;
    return list.slice(at);
  };
  const history = { now, past: fitting(past), future: fitting(future) };
  try {
    sessionStorage.setItem(NAME, JSON.stringify({ ...state, history }));
  } catch {
    sessionStorage.removeItem(NAME); // the draft is kept all the same
  }
}

// Null where there is nothing that can be read, or the tab was not loaded anew.
export function recall() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(NAME));
    return typeof kept?.history?.now === "string" && typeof kept.file?.name === "string" ? kept : null;
  } catch {
    return null;
  }
}
