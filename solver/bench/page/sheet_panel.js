// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the bench sheet: a look at it, its file to print, and the weigh ladder.
import { fetchFile } from "./ask.js";
import { button, cell, make, table } from "./dom.js";
import { files, lookAs, picture, print } from "./paper.js";
import { mass } from "./said.js";

const views = [
  ["page", "whole sheet, life size"],
  ["side", "side view"],
  ["outlines", "from above and from the front"],
  ["curves", "curves over weight and warmth"],
  ["chance", "how sure it is"],
  ["influence", "what a little more metal does"],
];

const labelled = (label, control, wide) =>
  make("label", { class: wide ? "field wide" : "field" }, make("span", { class: "name" }, label), control);

export class SheetPanel {
  #bench;
  #shown = "";
  #drawn = 0;

  constructor(root, bench, tell) {
    this.#bench = bench;
    this.tell = tell;
    this.root = root;
    this.view = make("select", {}, ...views.map(([value, words]) => make("option", { value }, words)));
    this.paper = make(
      "select",
      {},
      make("option", { value: "a4" }, "A4"),
      make("option", { value: "letter" }, "Letter"),
    );
    this.picture = make("canvas", {
      class: "sheet",
      role: "img",
      "aria-label": "The sheet",
      width: 10,
      height: 10,
      hidden: true,
    });
    this.drawing = make("p", { class: "hint", role: "status" });
    this.ladder = make("div", { class: "table" });
    this.number = 1;
    this.count = make("output");
    this.pager = make(
      "div",
      { class: "row", hidden: true },
      button("‹", () => this.#turn(-1), { "aria-label": "Page before" }),
      this.count,
      button("›", () => this.#turn(1), { "aria-label": "Page after" }),
    );
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "Bench sheet"),
        make(
          "p",
          { class: "hint" },
          "Print the whole sheet at 100 %, not fitted to the page: its drawing and its outlines to cut out are at life size. The other views are as large as the paper takes."
        ),
        make("div", { class: "fields" }, labelled("Show", this.view, true), labelled("Paper", this.paper)),
        make(
          "div",
          { class: "row" },
          print ? button("Print…", () => this.#print(), { class: "deed", id: "sheet-print" }) : null,
          ...files.map(([format, words]) =>
            button(words, () => this.#file(format), { class: format === "pdf" ? "deed" : null, id: `sheet-${format}` }),
          ),
        ),
        this.pager,
        this.drawing,
        make("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "The sheet" }, this.picture),
      ),
      make("section", { class: "card" }, make("h3", {}, "What the scale should read"), this.ladder),
    );
    for (const choice of [this.view, this.paper])
      choice.addEventListener("change", () => {
        this.number = 1;
        void this.draw();
      });
  }

  #asked(format) {
    return { build: this.#bench.text, view: this.view.value, paper: this.paper.value, format };
  }

  async #file(format) {
    try {
      const { bytes } = await fetchFile("sheet", this.#asked(format));
      const stem = (this.#bench.file.name || "lure").replace(/\.json$/, "");
      const link = make("a", { href: URL.createObjectURL(bytes), download: `${stem}.${format}` });
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    } catch (refusal) {
      this.tell(refusal);
    }
  }

  async #print() {
    try {
      const page = (number) => fetchFile("sheet", { ...this.#asked("svg"), number });
      const first = await page(1);
      const all = [first.bytes];
      for (let number = 2; number <= first.pages; number++) all.push((await page(number)).bytes);
      await print(all, this.paper.value);
    } catch (refusal) {
      this.tell(refusal);
    }
  }

  #turn(by) {
    this.number = Math.min(this.pages, Math.max(1, this.number + by));
    void this.draw();
  }

  // Paper as it is sold where inches are used.
  useUnits(units) {
    this.paper.value = units === "inch" ? "letter" : "a4";
    this.#shown = "";
  }

  // The sheet of a build that was left is not shown for another.
  forget() {
    this.#drawn++;
    this.#shown = "";
    this.number = 1;
    this.picture.hidden = this.pager.hidden = true;
    this.drawing.textContent = "";
    this.ladder.replaceChildren();
  }

  // Drawn when the drawer is open and the build has come to rest; only the newest picture is shown.
  async draw() {
    const paged = this.view.value === "page" ? { number: this.number } : {};
    const asked = JSON.stringify({ ...this.#asked(lookAs), ...paged });
    if (this.root.hidden || asked === this.#shown) return;
    const mine = ++this.#drawn;
    if (this.picture.hidden) this.drawing.textContent = "Drawing the sheet …";
    try {
      const { bytes, pages } = await fetchFile("sheet", JSON.parse(asked));
      const seen = await picture(bytes);
      if (mine !== this.#drawn) return;
      Object.assign(this.picture, { width: seen.width, height: seen.height, hidden: false });
      this.picture.getContext("2d").drawImage(seen, 0, 0, seen.width, seen.height);
      this.#shown = asked;
      this.pages = pages;
      this.number = Math.min(this.number, pages);
      this.pager.hidden = pages < 2;
      this.count.textContent = `page ${this.number} of ${pages}`;
    } catch (refusal) {
      if (mine === this.#drawn) this.picture.hidden = true;
      if (refusal.status === 0) this.tell(refusal);
    } finally {
      if (mine === this.#drawn) this.drawing.textContent = "";
    }
  }

  answer(rest) {
    this.ladder.replaceChildren(
      table(
        ["After", "The scale reads"],
        rest.ladder.map((rung) =>
          make(
            "tr",
            {},
            make("th", { scope: "row" }, rung.step),
            cell(`${mass(rung.reads_g)} ± ${mass(rung.give_g)}`),
          ),
        ),
      ),
    );
    clearTimeout(this.later);
    this.later = setTimeout(() => void this.draw(), 400);
  }
}
