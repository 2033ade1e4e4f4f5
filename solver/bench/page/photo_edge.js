// SPDX-License-Identifier: GPL-3.0-or-later
// Where the edge of a blank stands along a line across a picture: from outside in, the first place where the
// colour changes nearly as much as it does anywhere on that line.
const STEP = 0.1; // mm
const SPAN = 0.8; // mm: means are taken over this much on either side
const ASIDE = [-0.4, -0.2, 0, 0.2, 0.4]; // mm along the body that are taken together
const NEARLY = 0.5; // of the greatest change
const LEAST = 18; // of 255: less than this is no edge
const ABOVE = 4; // times the usual change along the line

function colour(photo, spot, x, y) {
  const sum = [0, 0, 0];
  let count = 0;
  for (const by of ASIDE) {
    const rgb = photo.at(...spot(x + by, y));
    if (!rgb) continue;
    rgb.forEach((v, i) => (sum[i] += v));
    count++;
  }
  return count > 0 ? sum.map((v) => v / count) : null;
}

const mean = (list) => [0, 1, 2].map((i) => list.reduce((sum, c) => sum + c[i], 0) / list.length);

// How much the colour changes at each place of the line.
function changes(line) {
  const w = Math.round(SPAN / STEP);
  return line.map((_, i) => {
    const [before, after] = [line.slice(Math.max(0, i - w), i), line.slice(i, i + w)];
    if (before.length < w || after.length < w || [...before, ...after].includes(null)) return 0;
    const [a, b] = [mean(before), mean(after)];
    return Math.hypot(...a.map((v, k) => v - b[k])) / Math.sqrt(3);
  });
}

// From the first place that changes nearly as much, the top of that rise.
function firstRise(change) {
  const most = Math.max(...change);
  const usual = [...change].sort((a, b) => a - b)[change.length >> 1];
  if (most < LEAST || most < ABOVE * usual) return null;
  let i = change.findIndex((v) => v >= NEARLY * most);
  while (i + 1 < change.length && change[i + 1] >= change[i]) i++;
  return i;
}

// spot(x, y): px of a place in mm from the nose and mm below the axis. From `top` (above, negative) to
// `bottom`, mm. null where no edge is clear; else { back, belly } in mm above the axis.
export function edgesAt(photo, spot, x, top, bottom) {
  const count = Math.floor((bottom - top) / STEP) + 1;
  const line = Array.from({ length: count }, (_, i) => colour(photo, spot, x, top + i * STEP));
  const change = changes(line);
  const above = change.slice(0, Math.max(1, Math.round(-top / STEP)));
  const below = change.slice(above.length).reverse();
  const [a, b] = [firstRise(above), firstRise(below)];
  if (a === null || b === null) return null;
  return { back: -(top + (a - 0.5) * STEP), belly: -(top + (count - 1 - b - 0.5) * STEP) };
}
