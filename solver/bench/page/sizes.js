// SPDX-License-Identifier: GPL-3.0-or-later
// Changes to the body's sizes in the build's text. What it was before, in mm, comes from the
// program's answer (`body`), which alone reads quantities.
import { sayLength } from "./said.js";

export const stationsOf = (doc) => (Array.isArray(doc.body?.stations) ? doc.body.stations : null);

export const isTurned = (station) => "diameter" in station;

// was: the station in mm; edges: { back, belly } in mm above the axis, either may be missing.
export function setEdges(station, was, edges) {
  const middle = was.centre ?? 0;
  if (isTurned(station)) {
    const reach = edges.back !== undefined ? edges.back - middle : middle - edges.belly;
    station.diameter = sayLength(2 * Math.max(0, reach), station.diameter);
    return;
  }
  const back = edges.back ?? middle + was.height / 2;
  const belly = edges.belly ?? middle - was.height / 2;
  station.height = sayLength(Math.max(0, back - belly), station.height);
  const centre = (back + belly) / 2;
  if (Math.abs(centre) < 0.04) delete station.centre;
  else station.centre = sayFine(centre, station.centre);
}

// Middles lie on twentieths, so that an edge moved by a tenth leaves the other where it is.
const sayFine = (mm, like) =>
  /mm|undefined/.test(String(like)) ? `${Number(mm.toFixed(2))} mm` : sayLength(mm, like);

export function setWidth(station, width) {
  const key = isTurned(station) ? "diameter" : "width";
  station[key] = sayLength(width, station[key]);
}

// From turned to carved and back; was: the stations in mm. A turned one gets the mean of both ways.
export function turn(station, was, turned) {
  const { diameter, width, height, ...rest } = station;
  const mean = sayLength((was.width + was.height) / 2, height ?? diameter);
  return turned
    ? { ...rest, diameter: isTurned(station) ? diameter : mean }
    : { ...rest, width: width ?? diameter, height: height ?? diameter };
}

// Lengthwise by `along`, crosswise by `across`. Seats go with the body; what sits on them, coats and
// the scale's reading stay as they are.
export function stretch(doc, body, along, across) {
  const about = body.stations[0].x;
  const place = (x) => about + (x - about) * along;
  stationsOf(doc).forEach((station, i) => {
    const was = body.stations[i];
    station.x = sayLength(place(was.x), station.x);
    for (const key of ["diameter", "width", "height"])
      if (key in station) station[key] = sayLength((was[key] ?? was.width) * across, station[key]);
    if (was.centre) station.centre = `${Number((was.centre * across).toFixed(2))} mm`;
  });
  for (const [name, seat] of Object.entries(doc.seats ?? {})) {
    const was = body.seats[name]?.x;
    if (!was) continue;
    if (Array.isArray(seat.x)) seat.x = seat.x.map((text, i) => sayLength(place(was[i]), text));
    else seat.x = sayLength(place(was[0]), seat.x);
  }
  for (const on of Object.values(doc.fitted ?? {})) {
    const mm = typeof on.x === "string" && /^\s*([\d.]+)\s*mm\s*$/.exec(on.x);
    if (mm) on.x = sayLength(place(Number(mm[1])));
  }
}

// Height of back and belly and half the width at x, between the places that the program gave.
export function profileAt(rows, x) {
  let i = rows.findIndex((r) => r.x >= x);
  if (i <= 0) i = i === 0 ? 1 : rows.length - 1;
  const [a, b] = [rows[i - 1], rows[i]];
  const t = b.x > a.x ? Math.min(1, Math.max(0, (x - a.x) / (b.x - a.x))) : 0;
  const mix = (key) => a[key] + (b[key] - a[key]) * t;
  return { back: mix("back"), belly: mix("belly"), half_width: mix("half_width") };
}

// A new station halfway to the next one, of the sizes that the body has there.
export function addStation(doc, body, i) {
  const list = stationsOf(doc);
  const [a, b] = [body.stations[i], body.stations[i + 1]];
  const x = (a.x + b.x) / 2;
  const here = profileAt(body.profile, x);
  const centre = (here.back + here.belly) / 2;
  const size = isTurned(list[i])
    ? { diameter: sayLength(here.back - here.belly, list[i].diameter) }
    : {
        width: sayLength(2 * here.half_width, list[i].width),
        height: sayLength(here.back - here.belly, list[i].height),
      };
  list.splice(i + 1, 0, {
    x: sayLength(x, list[i].x),
    ...size,
    ...(Math.abs(centre) < 0.04 ? {} : { centre: sayLength(centre, list[i].centre) }),
  });
}
