// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for the maker's box: what lies in it, how many, weighed or not, what this rig takes out of
// it; one line weighed, counted or added. The program reads and writes the list; the page keeps the
// texts that it had, so that a change can be taken back.
import { ask } from "./ask.js";
import { button, keepingFocus, make, table } from "./dom.js";
import { faultSlot } from "./field.js";
import { hear, tell as tellTabs } from "./other_tabs.js";
import { mass } from "./said.js";

const kinds = ["hook", "ring", "eye", "snap", "dot", "wire", "sheet", "strip"];
// What a new line may say: column, label, what it looks like.
const cells = [
  ["size", "Size", "8, or 1.0 x 13"],
  ["style", "Style", "treble"],
  ["grade", "Grade", "medium"],
  ["material", "Material", "stainless"],
  ["mass", "Mass", "2.66 g"],
  ["weighed", "Weighed together", "5, or no"],
  ["count", "How many", "12"],
];

const byLength = (part) => part.kind === "wire" || part.kind === "strip";
const amount = (part) => {
  const value = byLength(part) ? part.length_m : part.count;
  if (!part.in_box) return "none";
  return value === null || value === undefined ? "some" : byLength(part) ? `${value.toFixed(2)} m` : String(value);
};

function weighs(part) {
  const g = part.mass_g ?? part.mass_g_m;
  if (typeof g !== "number") return "by its gauge";
  return `${mass(g, 3)}${part.kind === "wire" ? " a metre" : ""}${part.weighed ? ", weighed" : ", not weighed"}`;
}

export class BoxPanel {
  #bench;
  #box = null; // as the program last told it
  #past = []; // the texts before each change of ours
  #looks = 0;

  // restocked(): told once the parts that builds are read with are others.
  constructor(root, bench, tell, restocked) {
    this.#bench = bench;
    this.root = root;
    this.tell = tell;
    this.restocked = restocked;
    this.place = make("p", { class: "hint" });
    this.list = make("div", { class: "table", id: "box-list" });
    this.fault = make("p", { class: "bad", role: "alert" });
    this.back = button("Undo the last change of the box", () => this.#takeBack(), { id: "box-undo", hidden: true });
    root.append(
      make(
        "section",
        { class: "card", "aria-labelledby": "h-box" },
        make("h3", { id: "h-box" }, "Your box"),
        this.place,
        this.fault,
        this.list,
        make("div", { class: "row" }, this.back),
        this.#newLine(),
      ),
    );
    // Another tab changed it: what is known of the parts is read anew here too.
    hear("box", () => void this.look().then(() => this.restocked()));
  }

  // A known part is named by its id; else the cells below say what it is.
  #newLine() {
    const id = make("input", { list: "box-ids", spellcheck: "false", "data-at": "box-id", placeholder: "treble-6-medium" });
    this.ids = make("datalist", { id: "box-ids" });
    const kind = make("select", { "data-at": "box-kind" }, make("option", { value: "" }, "as the part"), ...kinds.map((k) => make("option", { value: k }, k)));
    const inputs = cells.map(([key, label, hint]) => [key, label, make("input", { placeholder: hint, spellcheck: "false", "data-at": `box-${key}` })]);
    const labelled = (label, control) =>
      make("label", { class: "field" }, make("span", { class: "name" }, label), control, faultSlot(control));
    const add = button(
      "Put it into the box",
      async () => {
        const line = Object.fromEntries(
          [["id", id], ["kind", kind], ...inputs.map(([key, , input]) => [key, input])]
            .map(([key, control]) => [key, control.value.trim()])
            .filter(([, text]) => text !== ""),
        );
        if (await this.put(line)) for (const control of [id, kind, ...inputs.map(([, , input]) => input)]) control.value = "";
      },
      { class: "deed", id: "box-add" },
    );
    return make(
      "details",
      {},
      make("summary", {}, "Put something in"),
      make(
        "div",
        { class: "fields" },
        labelled("A part that is known", id),
        labelled("or a new one: its kind", kind),
        ...inputs.map(([, label, input]) => labelled(label, input)),
      ),
      this.ids,
      make("div", { class: "row" }, add),
    );
  }

  opened() {
    this.ids.replaceChildren(...this.#bench.shelf.parts.filter((p) => p.kind !== "outline").map((p) => make("option", { value: p.id }, p.name)));
    void this.look();
  }

  // The build that is open says what is taken out; one that cannot be worked out takes nothing.
  // Of several that are under way the newest is shown.
  async look() {
    const mine = ++this.#looks;
    try {
      const box = await ask("box", { build: this.#bench.text }).catch(() => ask("box"));
      if (mine !== this.#looks) return;
      this.#show(box);
      this.fault.textContent = "";
    } catch (refusal) {
      if (mine === this.#looks) this.#refuse(refusal);
    }
  }

  #refuse(refusal) {
    const where = refusal.where && !refusal.message.startsWith(refusal.where) ? `${refusal.where}: ` : "";
    this.fault.textContent = `${where}${refusal.message}`;
  }

  #show(box) {
    this.#box = box;
    const words = box.fixed
      ? `Read from ${box.place || "nowhere"}, as the start asked; it cannot be changed here.`
      : box.place === "box.csv"
        ? "It lies beside your builds as box.csv. A search takes from it first and uses your weights."
        : box.place
          ? `Read from ${box.place}. The first change made here copies all of it to a box.csv beside your builds, which then stands in its place; it stays as it is itself.`
          : "There is none yet. Weigh what lies in your drawer, five at a time: the first line begins box.csv beside your builds.";
    this.place.textContent = words;
    const taken = box.box.some((part) => part.takes > 0);
    // A line that is being weighed stays as it is until it is done.
    if (!this.list.querySelector(".weighing")?.contains(document.activeElement))
      keepingFocus(this.list, () => this.list.replaceChildren(this.#table(box, taken)));
    this.back.hidden = this.#past.length === 0;
  }

  #table(box, taken) {
    if (box.box.length === 0) return make("p", { class: "hint" }, "Nothing is in it.");
    return table(
      ["part", "how many", "weighs", ...(taken ? ["this rig takes"] : [])],
      box.box.map((part) => this.#row(part, taken)),
    );
  }

  #row(part, taken) {
    const has = byLength(part) ? part.length_m : part.count;
    const short = part.takes > 0 && (!part.in_box || (typeof has === "number" && part.takes > has));
    const takes = part.takes > 0 ? (byLength(part) ? `${part.takes.toFixed(2)} m` : String(part.takes)) : "";
    const row = make(
      "tr",
      {},
      make(
        "th",
        { scope: "row" },
        part.name,
        make("small", {}, ` ${part.id} `),
        this.#box.fixed
          ? ""
          : button("Weigh or count", () => this.#edit(row, part), {
              class: "quiet",
              "data-at": `box-edit-${part.id}`,
              "aria-label": `Weigh or count ${part.name}`,
            }),
      ),
      make("td", {}, amount(part)),
      make("td", {}, weighs(part)),
      ...(taken ? [make("td", short ? { class: "bad" } : {}, short ? `${takes}: to buy` : takes)] : []),
    );
    return row;
  }

  // Five of them are to be weighed: its line opens, or a new one with its id.
  async weigh(id) {
    await this.look();
    const there = this.list.querySelector(`[data-at="${CSS.escape(`box-edit-${id}`)}"]`);
    if (there) return there.click();
    const into = (at) => this.root.querySelector(`[data-at=box-${at}]`);
    this.root.querySelector("details").open = true;
    into("id").value = id;
    into("weighed").value = "5";
    return into("mass").focus();
  }

  #edit(row, part) {
    const cut = part.kind === "sheet" || part.kind === "strip";
    const input = (label, hint, value = "") => make("input", { "aria-label": `${part.id}: ${label}`, placeholder: hint, value, spellcheck: "false" });
    const scale = cut ? null : input("on the scale", "2.66 g");
    const together = cut ? null : input("how many lay on it", "5");
    const count = input("how many are left", "how many", part.in_box ? String((byLength(part) ? part.length_m : part.count) ?? "") : "");
    const keep = button("Keep", () => void this.#keep(part, scale, together, count), { class: "deed" });
    const fields = [
      ...(cut ? [] : [make("span", {}, "on the scale"), scale, make("span", {}, "of"), together]),
      make("span", {}, byLength(part) ? "metres left" : "how many are left"),
      count,
      keep,
    ];
    const place = make("td", { colspan: row.children.length, class: "weighing" }, make("div", { class: "row" }, ...fields));
    place.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input")) keep.click();
    });
    row.after(make("tr", {}, place));
    row.querySelector("button").disabled = true;
    (scale ?? count).focus();
  }

  // Where what had the keyboard's place is gone, the next thing to press gets it.
  #focus(at) {
    if (document.activeElement !== null && document.activeElement !== document.body) return;
    (this.list.querySelector(`[data-at="${CSS.escape(at)}"]`) ?? this.list.querySelector("button"))?.focus();
  }

  async #keep(part, scale, together, count) {
    const line = { id: part.id, count: count.value.trim() };
    if (scale?.value.trim()) Object.assign(line, { mass: scale.value.trim(), weighed: together.value.trim() || "1" });
    if (await this.put(line)) this.#focus(`box-edit-${part.id}`);
  }

  // A line as the route box-put takes it. True: it is in the box.
  async put(line) {
    if (this.#box === null) await this.look();
    return this.#write("box-put", { line });
  }

  // Another list in its place; what is wrong with it, or null.
  async replace(text) {
    if (this.#box === null) await this.look();
    return (await this.#write("box-save", { text })) ? null : this.fault.textContent;
  }

  async #write(route, what, undoing = false) {
    const { was, elsewhere } = this.#box;
    try {
      await ask(route, { was, ...what });
    } catch (refusal) {
      this.#refuse(refusal);
      if (refusal.status === 409) await this.#again();
      return false;
    }
    if (undoing) this.#past.pop();
    else this.#past.push(was ?? elsewhere ?? null);
    this.list.querySelector(".weighing")?.closest("tr").remove();
    await this.look();
    tellTabs("box", null);
    this.restocked();
    return true;
  }

  // The list was changed by someone else: what it says now is shown, and the maker tries again.
  async #again() {
    const why = this.fault.textContent;
    this.#past = [];
    await this.look();
    this.fault.textContent = `${why}. What it says now is shown; try again.`;
  }

  async #takeBack() {
    const text = this.#past[this.#past.length - 1];
    await this.#write("box-save", { text: text ?? "id,count\n" }, true);
    if (this.back.hidden) this.#focus("");
  }
}
