// SPDX-License-Identifier: GPL-3.0-or-later
// The drawer for rigs: one press looks through the catalog, tells how far it is, can be stopped,
// and lists what it found, best first. Rigs belong to the build that they were found for.
import { ask } from "./ask.js";
import { draw, rows } from "./answer_view.js";
import { busy, button, make, table } from "./dom.js";
import { placeWords } from "./faults.js";
import { chances } from "./odds.js";
import { rigCard } from "./rig_card.js";
import { sentence } from "./said.js";

const SEEN = 0.75; // of the screen's height: a card that begins lower is hardly noticed
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
  #search = 0; // the newest one's number

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
    const own = this.#isOwn();
    this.list.classList.toggle("earlier", !own);
    if (!own) this.words.textContent = "These were found for the lure as it was before; look again for the one you have now.";
  }

  // Of a build that was left; a search for it ends.
  forget() {
    this.#search++;
    this.#stop();
    this.#job = null;
    this.#running(false);
    this.#clear();
  }

  #clear() {
    this.#found = null;
    this.#taken.clear();
    this.rests.clear();
    this.list.replaceChildren();
    this.beside.replaceChildren();
    this.words.textContent = "";
  }

  #running(on) {
    busy(this.find, on);
    this.stop.hidden = !on;
    this.bar.hidden = !on;
  }

  async run() {
    const sent = this.#bench.text;
    if (!this.#bench.doc.target) {
      this.#clear();
      this.#say("Say under Target what the lure shall do; then there are rigs to look for.");
      return;
    }
    const mine = ++this.#search;
    this.#running(true);
    this.#clear();
    this.#say("Looking through the parts …");
    try {
      let look = await ask("fit-start", { build: sent, page, rank: this.rank.value });
      const { job } = look;
      if (mine !== this.#search) return void (await ask("fit-stop", { job }));
      this.#job = job;
      do {
        look = await ask("fit-look", { job, wait_ms: 400 });
        if (mine === this.#search) this.#progress(look);
      } while (mine === this.#search && look.state === "running");
      if (mine === this.#search) this.#over(look, sent);
    } catch (refusal) {
      if (mine === this.#search) this.#refused(refusal);
    } finally {
      if (mine === this.#search) {
        this.#job = null;
        this.#running(false);
      }
    }
  }

  #say(...nodes) {
    this.words.replaceChildren(...nodes);
  }

  // Told here, where the maker looks; what is no matter of the build is told by the page.
  #refused(refusal) {
    this.#say("");
    if (refusal.status !== 422) this.tell(refusal);
    else this.#say(make("span", { class: "bad" }, faultWords(refusal)));
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
    this.#found = sent;
    this.list.classList.remove("earlier");
    const { answer } = look;
    this.#say(
      this.#bench.named(stoppedWords(look) + foundWords(answer) + craftWords(answer)),
      !answer.met && answer.rigs.length > 0 ? " Below are those that come nearest." : "",
      ...this.#loosen(answer.allows),
    );
    const { fitted } = JSON.parse(sent);
    this.list.replaceChildren(...answer.rigs.map((rig, i) => this.#card(rig, i + 1, answer.met, fitted)));
    this.#bring();
    void this.#drawAll();
    this.changed(); // it may have been, while they were looked for
  }

  // Where the first rig lies below what is seen of the page, as on a phone, what was found goes to the
  // top; not while the maker types, and the keyboard's place stays.
  #bring() {
    const first = this.list.firstElementChild;
    if (!first?.checkVisibility() || document.activeElement?.matches("input, textarea, select:focus-visible")) return;
    if (first.getBoundingClientRect().top > innerHeight * SEEN) this.words.scrollIntoView({ block: "start" });
  }

  // The rule that stands in the way goes by one press, and the search begins anew.
  #loosen(allows) {
    if (!allows) return [];
    const [[key, value]] = Object.entries(allows);
    return [
      " ",
      button(
        `Allow it: ${allowWords(key, value)}`,
        () => {
          this.#bench.edit(null, (doc) => {
            const old = doc.limits?.[key];
            doc.limits = { ...doc.limits, [key]: key === "allow" && Array.isArray(old) ? [...new Set([...old, ...value])] : value };
          });
          this.find.focus();
          void this.run();
        },
        { id: "fit-loosen" },
      ),
    ];
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
    if (rest && this.looking === rig) this.preview(rest, words, chances(rig.reserve));
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
    const [first, second] = [new Map(rows(one)), new Map(rows(two))]; // one may float and one not
    const names = [...new Set([...first.keys(), ...second.keys()])];
    this.beside.replaceChildren(
      table(
        ["", ...pinned.map((card) => card.querySelector("h4").textContent)],
        names.map((name) =>
          make(
            "tr",
            {},
            make("th", { scope: "row" }, name),
            make("td", {}, first.get(name) ?? "–"),
            make("td", { class: first.get(name) === second.get(name) ? "" : "changed" }, second.get(name) ?? "–"),
          ),
        ),
      ),
    );
  }

  // Of a lure that was changed since, only what is mounted goes by the rig.
  #take(rig, number) {
    this.#lookAway();
    const own = this.#isOwn();
    const text = tidy(own ? rig.build : JSON.stringify({ ...this.#bench.doc, fitted: JSON.parse(rig.build).fitted }));
    this.#taken.add(text);
    this.#bench.take(text);
    this.#say(
      own
        ? `Rig ${number} is mounted now; Undo brings the earlier one back.`
        : `Rig ${number} is mounted on the lure as it is now, which it was not found for: see what it does. Undo brings the earlier one back.`,
    );
  }

  #isOwn() {
    return this.#taken.has(this.#bench.text) || this.#found === this.#bench.text;
  }

  #card(rig, number, met, fitted) {
    const words = `Rig ${number}`;
    const card = rigCard(rig, words, {
      fitted,
      byDesign: met && !rig.met,
      nameOf: (id) => this.#bench.part(id)?.name ?? id,
      named: (words) => this.#bench.named(words),
      take: button(`Take rig ${number}`, () => this.#take(rig, number), { class: "deed" }),
      pin: () => void this.#compare(),
    });
    card.rig = rig;
    // Not for a finger: it is about to press, and the picture's change would move what it presses.
    for (const [come, go, meant] of [
      ["pointerenter", "pointerleave", (event) => event.pointerType === "mouse"],
      ["focusin", "focusout", (event) => event.target.matches(":focus-visible")],
    ]) {
      card.addEventListener(come, (event) => meant(event) && void this.#look(rig, words));
      card.addEventListener(go, () => this.#lookAway());
    }
    return card;
  }
}

// What a maker would say of it: sentences of the answer, without their full stop.
function craftWords({ let_go: letGo, light, heavy, second_try: secondTry }) {
  return [
    letGo ? `${letGo}; let go in these` : "",
    light ?? "",
    heavy ?? "",
    secondTry
      ? "nothing but wire on a shank, dots or washers reaches the target; makers keep them for the tank"
      : "",
  ]
    .filter(Boolean)
    .map((words) => ` ${sentence(words)}`)
    .join("");
}

const allowNames = {
  hook_size: "hooks",
  hook_grade: "hook wire",
  eye_wire: "eyes of",
  lip_free: "a lip that stands out",
  lip_gauge: "a lip of",
};

function allowWords(key, value) {
  if (key === "lead_free") return "lead";
  if (key === "allow" || !Array.isArray(value)) return "against the rule";
  return `${allowNames[key] ?? key} ${value.join(key === "hook_grade" ? ", " : " to ")}`;
}

function faultWords(refusal) {
  return [placeWords(refusal.where ?? ""), refusal.message].filter(Boolean).join(": ");
}

// Chances are told of all rigs or of none.
function stoppedWords({ state, answer }) {
  if (state !== "stopped") return "";
  const unsure = answer.met && !answer.rigs[0]?.reserve;
  return unsure ? "Stopped before it was found out how sure each is. " : "Stopped early. ";
}

// As the program's text has it: the surest after so many tests, or by nearness on paper.
const afterTests = ["", " after one tank test", " after two tank tests", " after three tank tests"];
function rankedWords(count, tests) {
  if (count === 1) return tests === undefined ? "One rig." : `One rig, the surest${afterTests[tests]}.`;
  return tests === undefined ? `${count} rigs, best first.` : `${count} rigs, the surest${afterTests[tests]} first.`;
}

function foundWords({ met, rigs, impossible, missing, craft = "", stopped, nearest_on_paper: onPaper, ranked_after_tests: tests }) {
  if (rigs.length === 0) return impossible && !stopped ? `No lure can do this: ${impossible}.` : "Nothing was found yet.";
  const nearest = onPaper > 1 ? ` Nearest on paper: rig ${onPaper}.` : "";
  if (met) return rankedWords(rigs.length, tests) + nearest;
  const why = [sentence(impossible), sentence(craft), missing ? `What would do it: ${missing}.` : ""];
  const first = stopped && !impossible ? "None of the rigs found by then does it." : "No rig does it.";
  return [first, ...why].filter(Boolean).join(" ");
}
