// SPDX-License-Identifier: GPL-3.0-or-later
// Files go out of the browser's store and into it: one build as a copy, everything as one file, files opened or
// dropped. Nothing is written over another of its name unasked.
import { BUILDS } from "./engine.js";
import { make } from "./dom.js";
import { inTurn, storeOpened } from "./transport.js";

const MOST = 64 * 2 ** 20; // bytes of one file
const endings = /\.(json|csv|stl|svg)$/i;
const decode = new TextDecoder("utf-8", { fatal: true });

const base64 = (bytes) => {
  let letters = "";
  for (let i = 0; i < bytes.length; i += 32768) letters += String.fromCharCode(...bytes.subarray(i, i + 32768));
  return btoa(letters);
};
const bytesOf = (letters) => Uint8Array.from(atob(letters), (letter) => letter.charCodeAt(0));

// A real file where the browser lets the maker choose one, else a download. False: the maker thought better of it.
export async function handOut(name, bytes, type) {
  if (window.showSaveFilePicker) {
    try {
      const file = await window.showSaveFilePicker({ suggestedName: name });
      const out = await file.createWritable();
      await out.write(bytes);
      await out.close();
      return true;
    } catch (error) {
      if (error.name === "AbortError") return false;
    }
  }
  const url = URL.createObjectURL(new Blob([bytes], { type }));
  make("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
  return true;
}

// Every file of the store as one text.
export async function everything() {
  const store = await storeOpened;
  await store.look();
  const files = await store.read([...store.marks.keys()].sort());
  const list = [...files].map(([path, bytes]) => {
    try {
      return { path, text: decode.decode(bytes) };
    } catch {
      return { path, base64: base64(bytes) };
    }
  });
  return JSON.stringify({ ballastry_files: 1, files: list }, null, 1);
}

const goodPath = (path) =>
  typeof path === "string" &&
  path.length <= 300 &&
  /^(builds|config|data)\//.test(path) &&
  path.split("/").every((step) => step !== "" && step !== "." && step !== ".." && !/[\0-\x1f\x7f\\]/.test(step));

// What a file holds for the store: path -> bytes. Throws words where it is nothing for us.
export async function unpacked(file) {
  if (file.size > MOST) throw new Error(`${file.name} is too large: at most ${MOST / 2 ** 20} MB`);
  if (!endings.test(file.name)) throw new Error(`${file.name} is neither a build nor what one names: .json, .csv, .stl, .svg`);
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (!/\.json$/i.test(file.name)) return new Map([[`${BUILDS}/${file.name}`, bytes]]);
  let tree;
  try {
    tree = JSON.parse(decode.decode(bytes));
  } catch {
    throw new Error(`${file.name} is no JSON`);
  }
  if (tree?.ballastry_files === undefined)
    return new Map([[`${BUILDS}/${file.name.replace(/\.json$/i, ".json")}`, bytes]]);
  if (tree.ballastry_files !== 1 || !Array.isArray(tree.files))
    throw new Error(`${file.name} holds files in a way that this version cannot read`);
  return new Map(
    tree.files.map(({ path, text, base64: letters }) => {
      if (!goodPath(path) || (typeof text !== "string" && typeof letters !== "string"))
        throw new Error(`${file.name} holds a file of a name that cannot be kept`);
      return [path, typeof text === "string" ? new TextEncoder().encode(text) : bytesOf(letters)];
    }),
  );
}

const same = (a, b) => a.length === b.length && a.every((byte, i) => byte === b[i]);

// Puts them into the store in one go. choose(paths): asked where others of the names are there already; a promise
// of true (take the new), false (leave those that are there) or null (nothing at all). The paths that were put.
export async function takeIn(files, choose) {
  const store = await storeOpened;
  await store.look();
  const there = await store.read([...files.keys()].filter((path) => store.marks.has(path)));
  const unlike = [...there.keys()].filter((path) => !same(there.get(path), files.get(path)));
  const over = unlike.length === 0 ? true : await choose(unlike);
  if (over === null) return [];
  const put = new Map([...files].filter(([path]) => !there.has(path) || (over && unlike.includes(path))));
  if (put.size > 0) await inTurn(() => store.write(put));
  return [...files.keys()].filter((path) => put.has(path) || !unlike.includes(path));
}
