// SPDX-License-Identifier: GPL-3.0-or-later
// The page's one state: the build's text with its history, the file it came from, what is on the
// shelf, and the program's newest answer to the text.
import { History } from "./history.js";
import { recall } from "./kept.js";

const tidy = (text) => JSON.stringify(JSON.parse(text));

export class State {
  #history = new History();
  #saved = "";
  #heard;
  // was: the file's text as read, null for a new one; draft: the name that its draft is kept under
  file = { name: "", draft: "", was: null };
  shelf = { parts: [], materials: [] };
  answer = null; // of `rest`, to a text that may be older than ours
  lure = 0; // counts the builds that were begun: work that takes a while finds out whether its own is still here
  #answered = null; // the text that `answer` is of
  #waiting = []; // work that needs the answer to the build as it now is

  // heard(why): told after every change; why is "begin", "edit", "step", "save".
  constructor(heard) {
    this.#heard = heard;
  }

  get text() {
    return this.#history.text;
  }
  get doc() {
    return JSON.parse(this.#history.text);
  }
  get canUndo() {
    return this.#history.canUndo;
  }
  get canRedo() {
    return this.#history.canRedo;
  }
  get unsaved() {
    return this.text !== this.#saved;
  }

  // Throws when the text is no JSON. unsaved: it was never written to its file.
  begin(text, name, was, unsaved = false) {
    this.#history.start(tidy(text));
    this.#saved = unsaved ? (was === null ? "" : tidy(was)) : this.text;
    this.file = { name, draft: name, was };
    this.#begun();
  }

  #begun() {
    this.lure++;
    this.#answered = null;
    this.#waiting = [];
    this.#heard("begin");
  }

  // The newest answer of `rest`, and the text that it is of.
  tell(answer, text) {
    this.answer = answer;
    this.#answered = text;
  }

  // Once it is shown.
  catchUp() {
    for (const work of this.#waiting.splice(0)) this.withAnswer(work);
  }

  // work(answer) edits by the program's answer: at once where it is that of our text, else as soon as it is.
  // A build that cannot be worked out is not edited so, nor is the next one that is begun.
  withAnswer(work) {
    if (this.answer !== null && this.#answered === this.text) work(this.answer);
    else this.#waiting.push(work);
  }

  // There is no answer to our text.
  refuse() {
    this.#waiting = [];
  }

  // What a tab that is loaded anew goes on with (kept.js): its build, file and steps of undo.
  keep() {
    return { file: this.file, saved: this.#saved, history: this.#history.keep() };
  }

  // False: there is nothing to go on with.
  resume() {
    const kept = recall();
    if (kept === null) return false;
    this.#history.restore(kept.history);
    this.#saved = kept.saved;
    this.file = kept.file;
    this.#begun();
    return true;
  }

  // work changes a copy of the build; changes of one group are one step of undo.
  edit(group, work) {
    const doc = this.doc;
    work(doc);
    this.set(group, doc);
  }

  set(group, doc) {
    if (this.#history.put(JSON.stringify(doc), group)) this.#heard("edit");
  }

  take(text, group = null) {
    if (this.#history.put(tidy(text), group)) this.#heard("step");
  }

  endStep() {
    this.#history.close();
  }

  undo() {
    this.#history.undo();
    this.#heard("step");
  }

  redo() {
    this.#history.redo();
    this.#heard("step");
  }

  // sent: our text that became the file; it may have been changed since.
  saved(name, was, sent) {
    this.file = { name, draft: name, was };
    this.#saved = sent;
    this.#heard("save");
  }

  // The file has another name now.
  rename(name) {
    this.file = { ...this.file, name, draft: name };
    this.#heard("save");
  }

  // The file is gone; what is here is not saved any more.
  lose() {
    this.file = { ...this.file, was: null };
    this.#saved = "";
    this.#heard("edit");
  }

  // The file's own text takes the place of ours, which stays one step of undo behind.
  follow(name, text) {
    this.file = { ...this.file, name, was: text };
    this.#saved = tidy(text);
    if (this.#history.put(this.#saved)) this.#heard("step");
  }

  // The program's words with the parts' names for their ids, which a maker seldom knows.
  named(words) {
    return words.replace(/[a-z0-9][\w.-]*\w/gi, (word) => this.part(word)?.name ?? this.#material(word) ?? word);
  }

  #material(id) {
    return id.includes("-") ? this.shelf.materials.find((material) => material.id === id)?.name : undefined;
  }

  part(id) {
    return this.shelf.parts.find((part) => part.id === id);
  }
}
