// SPDX-License-Identifier: GPL-3.0-or-later
// How a request gets to the program that serves this page, and where builds are. The page as one file has a
// module of this name of its own (solver/alone/page). The token of the program's start stands behind the # of
// the address; after a new start a tab that was opened anew brings it (other_tabs.js).
let token = location.hash.slice(1);

export const tokenNow = () => token;

// Also kept in the address, so that the tab can be loaded anew.
export function useToken(next) {
  token = next;
  history.replaceState(history.state, "", `#${next}`);
}

// A Response; rejects when the program cannot be reached.
export const carry = (route, body, units, options) =>
  fetch(`/api/${route}`, {
    method: "POST",
    headers: {
      "Content-Type": "application/json",
      "X-Bench-Token": token,
      ...(units ? { "X-Bench-Units": units } : {}),
    },
    body: JSON.stringify(body),
    ...options,
  });

export const shelfWords = "Builds in this folder";
export const tooLargeWords = "is too large to be brought in here: put it into the folder beside your builds.";
