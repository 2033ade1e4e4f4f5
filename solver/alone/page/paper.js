// SPDX-License-Identifier: GPL-3.0-or-later
// How a sheet is looked at and brought to paper where only the browser can: as SVG, each page an image of its
// own, printed without margins at the paper's own size.
import { $ } from "./dom.js";

export const lookAs = "svg";
const DOTS = 200 / 25.4; // a mm, as the program's PNG

export const files = [
  ["svg", "SVG"],
  ["stl", "STL of the body"],
];

const papers = { a4: "210mm 297mm", letter: "216mm 279mm" };

// An image whose bytes are let go once it is drawn; no script in it can run.
async function image(bytes) {
  const url = URL.createObjectURL(new Blob([bytes], { type: "image/svg+xml" }));
  const seen = new Image();
  seen.src = url;
  try {
    await seen.decode();
  } finally {
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }
  return seen;
}

// Of the first element alone: a reader of the whole would try the sheet's styles against the page's policy.
async function sized(bytes) {
  const [head] = /<svg[^>]*>/.exec(await bytes.slice(0, 2000).text()) ?? [""];
  const mm = (name) => Number(new RegExp(` ${name}="([0-9.]+)mm"`).exec(head)?.[1] ?? NaN);
  return { width: mm("width"), height: mm("height") };
}

export async function picture(bytes) {
  const [seen, { width, height }] = await Promise.all([image(bytes), sized(bytes)]);
  seen.width = Math.round(width * DOTS);
  seen.height = Math.round(height * DOTS);
  return seen;
}

// The browser's own print of these pages; the page itself is left out of it (alone.css).
export async function print(pages, paper) {
  const sheets = await Promise.all(
    pages.map(async (bytes) => {
      const [seen, { width, height }] = await Promise.all([image(bytes), sized(bytes)]);
      seen.style.width = `${width}mm`;
      seen.style.height = `${height}mm`;
      return seen;
    }),
  );
  $("paper").replaceChildren(...sheets);
  sheetSize.replaceSync(`@page { size: ${papers[paper] ?? papers.a4}; margin: 0 }`);
  window.print();
}

// A strict policy lets in no style element that is made here; a sheet of styles by itself is not one.
const sheetSize = new CSSStyleSheet();
document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheetSize];
