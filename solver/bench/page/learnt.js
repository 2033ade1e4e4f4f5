// SPDX-License-Identifier: GPL-3.0-or-later
// What a tank test taught stands in the build like what was measured; here the two are told apart.
// `learnt.ties` names the places that were learnt: JSON Pointers, a part's with its id behind.
import { look, pointer } from "./path.js";

const listed = (doc) => {
  const of = look(doc, ["learnt", "ties", "of"]);
  return Array.isArray(of) ? of : [];
};

// A piece's own weight stands at its seat and kind; the list has the part's id behind that.
const placeOf = (path) => pointer(path[0] === "fitted" ? path.slice(0, 3) : path);

const at = (doc, path) => {
  const place = placeOf(path);
  return listed(doc).findIndex((one) => one === place || one.startsWith(`${place}/`));
};

export const isLearnt = (doc, path) => at(doc, path) >= 0;

// What the maker enters is no longer what was learnt: the place goes out of the list, and its row and
// column out of the triangle of correlations below it.
export function unlearn(doc, path) {
  const k = at(doc, path);
  const ties = doc.learnt?.ties;
  if (k < 0 || !Array.isArray(ties.r)) return;
  const rows = [[], ...ties.r].filter((_, i) => i !== k).map((row) => row.filter((_, j) => j !== k));
  ties.of = ties.of.filter((_, i) => i !== k);
  ties.r = rows.slice(1);
}
