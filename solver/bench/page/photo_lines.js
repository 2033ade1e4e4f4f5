// SPDX-License-Identifier: GPL-3.0-or-later
// What is read off a picture by points pressed on it: where it lies under a body, the angle of a lure. Points
// are [x, y] in px, y down.
const minus = (a, b) => [a[0] - b[0], a[1] - b[1]];
const dot = (a, b) => a[0] * b[0] + a[1] * b[1];
const far = (a, b) => Math.hypot(...minus(a, b));

// From px to mm from the nose and mm below the line from nose to tail, whichever way the nose points.
// mm: how long a length of `px` is. matrix: the same for SVG.
export function lay({ nose, tail }, mm, px, x0 = 0) {
  const s = mm / px;
  const long = far(nose, tail);
  const along = minus(tail, nose).map((v) => v / long);
  const way = along[0] >= 0 ? 1 : -1;
  const down = [-along[1] * way, along[0] * way];
  return {
    mmPerPx: s,
    length: long * s,
    toBody: (p) => [x0 + s * dot(minus(p, nose), along), s * dot(minus(p, nose), down)],
    toPhoto: (x, y) => [0, 1].map((i) => nose[i] + ((x - x0) * along[i] + y * down[i]) / s),
    matrix: [
      s * along[0],
      s * down[0],
      s * along[1],
      s * down[1],
      x0 - s * dot(nose, along),
      -s * dot(nose, down),
    ],
  };
}

// How far the nose points down from the level line, deg; and by how much a press that is off by `px` changes it.
export function noseDown({ left, right, nose, tail }, px = 2) {
  const axis = minus(tail, nose);
  let level = minus(right, left);
  if (dot(level, axis) < 0) level = level.map((v) => -v);
  let up = [level[1], -level[0]];
  if (up[1] > 0) up = up.map((v) => -v);
  const deg = (Math.atan2(dot(axis, up), dot(axis, level)) * 180) / Math.PI;
  const off = (length) => Math.atan2(Math.SQRT2 * px, length) * (180 / Math.PI);
  return { deg, off: Math.hypot(off(far(nose, tail)), off(far(left, right))) };
}
