// SPDX-License-Identifier: GPL-3.0-or-later
// The open file: another name for it, a copy of it, away with it. What is deleted can be had back at
// once; the other tabs are told.
import { ask } from "./ask.js";
import { $, button, make } from "./dom.js";
import { faultSlot } from "./field.js";
import { hear, tell as tellTabs } from "./other_tabs.js";

export class FileDeeds {
  #bench;

  // files: the page's (files.js).
  constructor(bench, files, tell) {
    this.#bench = bench;
    this.files = files;
    this.tell = tell;
    hear("renamed", ({ name, to }) => this.#renamed(name, to));
    hear("deleted", (name) => {
      if (name === this.#bench.file.name && this.#bench.file.was !== null) this.#bench.lose();
    });
  }

  // For the choice of what to begin with; close() closes that.
  section(close) {
    const { file } = this.#bench;
    if (file.was === null) return [];
    const name = make("input", { value: file.name, spellcheck: "false", "data-at": "file-name", "aria-label": "Its name" });
    const slot = faultSlot(name);
    const doing = (work) => async () => {
      slot.hidden = true;
      name.removeAttribute("aria-invalid");
      try {
        await work(this.files.nameOf(name.value));
        close();
      } catch (refusal) {
        slot.textContent = refusal.message;
        slot.hidden = false;
        name.setAttribute("aria-invalid", "true");
        name.setAttribute("aria-describedby", slot.id);
      }
    };
    return [
      make("h3", {}, "The open file"),
      make(
        "div",
        { class: "row" },
        name,
        button("Rename", doing((to) => this.#rename(to)), { id: "file-rename" }),
        button("Copy under that name", doing((to) => this.#copy(to)), { id: "file-copy" }),
        button("Delete", doing(() => this.#delete()), { id: "file-delete" }),
      ),
      slot,
    ];
  }

  async #rename(to) {
    const { name, was } = this.#bench.file;
    const { lure } = this.#bench;
    await ask("rename", { name, to, was });
    if (lure === this.#bench.lure) this.#bench.rename(to);
    tellTabs("renamed", { name, to });
    this.tell(`Now ${to}.`);
  }

  #renamed(name, to) {
    if (name === this.#bench.file.name) this.#bench.rename(to);
  }

  // The file as it lies on the disk; what is unsaved stays with the one that is open.
  async #copy(to) {
    await ask("save", { name: to, build: this.#bench.file.was, was: null });
    this.tell(`${to} is a copy of ${this.#bench.file.name}.`);
  }

  async #delete() {
    const { name, was } = this.#bench.file;
    const { lure } = this.#bench;
    await ask("delete", { name, was });
    tellTabs("deleted", name);
    let { text } = this.#bench;
    if (lure === this.#bench.lure) await this.files.beginPlain((left) => (text = left));
    const offer = make(
      "div",
      { class: "offer", role: "status" },
      make("span", {}, `${name} was deleted.`),
      button(
        "Bring it back",
        async () => {
          try {
            await ask("save", { name, build: was, was: null });
            await this.files.leave();
            await this.files.open(name);
            if (text !== this.#bench.text) this.#bench.take(text); // what was unsaved then
            $("offers").replaceChildren();
          } catch (refusal) {
            this.tell(refusal);
          }
        },
        { class: "deed", id: "file-back" },
      ),
    );
    $("offers").replaceChildren(offer);
    offer.querySelector("button").focus();
  }
}
