// SPDX-License-Identifier: GPL-3.0-or-later
// Places in a build, as lists of keys, and as the JSON Pointers (RFC 6901) that errors carry.
export const pointer = (path) =>
  path.map((key) => "/" + String(key).replaceAll("~", "~0").replaceAll("/", "~1")).join("");

export const steps = (text) =>
  text
    .split("/")
    .slice(1)
    .map((key) => key.replaceAll("~1", "/").replaceAll("~0", "~"));

const own = (at, key) =>
  at !== null && typeof at === "object" && Object.hasOwn(at, key) ? at[key] : undefined;

export const look = (doc, path) => path.reduce(own, doc);

// An empty text takes the key away; in a list it leaves the place open.
export function put(doc, path, value) {
  const last = path[path.length - 1];
  let at = doc;
  for (const key of path.slice(0, -1)) {
    if (own(at, key) === null || typeof own(at, key) !== "object") at[key] = {};
    at = at[key];
  }
  if (value !== "" && value !== undefined) at[last] = value;
  else if (Array.isArray(at)) at[last] = null;
  else delete at[last];
}
