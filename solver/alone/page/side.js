// SPDX-License-Identifier: GPL-3.0-or-later
// A worker as the page sees it: started when first needed, and started anew after a fault, which spoils the
// program's memory. It is brought the files that changed since it was last asked.
export class Side {
  #start;
  #begun;
  #worker = null; // a promise of it
  #waiting = new Map(); // number -> { done, fail }
  #asked = 0;
  #brought = Promise.resolve();
  #marks = new Map(); // path -> the mark of what it has
  why = "";

  // start(): a promise of { worker, compiled }. begun: one of these, for whom is needed at once.
  constructor(start, begun = null) {
    this.#start = start;
    this.#begun = begun;
    begun?.catch(() => {});
  }

  #spoil(fault) {
    this.#worker?.then(({ worker }) => worker.terminate()).catch(() => {});
    this.#worker = null;
    for (const { fail } of this.#waiting.values()) fail(new Error(fault));
    this.#waiting.clear();
  }

  #post(worker, message) {
    return new Promise((done, fail) => {
      const number = ++this.#asked;
      this.#waiting.set(number, { done, fail });
      worker.postMessage({ ...message, number });
    });
  }

  async #began(files) {
    const begun = this.#begun ?? this.#start();
    this.#begun = null;
    const { worker, compiled } = await begun;
    worker.onmessage = ({ data }) => {
      const { done, fail } = this.#waiting.get(data.number) ?? {};
      this.#waiting.delete(data.number);
      if (data.fault === undefined) return done?.(data.done);
      fail?.(new Error(data.fault));
      this.#spoil(data.fault);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      this.#spoil(event.message || "the program ended");
    };
    this.why = (await this.#post(worker, { work: "begin", compiled, files })).why;
    return { worker };
  }

  // What the worker has not got of the store yet.
  async #bring(store) {
    const now = store.marks;
    if (this.#worker === null) {
      this.#marks = new Map(now);
      const files = await store.read([...now.keys()]);
      this.#worker ??= this.#began(files);
      await this.#worker;
      return;
    }
    const { worker } = await this.#worker;
    const changed = [...now.keys()].filter((path) => this.#marks.get(path) !== now.get(path));
    const gone = [...this.#marks.keys()].filter((path) => !now.has(path));
    if (changed.length + gone.length === 0) return;
    this.#marks = new Map(now);
    const files = await store.read(changed);
    for (const path of gone) files.set(path, null);
    this.why = (await this.#post(worker, { work: "put", files })).why;
  }

  // The worker wrote these itself, and the store has them now. It writes no box that it cannot read.
  wrote(marks) {
    for (const [path, mark] of marks)
      if (mark === null) this.#marks.delete(path);
      else this.#marks.set(path, mark);
    if ([...marks.keys()].some((path) => path.endsWith("/box.csv"))) this.why = "";
  }

  // The store did not take them: the worker gets what it had.
  async unwrite(changes) {
    const { worker } = await this.#worker;
    const files = new Map([...changes].map(([path, { was }]) => [path, was]));
    await this.#post(worker, { work: "put", files });
  }

  // Files are brought before a request goes out, also those that another request has begun to bring.
  async ask(store, message) {
    const brought = this.#brought.then(() => this.#bring(store));
    this.#brought = brought.catch(() => {});
    await brought;
    const { worker } = await this.#worker;
    return this.#post(worker, { work: "ask", ...message });
  }
}
