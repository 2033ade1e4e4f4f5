// SPDX-License-Identifier: GPL-3.0-or-later
// The program as compiled for the browser, with its files in memory: files put in and taken out, requests
// answered, a search run. Used by the worker, and by the tests under Node.js.
const ROOT = "/kept";
export const BUILDS = "builds";

const encode = new TextEncoder();

// What is read at the start; when one of these changes the program begins anew.
const isRead = (path) => !path.startsWith(`${BUILDS}/`) || path === `${BUILDS}/box.csv`;

export class Engine {
  #program;
  #alone = 0;
  #seen = new Map(); // path -> what was last told outside: { bytes, stamp }
  why = ""; // why box or book cannot be read; the program then does without

  // make: emscripten's own function; compiled: a WebAssembly.Module.
  static async start(make, compiled, files = new Map()) {
    const engine = new Engine();
    engine.#program = await make({
      instantiateWasm(imports, done) {
        void WebAssembly.instantiate(compiled, imports).then((instance) => done(instance, compiled));
        return {};
      },
      preRun: [
        (program) =>
          Object.assign(program.ENV, { HOME: ROOT, XDG_CONFIG_HOME: `${ROOT}/config`, XDG_DATA_HOME: `${ROOT}/data` }),
      ],
      print: () => {},
      printErr: () => {},
    });
    engine.#program.FS.mkdirTree(`${ROOT}/${BUILDS}`);
    engine.#write(files);
    engine.#open();
    return engine;
  }

  get #fs() {
    return this.#program.FS;
  }

  #open() {
    const { _alone_open: open, _alone_free: free } = this.#program;
    if (this.#alone) free(this.#alone);
    const begin = () => this.#given(`${ROOT}/${BUILDS}`, (folder) => open(folder));
    this.why = "";
    this.#alone = begin();
    if (this.#alone) return;
    this.why = this.#program.UTF8ToString(this.#program._alone_why());
    const set = this.#paths().filter(isRead);
    const texts = set.map((path) => [path, this.#fs.readFile(`${ROOT}/${path}`)]);
    for (const path of set) this.#fs.unlink(`${ROOT}/${path}`);
    this.#alone = begin();
    this.#write(new Map(texts));
    if (!this.#alone) throw new Error(this.why);
  }

  // files: path -> bytes, null: gone. They are what is outside.
  put(files) {
    this.#write(files);
    if ([...files.keys()].some(isRead)) this.#open();
  }

  #write(files) {
    for (const [path, bytes] of files) {
      const at = `${ROOT}/${path}`;
      if (bytes === null) {
        if (this.#fs.analyzePath(at).exists) this.#fs.unlink(at);
        this.#seen.delete(path);
        continue;
      }
      this.#fs.mkdirTree(at.slice(0, at.lastIndexOf("/")));
      this.#fs.writeFile(at, bytes);
      this.#seen.set(path, { bytes, stamp: this.#stamp(at) });
    }
  }

  // A number that changes with the file; two changes of one millisecond differ in the node or the size.
  #stamp(at) {
    const { ino, size, mtime } = this.#fs.stat(at);
    return `${ino} ${size} ${mtime.getTime()}`;
  }

  #paths(folder = "") {
    const found = [];
    for (const name of this.#fs.readdir(`${ROOT}/${folder}`)) {
      if (name === "." || name === "..") continue;
      const path = folder ? `${folder}/${name}` : name;
      if (this.#fs.isDir(this.#fs.stat(`${ROOT}/${path}`).mode)) found.push(...this.#paths(path));
      else found.push(path);
    }
    return found;
  }

  // What the program wrote or removed since it was last told: path -> { bytes, was }, null for none.
  changes() {
    const changed = new Map();
    const there = new Set(this.#paths());
    for (const path of there) {
      const stamp = this.#stamp(`${ROOT}/${path}`);
      const seen = this.#seen.get(path);
      if (seen?.stamp === stamp) continue;
      const bytes = this.#fs.readFile(`${ROOT}/${path}`);
      changed.set(path, { bytes, was: seen?.bytes ?? null });
      this.#seen.set(path, { bytes, stamp });
    }
    for (const [path, { bytes }] of this.#seen)
      if (!there.has(path)) {
        changed.set(path, { bytes: null, was: bytes });
        this.#seen.delete(path);
      }
    return changed;
  }

  // Lends the program a text.
  #given(text, work) {
    const bytes = encode.encode(text);
    const at = this.#program._malloc(bytes.length + 1);
    if (at === 0) throw new Error("no memory for the request");
    this.#program.HEAPU8.set(bytes, at);
    this.#program.HEAPU8[at + bytes.length] = 0;
    try {
      return work(at, bytes.length);
    } finally {
      this.#program._free(at);
    }
  }

  // units: null, "metric" or "inch"; body: JSON. An answer's bytes are its own.
  ask(route, units, body) {
    const p = this.#program;
    const lent = (work) => (units === null ? work(0) : this.#given(units, work));
    const status = this.#given(`/api/${route}`, (path) =>
      lent((system) =>
        this.#given(body, (text, size) => p._alone_ask(this.#alone, path, system, text, size)),
      ),
    );
    const at = p._alone_bytes(this.#alone);
    return {
      status,
      type: p.UTF8ToString(p._alone_type(this.#alone)),
      pages: p._alone_pages(this.#alone),
      bytes: at === 0 ? new Uint8Array() : p.HEAPU8.slice(at, at + p._alone_size(this.#alone)),
    };
  }

  get memory() {
    return this.#program.HEAPU8.length;
  }

  // Runs the search that was started; over when it is. Meanwhile, wherever the search tells how far it is,
  // this thread does what else it was asked.
  run() {
    return this.#program.ccall("alone_run", null, [], [], { async: true });
  }
}
