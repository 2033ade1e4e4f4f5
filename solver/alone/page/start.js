// SPDX-License-Identifier: GPL-3.0-or-later
// The page as one file begins here: the bench's own page, and what a maker needs to know where no program keeps
// the files: where they are, how to take them out and in, that another tab is open, what this file is.
import { ask } from "./ask.js";
import { bench, files, restocked, tell } from "./bench.js";
import { $, button, make } from "./dom.js";
import { everything, handOut, takeIn, unpacked } from "./keeping.js";
import { askTabs, hear, tell as tellTabs } from "./other_tabs.js";
import { storeOpened, unread } from "./transport.js";
import { about } from "./unpacked.js";

const dialog = make("dialog", { class: "begin keeping", "aria-labelledby": "h-keeping" });
const opener = make("input", { type: "file", multiple: true, accept: ".json,.csv,.stl,.svg", hidden: true, id: "opener" });
const paper = make("div", { id: "paper", "aria-hidden": "true" });
document.body.append(dialog, opener, paper);

const section = (title, ...rest) => make("section", {}, make("h3", {}, title), ...rest);
const words = (text) => make("p", {}, text);

async function copyOfBuild() {
  try {
    const text = `${JSON.stringify(bench.doc, null, 2)}\n`;
    if (await handOut(bench.file.name || "lure.json", text, "application/json")) tell("A copy is kept as a file.");
  } catch (error) {
    tell(error);
  }
}

async function copyOfAll() {
  try {
    if (await handOut("ballastry-everything.json", await everything(), "application/json")) tell("A copy of everything is kept as a file.");
  } catch (error) {
    tell(error);
  }
}

// Which of two files of one name, asked of the maker.
const choose = (paths) =>
  new Promise((done) => {
    const names = paths.map((path) => path.slice(path.indexOf("/") + 1));
    const asked = make("dialog", { "aria-labelledby": "h-same" });
    const answer = (what) => () => {
      asked.returnValue = "answered";
      asked.close();
      done(what);
    };
    asked.append(
      make("h2", { id: "h-same" }, "Others of these names are here"),
      words(`${names.slice(0, 8).join(", ")}${names.length > 8 ? ` and ${names.length - 8} more` : ""}`),
      make(
        "div",
        { class: "row" },
        button("Take the new ones", answer(true)),
        button("Leave those that are here", answer(false), { class: "deed" }),
        button("Do nothing", answer(null)),
      ),
    );
    asked.addEventListener("close", () => {
      asked.remove();
      done(null);
    });
    document.body.append(asked);
    asked.showModal();
  });

async function take(list) {
  try {
    const all = new Map();
    for (const file of list) for (const [path, bytes] of await unpacked(file)) all.set(path, bytes);
    const put = await takeIn(all, choose);
    if (put.length === 0) return;
    tell(put.length === 1 ? "Taken in." : `${put.length} files taken in.`);
    await ask("alive"); // so that the program has them
    if (put.some((path) => !path.startsWith("builds/") || path === "builds/box.csv")) await restocked();
    const build = put.find((path) => /^builds\/[^./][^/]*\.json$/.test(path));
    if (build && list.length > 0 && put.length <= list.length) await files.visit(build.slice("builds/".length));
    else if (put.length > list.length) await files.choose();
    tellUnread();
  } catch (error) {
    tell(error.name === "QuotaExceededError" ? new Error("The browser's store is full; nothing was taken in") : error);
  }
}

async function lastingWords(store) {
  if (!store.lasting)
    return "This browser keeps nothing for a file opened from disk: what you make lives in this tab alone. Keep copies.";
  const sure = await navigator.storage?.persisted?.().catch(() => false);
  return sure
    ? "The browser has promised to keep them until you clear its data."
    : "The browser may let them go when it runs out of room.";
}

async function showKeeping() {
  const store = await storeOpened;
  const state = words(await lastingWords(store));
  const ask = button("Ask the browser to keep them", async () => {
    await navigator.storage?.persist?.().catch(() => false);
    state.textContent = await lastingWords(store);
  });
  dialog.replaceChildren(
    make("h2", { id: "h-keeping" }, "Where your files are"),
    section(
      "In this browser",
      words(
        "Builds, box and book are kept in this browser's own store on this device, for this file at the place it lies. " +
          "Another browser, another device or a private window does not see them, and a file that is moved or renamed may not either. " +
          "Clearing the browser's data loses them. So keep copies.",
      ),
      state,
      store.lasting ? ask : null,
    ),
    section(
      "Keep copies",
      make(
        "div",
        { class: "row" },
        button("Keep a copy of this build", copyOfBuild, { class: "deed" }),
        button("Keep a copy of everything", copyOfAll),
      ),
    ),
    section(
      "Take files in",
      words(
        "Builds, what they name (.csv, .stl, .svg), your box.csv, or a copy of everything: choose them, or drop them anywhere on the page.",
      ),
      button("Choose files…", () => {
        dialog.close();
        opener.click();
      }),
    ),
    section(
      "About",
      words(`ballastry ${about.version}, the page as one file. It works without a network and asks for none.`),
      words(
        "Free software under the GNU General Public License, version 3 or later, without any warranty. " +
          `Its source, with that of what it is built of, is ${about.archive}, which comes beside this file.`,
      ),
      words("Mending meshes that are not closed, PDF and PNG need the program itself."),
      make("details", {}, make("summary", {}, "Licences of its parts"), make("pre", { tabindex: 0 }, about.notices)),
    ),
    make("div", { class: "row end" }, button("Close", () => dialog.close())),
  );
  if (!dialog.open) dialog.showModal();
  dialog.scrollTop = 0;
}

$("save").before(
  button("Files…", () => void showKeeping(), { id: "keeping" }),
  button("Keep a copy", () => void copyOfBuild(), { id: "keep-copy" }),
);
// Asked once something is worth keeping, as some browsers ask the maker then.
$("save").addEventListener("click", () => void navigator.storage?.persist?.().catch(() => false), { once: true });
opener.addEventListener("change", async () => {
  await take([...opener.files]);
  opener.value = "";
});
// Of a single shape or box that is dropped the page itself asks what it is for (bring.js); it hears drops after this.
document.addEventListener(
  "drop",
  (event) => {
    const list = [...(event.dataTransfer?.files ?? [])];
    if (list.length === 0 || (list.length === 1 && !/\.json$/i.test(list[0].name))) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    void take(list);
  },
  { capture: true },
);

// What holds for a while: another tab, a store that does not last, a box that cannot be read.
const notice = make("div", { class: "notice", role: "status", hidden: true, id: "alone-notice" });
$("offers").before(notice);
const notes = new Map();
function note(kind, text) {
  if ((notes.get(kind) ?? "") === text) return;
  if (text) notes.set(kind, text);
  else notes.delete(kind);
  notice.replaceChildren(...[...notes.values()].map(words));
  notice.hidden = notes.size === 0;
}
function tellUnread() {
  note("unread", unread() && `Your box or book cannot be read, so it is left aside: ${unread()}`);
}
setInterval(tellUnread, 3000); // it may be mended under Box, or by another tab

// A second tab is told, and so is the first; and again when a tab goes, so that the last one is told of none.
const TWO = "This page is open in another tab too. Both see the same files; each keeps its own unsaved work.";
hear("here?", () => {
  note("two", TWO);
  return true;
});
const lookAround = async () => note("two", (await askTabs("here?", "")) ? TWO : "");
hear("left", () => void lookAround());
addEventListener("pagehide", () => tellTabs("left", ""));
addEventListener("pageshow", (event) => event.persisted && void lookAround());
void (async () => {
  const store = await storeOpened;
  if (!store.lasting) note("store", await lastingWords(store));
  else await lookAround();
  tellUnread();
})();
