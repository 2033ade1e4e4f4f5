// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for rigs: one press looks through the catalog, tells how far it is, can be stopped,
// and lists what it found, best first. Rigs belong to the build that they were found for.
import { ask } from "./ask.js";
import { button, make } from "./dom.js";
import { rigCard } from "./rig_card.js";

const ranks = [
  ["best", "nearest to the target"],
  ["surest", "surest after one tank test"],
  ["finished", "fewest changes to a finished lure"],
];

const page = Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) =>
  b.toString(16).padStart(2, "0"),
).join("");

export class RigsPanel {
  #bench;
  #job = null;
  #found = null; // the text that the rigs are for

  constructor(root, bench, tell) {
    this.#bench = bench;
    this.tell = tell;
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
        this.list,
      ),
    );
  }

  // The build was changed: what was found no longer belongs to it.
  changed() {
    if (this.#found === null || this.#found === this.#bench.text) return;
    this.#found = null;
    this.list.replaceChildren();
    this.words.textContent = this.#job === null ? "" : this.words.textContent;
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
    this.#found = sent;
    const { answer } = look;
    this.words.textContent = (look.state === "stopped" ? "Stopped early. " : "") + foundWords(answer);
    this.list.replaceChildren(...answer.rigs.map((rig, i) => this.#card(rig, i + 1)));
  }

  #card(rig, number) {
    return rigCard(rig, `Rig ${number}`, {
      fitted: this.#bench.doc.fitted,
      nameOf: (id) => this.#bench.part(id)?.name ?? id,
      take: button(`Take rig ${number}`, () => this.#bench.take(rig.build), { class: "deed" }),
    });
  }
}

function foundWords({ met, rigs, impossible, missing, stopped }) {
  if (rigs.length === 0) return impossible && !stopped ? `No lure can do this: ${impossible}.` : "Nothing was found yet.";
  if (met) return rigs.length === 1 ? "One rig." : `${rigs.length} rigs, best first.`;
  const why = [impossible, missing ? `What would do it: ${missing}.` : ""].filter(Boolean).join(" ");
  return stopped && !impossible
    ? "None of the rigs found by then does it. These come nearest:"
    : `No rig does it. ${why} These come nearest:`;
}
