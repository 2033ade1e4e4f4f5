// SPDX-License-Identifier: GPL-3.0-or-later
// Where builds come from and go to: plain bodies, the folder's files, drafts left unsaved; saving,
// and what to do when the file was changed by someone else meanwhile.
import { ask } from "./ask.js";
import { $, button, make } from "./dom.js";
import { needBuild } from "./no_build.js";
import { askTabs, hear, tell as tellTabs } from "./other_tabs.js";
import { shelfWords } from "./transport.js";

const stem = (name) =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60) || "lure";

// One shelf of the choice: what is on it, each with words, maybe more about it, and its work.
function choices(title, list) {
  if (list.length === 0) return [];
  const one = ({ words, about, work }) => {
    const press = button(make("span", {}, words), work);
    if (about) press.append(make("small", {}, about));
    return make("li", {}, press);
  };
  return [make("h3", {}, title), make("ul", { class: "shelf" }, ...list.map(one))];
}

// As a maker types it: the ending is ours to add.
export const fileName = (words) => {
  const name = words.trim();
  return name === "" || /\.json$/.test(name) ? name : `${name.replace(/\.json$/i, "")}.json`;
};

export class Files {
  #bench;
  #tell;
  #bodies = [];
  more = () => []; // further sections of the choice: more(close) gives nodes
  #saving = Promise.resolve();
  #given = ""; // the name that we gave the open file, after what the lure was named then
  #named = "";
  #left = null; // the draft that is being offered: { name: where it is kept, draft, words, aside }

  constructor(bench, tell) {
    this.#bench = bench;
    this.#tell = tell;
    this.dialog = make("dialog", { class: "begin", "aria-labelledby": "h-begin" });
    this.conflict = make("dialog", { "aria-labelledby": "h-conflict" });
    document.body.append(this.dialog, this.conflict);
    hear("open?", (name) => (name === this.#bench.file.name ? true : undefined));
    hear("saved", ({ name, build }) => this.#savedElsewhere(name, build));
  }

  async start() {
    this.#bodies = (await ask("bodies")).bodies;
    if (this.#bench.resume()) return undefined;
    const list = await ask("list");
    let refused = null;
    try {
      if (list.start) return await this.open(list.start);
    } catch (refusal) {
      refused = refusal;
    }
    await this.#begin(this.#bodies[0]);
    return this.choose(refused);
  }

  // left(text): told at the last moment what the page had.
  async #begin(body, left = () => {}) {
    const name = await this.#freshName(stem(JSON.parse(body.build).name ?? body.id));
    this.#left = null;
    left(this.#bench.text);
    this.#bench.begin(body.build, name, null);
    this.#gave(name);
  }

  // As save takes it.
  nameOf(words) {
    return fileName(words);
  }

  // A build from elsewhere, not saved yet; what is here unsaved is kept as a draft. Throws where it is no build.
  async bring(name, text) {
    needBuild(name, text);
    const fresh = await this.#freshName(fileName(name).replace(/\.json$/, "") || "lure");
    await this.leave();
    this.#left = null;
    this.#bench.begin(text, fresh, null, true);
    this.#gave(fresh);
  }

  #gave(name) {
    this.#given = name;
    this.#named = String(this.#bench.doc.name ?? "");
  }

  async beginPlain(left) {
    await this.#begin(this.#bodies[0], left);
  }

  // Until all that is unsaved is kept, also what was typed meanwhile: what comes next may begin another build.
  async leave() {
    for (let text = null; text !== this.#bench.text; ) {
      text = this.#bench.text;
      await this.#leave();
    }
  }

  // A name that no file and no draft has, so that it has a draft of its own.
  async #freshName(first) {
    const { files, drafts } = await ask("list");
    const taken = new Set([...files, ...drafts]);
    let name = `${first}.json`;
    for (let i = 2; taken.has(name); i++) name = `${first}-${i}.json`;
    return name;
  }

  // refused: why what was to be opened was not.
  async choose(refused = null) {
    try {
      const list = await ask("list");
      // The choice stays before the page until the new build is there: what is typed then is the new one's.
      const leave = (work) => async () => {
        this.dialog.inert = true;
        let refusal = null;
        try {
          await this.#leave();
          await work();
        } catch (error) {
          refusal = error;
        }
        this.dialog.inert = false;
        this.dialog.close();
        if (refusal) this.#tell(refusal);
        else $("filename").focus({ preventScroll: true }); // what had the keyboard's place may be gone
      };
      this.dialog.replaceChildren(
        make("h2", { id: "h-begin" }, "Begin with"),
        ...(refused ? [make("p", { class: "bad", role: "alert" }, refused.message)] : []),
        ...choices(
          "Left unsaved",
          list.drafts.map((name) => ({
            words: name || "a build without a name",
            work: leave(() => this.#takeUp(name)),
          })),
        ),
        ...choices(
          shelfWords,
          list.files.map((name) => ({ words: name, work: leave(() => this.open(name)) })),
        ),
        ...(list.left_out > 0
          ? [
              make(
                "p",
                { class: "hint" },
                `${list.left_out} more in the folder ${list.left_out === 1 ? "is" : "are"} not shown: a name here has at most 100 letters, and a list 500 names.`,
              ),
            ]
          : []),
        ...choices(
          "Plain bodies",
          this.#bodies.map((body) => ({
            words: body.name,
            about: body.about,
            work: leave(() => this.#begin(body)),
          })),
        ),
        ...this.more(() => this.dialog.close()),
        make(
          "div",
          { class: "row end" },
          button("Go on with what is here", () => this.dialog.close()),
        ),
      );
      this.dialog.showModal();
      this.dialog.scrollTop = 0;
    } catch (refusal) {
      this.#tell(refusal);
    }
  }

  // What is left unsaved stays as a draft, so leaving loses nothing.
  async #leave() {
    const { unsaved, file, text } = this.#bench;
    if (unsaved) await ask("draft", { name: file.draft, build: text });
  }

  // As chosen, though from elsewhere on the page.
  async visit(name) {
    try {
      await this.leave();
      await this.open(name);
    } catch (refusal) {
      this.#tell(refusal);
    }
  }

  async open(name) {
    const answer = await ask("open", { name });
    needBuild(name, answer.build);
    this.#left = null;
    this.#bench.begin(answer.build, answer.name, answer.build);
    if (answer.draft) this.#offer(answer.name, answer.draft);
    void this.#ownDraft(answer.name);
  }

  // Two tabs with one file each keep a draft of their own. Other tabs may take a while to answer.
  async #ownDraft(name) {
    try {
      if ((await askTabs("open?", name)) === null) return;
      const other = await this.#freshName(`${name.replace(/\.json$/, "")}-other-tab`);
      if (this.#bench.file.name === name) this.#bench.file.draft = other;
    } catch (refusal) {
      this.#tell(refusal);
    }
  }

  // Another tab of this page wrote the file that is open here.
  #savedElsewhere(name, build) {
    if (name !== this.#bench.file.name || build === this.#bench.file.was) return;
    const words = make("span", {}, `${name} was saved in another tab just now.`);
    const follow = button(
      this.#bench.unsaved ? "Take that, mine goes to Undo" : "Show that",
      () => this.#settle(() => this.#bench.follow(name, build)),
      { class: "deed" },
    );
    const keep = button("Go on with mine", () => this.#settle(() => {}));
    $("offers").replaceChildren(make("div", { class: "offer", role: "status" }, words, follow, keep));
  }

  async #takeUp(name) {
    const { build } = await ask("draft-open", { name });
    const there = name !== "" && (await ask("list")).files.includes(name);
    if (!there) {
      this.#bench.begin(build, name || `${stem(JSON.parse(build).name ?? "lure")}.json`, null, true);
      return;
    }
    const file = await ask("open", { name });
    this.#bench.begin(file.build, name, file.build);
    this.#bench.take(build);
  }

  // What was left unsaved of this very file is offered until it is taken or thrown away.
  #offer(name, draft) {
    const left = { name, draft, aside: false };
    const drop = () => ask("draft-drop", { name: left.name }).catch(this.#tell);
    const restore = () => {
      this.#bench.take(draft);
      if (left.aside) void drop(); // it is in this tab now, under the file's own draft
    };
    const words = make("span", {}, `Work on ${name} was left unsaved.`);
    left.words = words;
    $("offers").replaceChildren(
      make(
        "div",
        { class: "offer", role: "status" },
        words,
        button("Restore draft", () => this.#settle(restore), { class: "deed" }),
        button("Delete draft", () => this.#settle(drop)),
      ),
    );
    this.#left = left;
  }

  #settle(work) {
    this.#left = null;
    $("offers").replaceChildren();
    work();
  }

  // The maker goes on without an answer: the draft's place is needed, so it moves aside.
  async setAside() {
    if (this.#left === null || this.#bench.file.draft !== this.#left.name) return;
    const left = this.#left;
    const { name, draft, words } = left;
    this.#left = null;
    try {
      const other = await this.#freshName(`${name.replace(/\.json$/, "")}-left`);
      await ask("draft", { name: other, build: draft });
      Object.assign(left, { name: other, aside: true });
      words.textContent = `What was left unsaved of ${name} is kept as ${other}, under Begin.`;
    } catch (refusal) {
      this.#left ??= left; // the next edit tries again
      this.#tell(refusal);
    }
  }

  // Work on the open file goes one after the other: the second of two saves in a row knows what the first wrote.
  #next(work) {
    const { lure } = this.#bench;
    this.#saving = this.#saving.then(() => (lure === this.#bench.lure ? work() : undefined));
    return this.#saving;
  }

  // Until it is saved, the file and its draft go by the lure's name, unless the maker gave it one.
  goBy() {
    return this.#next(() => this.#goBy().catch(() => {})); // it keeps the name that it has
  }

  async #goBy() {
    const { file, lure } = this.#bench;
    const stays = () =>
      lure === this.#bench.lure && file === this.#bench.file && $("filename").value === file.name;
    const name = String(this.#bench.doc.name ?? "");
    const own = this.#given === file.name && file.draft === file.name && file.was === null;
    if (!own || name === this.#named || `${stem(name)}.json` === file.name || !stays()) return;
    const fresh = await this.#freshName(stem(name));
    if (!stays()) return;
    this.#given = fresh;
    this.#named = name;
    this.#bench.rename(fresh);
    await ask("draft-drop", { name: file.draft });
  }

  // words: under which name; without them under that of its field.
  save(words, was) {
    if (words === undefined) void this.goBy();
    return this.#next(() => this.#save(words ?? $("filename").value, was));
  }

  async #save(words, was) {
    const name = fileName(words);
    const sent = this.#bench.text;
    const { file, lure } = this.#bench;
    const read = was !== undefined ? was : name === file.name ? file.was : null;
    try {
      const answer = await ask("save", { name, build: sent, was: read, draft: file.draft });
      if (lure === this.#bench.lure) this.#bench.saved(answer.name, answer.build, sent); // else another was begun
      tellTabs("saved", { name: answer.name, build: answer.build });
      this.#tell(`Saved as ${answer.name}.`);
    } catch (refusal) {
      if (refusal.status === 409) this.#changed(name, refusal.message);
      else if (/no name for a file/.test(refusal.message)) this.#tell(new Error(`"${words}" ${refusal.message}`)); // not the lure's name
      else this.#tell(refusal);
    }
  }

  // Someone else wrote the file since it was read. Nothing is lost whatever is chosen.
  #changed(name, why) {
    const other = make("input", { value: `${name.replace(/\.json$/, "")}-mine.json`, spellcheck: "false" });
    const doing = (work) => async () => {
      this.conflict.close();
      try {
        await work();
      } catch (refusal) {
        this.#tell(refusal);
      }
    };
    this.conflict.replaceChildren(
      make("h2", { id: "h-conflict" }, /is there already/.test(why) ? "There is a file of that name" : "The file is not as it was"),
      make("p", {}, `${name} ${why}.`),
      make(
        "div",
        { class: "row ends" },
        make("label", { class: "field" }, make("span", { class: "name" }, "Another name"), other),
        button(
          "Save mine under that name",
          doing(() => this.save(other.value.trim(), null)),
          { class: "deed" },
        ),
      ),
      make(
        "div",
        { class: "row" },
        button(
          "Take the file's, mine goes to Undo",
          doing(async () => {
            const file = await ask("open", { name });
            this.#bench.follow(name, file.build);
          }),
        ),
        button(
          "Write mine over it",
          doing(async () => this.save(name, (await ask("open", { name })).build)),
        ),
        button("Go on without saving", () => this.conflict.close()),
      ),
    );
    this.conflict.showModal();
  }
}
