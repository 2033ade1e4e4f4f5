// SPDX-License-Identifier: GPL-3.0-or-later
// How a sheet is looked at and brought to paper. The page as one file has a module of this name of its own
// (solver/alone/page): a browser makes no PNG or PDF of a sheet, but prints it.
export const lookAs = "png";

// What a canvas can draw, with width and height.
export const picture = (bytes) => createImageBitmap(bytes);

// format, words
export const files = [
  ["pdf", "PDF to print"],
  ["svg", "SVG"],
  ["png", "PNG"],
  ["stl", "Body as STL"],
];

// Of the program's page a PDF is printed.
export const print = null;
