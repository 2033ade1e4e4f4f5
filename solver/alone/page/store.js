// SPDX-License-Identifier: GPL-3.0-or-later
// The files of this page in the browser's own store (IndexedDB), shared by all tabs of it. Each has a mark that
// changes whenever it is written; who writes says which marks it has seen, so that of two tabs the second is
// told. Where the browser has no store for us, files live as long as the tab (Passing).
const NAME = "ballastry";
const done = (request) =>
  new Promise((good, bad) => {
    request.onsuccess = () => good(request.result);
    request.onerror = () => bad(request.error);
  });
const freshMark = () => crypto.getRandomValues(new Uint32Array(2)).join(".");

export class Moved extends Error {}

export class Store {
  #base;
  lasting = true;
  marks = new Map(); // path -> mark, as last looked at

  static async open() {
    try {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("files");
        request.result.createObjectStore("marks");
      };
      const store = new Store();
      store.#base = await Promise.race([
        done(request),
        new Promise((_, fail) => setTimeout(() => fail(new Error("the browser's store does not open")), 5000)),
      ]);
      store.#base.onversionchange = () => store.#base.close();
      await store.look();
      return store;
    } catch {
      return new Passing();
    }
  }

  // What other tabs have written.
  async look() {
    const marks = this.#base.transaction("marks").objectStore("marks");
    const [paths, values] = await Promise.all([done(marks.getAllKeys()), done(marks.getAll())]);
    this.marks = new Map(paths.map((path, i) => [path, values[i]]));
  }

  // path -> bytes
  async read(paths) {
    if (paths.length === 0) return new Map();
    const files = this.#base.transaction("files").objectStore("files");
    const all = await Promise.all(paths.map((path) => done(files.get(path))));
    return new Map(paths.map((path, i) => [path, all[i]]).filter(([, bytes]) => bytes !== undefined));
  }

  // files: path -> bytes, null: taken out. All or nothing; Moved where a file is not as last looked at, and what
  // the browser says (QuotaExceededError) where it takes no more. The marks that they now have.
  write(files) {
    return new Promise((good, bad) => {
      const to = this.#base.transaction(["files", "marks"], "readwrite", { durability: "strict" });
      const written = new Map();
      let why = null;
      to.oncomplete = () => {
        for (const [path, mark] of written) if (mark === null) this.marks.delete(path);
          else this.marks.set(path, mark);
        good(written);
      };
      to.onabort = () => bad(why ?? to.error ?? new Error("the browser's store gave up"));
      const marks = to.objectStore("marks");
      for (const [path, bytes] of files)
        marks.get(path).onsuccess = ({ target }) => {
          if (why) return;
          if (target.result !== this.marks.get(path)) {
            why = new Moved(path);
            to.abort();
            return;
          }
          try {
            const mark = bytes === null ? null : freshMark();
            written.set(path, mark);
            if (bytes === null) to.objectStore("files").delete(path);
            else to.objectStore("files").put(bytes, path);
            if (bytes === null) marks.delete(path);
            else marks.put(mark, path);
          } catch (error) {
            why = error;
          }
        };
    });
  }
}

// The same for as long as the tab is open.
class Passing {
  #files = new Map();
  lasting = false;
  marks = new Map();
  async look() {}
  async read(paths) {
    return new Map(paths.map((path) => [path, this.#files.get(path)]));
  }
  async write(files) {
    const written = new Map();
    for (const [path, bytes] of files) {
      const mark = bytes === null ? null : freshMark();
      written.set(path, mark);
      if (bytes === null) {
        this.#files.delete(path);
        this.marks.delete(path);
      } else {
        this.#files.set(path, bytes);
        this.marks.set(path, mark);
      }
    }
    return written;
  }
}
