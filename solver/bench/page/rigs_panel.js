// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for rigs: one press looks through the catalog, tells how far it is, can be stopped,
// and lists what it found, best first. Rigs belong to the build that they were found for.
import { ask } from "./ask.js";
import { draw, rows } from "./answer_view.js";
import { button, make, table } from "./dom.js";
import { rigCard } from "./rig_card.js";

const tidy = (text) => JSON.stringify(JSON.parse(text));

const ranks = [
  ["surest", "surest after the tank tests"],
  ["on-paper", "nearest to the target on paper"],
  ["finished", "what mends a finished lure"],
];

const page = Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) =>
  b.toString(16).padStart(2, "0"),
).join("");

export class RigsPanel {
  #bench;
  #job = null;
  #found = null; // the text that the rigs are for
  #taken = new Set(); // texts that came of taking one of them

  // preview(rest, words): shows another rig in the water for a look, null the build's own again.
  constructor(root, bench, tell, preview) {
    this.#bench = bench;
    this.tell = tell;
    this.preview = preview;
    this.rests = new Map(); // a rig's build -> the program's answer to it
    this.rank = make(
      "select",
      { "data-at": "rank" },
      ...ranks.map(([value, words]) => make("option", { value }, words)),
    );
    this.find = button("Find rigs", () => this.run(), { class: "deed", id: "fit" });
    this.stop = button("Stop, keep the best so far", () => this.#stop(), { hidden: true, id: "fit-stop" });
    this.bar = make("progress", { "aria-label": "Looking through the parts", hidden: true });
    this.words = make("p", { class: "words", id: "fitting", role: "status" });
    this.list = make("ol", { class: "rigs", id: "rigs" });
    this.beside = make("div", { class: "table", id: "rigs-beside" });
    root.append(
      make(
        "section",
        { class: "card" },
        make("h3", {}, "Rigs that do it"),
        make(
          "p",
          { class: "hint" },
          "Looks for parts wherever “may change” is ticked under Parts; everything else stays as it is.",
        ),
        make(
          "div",
          { class: "row ends" },
          make("label", { class: "field" }, make("span", { class: "name" }, "Put first what is"), this.rank),
          this.find,
          this.stop,
        ),
        this.bar,
        this.words,
        this.beside,
        this.list,
      ),
    );
  }

  // The build was changed: what was found no longer belongs to it.
  changed() {
    if (this.#found === null) return;
    const own = this.#taken.has(this.#bench.text) || this.#found === this.#bench.text;
    this.list.classList.toggle("earlier", !own);
    if (!own) this.words.textContent = "These were found for the lure as it was before; look again for the one you have now.";
  }

  // Of a build that was left.
  forget() {
    this.#found = null;
    this.#taken.clear();
    this.rests.clear();
    this.list.replaceChildren();
    this.beside.replaceChildren();
    this.words.textContent = "";
  }

  #running(on) {
    this.find.disabled = on;
    this.stop.hidden = !on;
    this.bar.hidden = !on;
  }

  async run() {
    const sent = this.#bench.text;
    this.#running(true);
    this.list.replaceChildren();
    this.words.textContent = "Looking through the parts …";
    try {
      let look = await ask("fit-start", { build: sent, page, rank: this.rank.value });
      this.#job = look.job;
      do {
        look = await ask("fit-look", { job: this.#job, wait_ms: 400 });
        this.#progress(look);
      } while (look.state === "running");
      this.#over(look, sent);
    } catch (refusal) {
      this.words.textContent = "";
      this.tell(refusal);
    } finally {
      this.#job = null;
      this.#running(false);
    }
  }

  #stop() {
    if (this.#job !== null) ask("fit-stop", { job: this.#job }).catch(this.tell);
  }

  #progress(look) {
    if (look.state !== "running") return;
    this.words.textContent =
      `${look.stage}; ${look.rigs} worked through, ${look.seconds.toFixed(0)} s` +
      (look.met ? "; one does it already" : "");
  }

  #over(look, sent) {
    if (look.state === "failed")
      throw Object.assign(new Error(look.error.text), { where: look.error.where ?? "", status: 422 });
    if (sent !== this.#bench.text) {
      this.words.textContent = "The build was changed meanwhile; look again.";
      return;
    }
    this.forget();
    this.#found = sent;
    this.list.classList.remove("earlier");
    const { answer } = look;
    this.words.textContent =
      (look.state === "stopped" ? "Stopped early. " : "") + foundWords(answer) + craftWords(answer);
    this.list.replaceChildren(...answer.rigs.map((rig, i) => this.#card(rig, i + 1, answer.met)));
    void this.#drawAll();
  }

  // Small pictures, one after the other, as long as the list is the newest.
  async #drawAll() {
    const found = this.#found;
    for (const card of [...this.list.children]) {
      const rest = await this.#restOf(card.rig).catch(() => null);
      if (found !== this.#found) return;
      if (rest) draw(card.querySelector("svg"), { ...rest, drawing: { ...rest.drawing, end: undefined } });
    }
  }

  async #restOf(rig) {
    if (!this.rests.has(rig.build)) this.rests.set(rig.build, await ask("rest", { build: rig.build }));
    return this.rests.get(rig.build);
  }

  async #look(rig, words) {
    this.looking = rig;
    const rest = await this.#restOf(rig).catch(() => null);
    if (rest && this.looking === rig) this.preview(rest, words);
  }

  #lookAway() {
    this.looking = null;
    this.preview(null);
  }

  // Two that are pinned stand beside each other, line by line.
  async #compare() {
    const pinned = [...this.list.children].filter((card) => card.querySelector(".pin input").checked);
    for (const card of this.list.children) {
      const pin = card.querySelector(".pin input");
      pin.disabled = pinned.length >= 2 && !pin.checked;
    }
    this.beside.replaceChildren();
    if (pinned.length < 2) return;
    const [one, two] = await Promise.all(pinned.map((card) => this.#restOf(card.rig)));
    const second = new Map(rows(two));
    this.beside.replaceChildren(
      table(
        ["", ...pinned.map((card) => card.querySelector("h4").textContent)],
        rows(one).map(([name, value]) =>
          make(
            "tr",
            {},
            make("th", { scope: "row" }, name),
            make("td", {}, value),
            make("td", { class: value === second.get(name) ? "" : "changed" }, second.get(name) ?? ""),
          ),
        ),
      ),
    );
  }

  #take(rig, number) {
    this.#lookAway();
    this.#taken.add(tidy(rig.build));
    this.#bench.take(rig.build);
    this.words.textContent = `Rig ${number} is mounted now; Undo brings the earlier one back.`;
  }

  #card(rig, number, met) {
    const words = `Rig ${number}`;
    const card = rigCard(rig, words, {
      fitted: this.#bench.doc.fitted,
      byDesign: met && !rig.met,
      nameOf: (id) => this.#bench.part(id)?.name ?? id,
      take: button(`Take rig ${number}`, () => this.#take(rig, number), { class: "deed" }),
      pin: () => void this.#compare(),
    });
    card.rig = rig;
    for (const [come, go] of [
      ["mouseenter", "mouseleave"],
      ["focusin", "focusout"],
    ]) {
      card.addEventListener(come, () => void this.#look(rig, words));
      card.addEventListener(go, () => this.#lookAway());
    }
    return card;
  }
}

// What a maker would say of it: sentences of the answer, without their full stop.
function craftWords({ let_go: letGo, light, craft, second_try: secondTry }) {
  return [
    letGo ? `${letGo}; let go in these` : "",
    light ?? "",
    craft ?? "",
    secondTry
      ? "nothing but wire on a shank, dots or washers reaches the target; makers keep them for the tank"
      : "",
  ]
    .filter(Boolean)
    .map((words) => ` ${words[0].toUpperCase()}${words.slice(1)}.`)
    .join("");
}

function foundWords({ met, rigs, impossible, missing, stopped, nearest_on_paper: onPaper }) {
  if (rigs.length === 0) return impossible && !stopped ? `No lure can do this: ${impossible}.` : "Nothing was found yet.";
  const nearest = onPaper > 1 ? ` Nearest on paper: rig ${onPaper}.` : "";
  if (met) return (rigs.length === 1 ? "One rig." : `${rigs.length} rigs, best first.`) + nearest;
  const why = [impossible, missing ? `What would do it: ${missing}.` : ""].filter(Boolean).join(" ");
  return stopped && !impossible
    ? "None of the rigs found by then does it. These come nearest:"
    : `No rig does it. ${why} These come nearest:`;
}
