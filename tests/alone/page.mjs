// SPDX-License-Identifier: GPL-3.0-or-later
// The page as one file in browsers, opened from disk, with no network. What both browsers do is done by both:
// the three uses, a search stopped, loading anew, two tabs, a full store, foreign files, everything out and in. In
// Chromium also a phone with touch, print, and what is asked of any network. Arguments: node modules or "", the
// program, the file, a folder for screenshots or "", then browsers.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import * as browsers from "./browsers.mjs";

const [modules, program, file, shots, ...which] = process.argv.slice(2);
const address = pathToFileURL(resolve(file)).href;
const scratch = mkdtempSync(join(tmpdir(), "ballastry-alone-"));
process.on("exit", () => rmSync(scratch, { recursive: true, force: true }));
const example = (name) => readFileSync(join("examples", name), "utf8");

let passed = 0;
let failed = 0;
let driver;
async function step(name, work) {
  const since = Date.now();
  try {
    await work();
    passed++;
    if (process.env.TIMES) console.log(`${((Date.now() - since) / 1000).toFixed(1)} s ${name}, ${driver.name}`);
  } catch (error) {
    failed++;
    console.log(`FAILED the page as one file, ${driver.name}: ${name}: ${error.stack}`);
  }
}

// ---- in the page ----

const seen = () => document.getElementById("headline").textContent !== "" && document.getElementById("lies").getAttribute("aria-busy") === "false";
const says = (selector, pattern) => new RegExp(pattern).test(document.querySelector(selector)?.textContent ?? "");
const textOf = (selector) => document.querySelector(selector)?.textContent ?? null;
// Presses what is shown and goes by this name; the last one of that name.
const press = (name) => {
  const named = [...document.querySelectorAll("button, [role=option], [role=tab]")].filter(
    (node) => node.checkVisibility() && !node.disabled && !node.closest("[inert]") && (node.getAttribute("aria-label") ?? node.textContent).trim() === name,
  );
  if (named.length === 0) return false;
  named.at(-1).click();
  return true;
};
const pressLike = (role, pattern) => {
  const node = [...document.querySelectorAll(role)].find(
    (one) => one.checkVisibility() && new RegExp(pattern).test(one.getAttribute("aria-label") ?? one.textContent),
  );
  node?.click();
  return node !== undefined;
};
const type = (selector, value) => {
  const node = document.querySelector(selector);
  node.value = value;
  node.dispatchEvent(new Event("input", { bubbles: true }));
  node.dispatchEvent(new Event("change", { bubbles: true }));
};
// Files as chosen by the maker.
const choose = (list) => {
  const chosen = new DataTransfer();
  for (const [name, text] of list) chosen.items.add(new File([text], name));
  const opener = document.getElementById("opener");
  opener.files = chosen.files;
  opener.dispatchEvent(new Event("change"));
};
const dropped = (list) => {
  const dataTransfer = new DataTransfer();
  for (const [name, text] of list) dataTransfer.items.add(new File([text], name));
  document.querySelector("main").dispatchEvent(new DragEvent("drop", { bubbles: true, cancelable: true, dataTransfer }));
};
// What the page hands out is caught before a browser asks where to.
const catchFiles = () => {
  delete window.showSaveFilePicker;
  window.showSaveFilePicker = undefined;
  const make = URL.createObjectURL;
  URL.createObjectURL = (what) => {
    window.caught = what;
    return make.call(URL, what);
  };
};
const catchText = () => {
  if (window.caught && !window.reading) window.reading = window.caught.text().then((text) => (window.caughtText = text));
  return window.caughtText ?? null;
};
const forget = () => {
  window.caught = window.reading = window.caughtText = undefined;
};

// ---- steps ----

async function opened(tab) {
  await tab.goto(address);
  await tab.wait(seen);
  await tab.run(catchFiles);
  return tab;
}
async function closeBegin(tab) {
  await tab.wait(press, "Go on with what is here");
  await tab.wait(() => !document.querySelector("dialog[open]"));
}
async function takeIn(tab, ...names) {
  await tab.run(choose, names.map((name) => [name, example(name)]));
  await tab.wait((name) => document.getElementById("filename").value === name, names[0]);
  await tab.wait(seen);
}
async function begin(tab, name) {
  await tab.wait(press, "Begin…");
  await tab.wait(says, "dialog[open]", "Begin with");
  await tab.wait(press, name);
  await tab.wait(() => !document.querySelector("dialog[open]"));
  await tab.wait((wanted) => document.getElementById("filename").value === wanted, name);
  await tab.wait(seen);
}
async function everything(tab) {
  await tab.run(forget);
  await tab.wait(press, "Files…");
  await tab.wait(press, "Keep a copy of everything");
  const text = await tab.wait(catchText);
  await tab.wait(press, "Close");
  return JSON.parse(text);
}
// What the program says of a file that the page keeps.
async function command(tab, name, ...words) {
  const all = await everything(tab);
  const path = join(scratch, name);
  writeFileSync(path, all.files.find((one) => one.path === `builds/${name}`).text);
  return JSON.parse(execFileSync(program, [...words, path, "--json", "--no-book", "--box", "none"], { encoding: "utf8" }));
}
async function save(tab, name) {
  await tab.wait(press, "Save");
  await tab.wait(says, "#kept", `Saved as ${name}`);
}
async function shot(tab, name) {
  if (!shots || !tab.page) return;
  mkdirSync(shots, { recursive: true });
  await tab.page.screenshot({ path: join(shots, `${name}.png`), animations: "disabled" });
}

async function both() {
  let tab;
  await step("opens from disk and shows a figure", async () => {
    tab = await opened(await driver.tab());
    await tab.wait(says, "#headline", "[Ff]loats");
    await tab.wait(press, "Go on with what is here");
    assert.equal(await tab.run(textOf, "#message"), "");
    await shot(tab, "alone-first");
  });
  await step("finds hardware that makes a lure suspend, figures staying live", async () => {
    await takeIn(tab, "larch-minnow.json");
    await tab.wait(press, "Rigs");
    await tab.wait(press, "Find rigs");
    await tab.run(type, '[data-path="/name"]', "live while it searches");
    await tab.wait(seen);
    await tab.wait(press, "Undo");
    await tab.wait(says, "#fitting", "rigs?, .*first");
    await tab.wait(press, "Take rig 1");
    await tab.wait(says, "#verdict", "^as it should|trimmed in the tank"); // it may be light by design
    await save(tab, "larch-minnow.json");
    const { reserve } = await command(tab, "larch-minnow.json", "rest");
    assert.ok(reserve.chance_after_tests[reserve.tests] > 0.5);
  });
  await step("uses a metal lip as the only ballast", async () => {
    await takeIn(tab, "board-lip.json");
    await tab.wait(press, "Rigs");
    await tab.wait(press, "Find rigs");
    await tab.wait(press, "Take rig 1");
    await tab.wait(says, "#verdict", "^as it should|trimmed in the tank");
    await save(tab, "board-lip.json");
    const { reserve } = await command(tab, "board-lip.json", "rest");
    assert.ok(reserve.chance_after_tests[reserve.tests] > 0.5);
  });
  await step("knows what swapping hooks does", async () => {
    await takeIn(tab, "sinker-swap.json");
    await tab.wait(press, "Parts");
    await tab.wait(pressLike, "button", "^Hook at belly");
    await tab.run(type, "[role=searchbox], input[type=search]", "treble 8 fine");
    await tab.wait(pressLike, "[role=option]", "treble hook 8, fine");
    await tab.wait(says, ".trial", "After");
    await tab.wait(press, "Mount it");
    await tab.wait(says, "#verdict", "^as it should");
    await save(tab, "sinker-swap.json");
    assert.equal((await command(tab, "sinker-swap.json", "rest")).target.met, true);
  });
  await step("a build with its own files: outline, caliper list, mesh", async () => {
    await takeIn(tab, "traced-minnow.json", "traced-minnow.svg");
    await tab.run(choose, [["caliper-stick.csv", example("caliper-stick.csv")]]);
    await takeIn(tab, "caliper-stick.json");
    assert.equal(await tab.run(textOf, "#message"), "");
  });
  await step("files dropped: a build with what it names is taken in, of a shape alone it is asked what for", async () => {
    await tab.run(dropped, ["glued-blank.json", "traced-minnow.svg"].map((name) => [name, example(name)]));
    await tab.wait(() => document.getElementById("filename").value === "glued-blank.json");
    await tab.run(dropped, [["caliper-stick.csv", example("caliper-stick.csv")]]);
    await tab.wait(says, "dialog[open]", "The shape in caliper-stick.csv");
    await tab.wait(press, "Leave it");
    await tab.wait(() => !document.querySelector("dialog[open]"));
  });
  await step("a search is stopped with the best so far", async () => {
    await takeIn(tab, "finished-minnow.json");
    await tab.wait(press, "Rigs");
    await tab.run(() => {
      const rank = document.querySelector('#rigs-panel select option[value="finished"]').parentElement;
      rank.value = "finished"; // the longest of the examples
      rank.dispatchEvent(new Event("change", { bubbles: true }));
      const words = document.getElementById("fitting");
      const seen = new MutationObserver(() => {
        if (!/[1-9][0-9]* worked through/.test(words.textContent)) return;
        seen.disconnect();
        document.getElementById("fit-stop").click();
      });
      seen.observe(words, { childList: true, characterData: true, subtree: true });
    });
    await tab.wait(press, "Find rigs");
    await tab.wait(says, "#fitting", "Stopped early");
    await tab.wait(() => document.querySelectorAll("#rigs > li").length > 0);
  });
  await step("loaded anew it goes on where it was, with all that was kept", async () => {
    await tab.wait(press, "Body");
    await tab.run(type, '[data-path="/name"]', "unsaved words");
    await tab.wait(says, "#kept", "not saved yet");
    await new Promise((done) => setTimeout(done, 1200));
    await tab.reload();
    await tab.wait(seen);
    await tab.run(catchFiles);
    assert.equal(await tab.run(() => document.querySelector('[data-path="/name"]').value), "unsaved words");
    await tab.wait(press, "Begin…");
    await tab.wait(says, "dialog[open]", "Builds kept in this browser");
    for (const name of ["board-lip.json", "larch-minnow.json", "sinker-swap.json"]) await tab.wait(says, "dialog[open]", name);
    await closeBegin(tab);
  });
  await step("a second tab is told, and a file saved in it is told in the first", async () => {
    await begin(tab, "sinker-swap.json");
    const other = await opened(await driver.tab());
    await other.wait(says, "#alone-notice", "another tab");
    await other.wait(press, "sinker-swap.json");
    await other.wait(() => document.getElementById("filename").value === "sinker-swap.json");
    await other.run(type, '[data-path="/name"]', "from the other tab");
    await other.wait(seen);
    await save(other, "sinker-swap.json");
    await tab.wait(says, "#alone-notice", "another tab");
    await tab.wait(says, "#offers", "sinker-swap.json was saved in another tab");
    await tab.wait(press, "Show that");
    await tab.wait(() => document.querySelector('[data-path="/name"]').value === "from the other tab");
    await other.close();
  });
  await step("foreign and hostile files harm nothing", async () => {
    const before = (await everything(tab)).files.length;
    for (const [name, text, want] of [
      ["broken.json", "{ not", "no JSON"],
      ["photo.png", "x", "neither a build"],
      ["all.json", JSON.stringify({ ballastry_files: 1, files: [{ path: "../outside", text: "x" }] }), "cannot be kept"],
      ["newer.json", JSON.stringify({ ballastry_files: 2, files: [] }), "cannot read"],
    ]) {
      await tab.run(choose, [[name, text]]);
      await tab.wait(says, "#message", want);
    }
    assert.equal((await everything(tab)).files.length, before);
    const nasty = `<img src=x onerror="document.title='caught'"><script>document.title='caught'</script>`;
    await tab.run(choose, [["nasty.json", JSON.stringify({ ...JSON.parse(example("sinker-swap.json")), name: nasty })]]);
    await tab.wait(() => document.getElementById("filename").value === "nasty.json");
    assert.equal(await tab.run(() => document.querySelectorAll("main img, main script").length), 0);
    assert.equal(await tab.run(() => document.title.includes("caught")), false);
    await tab.run(choose, [["deep.json", "[".repeat(50000) + "]".repeat(50000)]]);
    await tab.run(choose, [["box.csv", "part\nno-such-part\n"]]);
    await tab.wait(says, "#alone-notice", "cannot be read, so it is left aside");
    await takeIn(tab, "glued-blank.json");
    assert.equal(await tab.run(() => document.getElementById("headline").textContent.length > 0), true);
  });
  await step("a name that is there already is asked about", async () => {
    await tab.run(choose, [["sinker-swap.json", example("board-lip.json")]]);
    await tab.wait(says, "dialog[open]", "Others of these names are here");
    await tab.wait(press, "Leave those that are here");
    const all = await everything(tab);
    assert.equal(JSON.parse(all.files.find((one) => one.path === "builds/sinker-swap.json").text).name.includes("foam"), false);
  });
  // Where a browser's room can be set, in a profile that has written nothing yet.
  async function crowded(bytes) {
    if (!driver.fresh) return tab;
    const fresh = await opened(await driver.fresh());
    await fresh.wait(press, "Go on with what is here");
    await fresh.room(bytes);
    return fresh;
  }
  await step("what the store has no room for is not taken in", async () => {
    const here = await crowded(2 ** 20); // Firefox has a limit of its own (browsers.mjs)
    const names = async () => (await everything(here)).files.map(({ path }) => path).join(" ");
    const before = await names();
    await here.run(() => {
      const chosen = new DataTransfer();
      // Of chance: a store may press together what repeats.
      const pieces = Array.from({ length: 12 * 16 }, () => crypto.getRandomValues(new Uint8Array(2 ** 16)));
      chosen.items.add(new File(pieces, "large.stl"));
      const opener = document.getElementById("opener");
      opener.files = chosen.files;
      opener.dispatchEvent(new Event("change"));
    });
    await here.wait(says, "#message", "store is full; nothing was taken in");
    assert.equal(await names(), before);
    if (here !== tab) await here.close();
  });
  await step("a full store is told, and nothing is lost", async () => {
    const here = await crowded(1);
    if (here === tab) {
      await takeIn(tab, "finished-minnow.json");
      // Its room cannot be set: the refusal is made here.
      await tab.run(() => {
        window.kept = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function () {
          this.transaction.abort();
          throw new DOMException("full", "QuotaExceededError");
        };
      });
    }
    await here.run(type, '[data-path="/name"]', "too much");
    await here.wait(press, "Save");
    await here.wait(says, "#message", "nothing was written");
    assert.equal(await here.run(() => document.querySelector('[data-path="/name"]').value), "too much");
    if (here !== tab) await here.room();
    else
      await tab.run(() => {
        IDBObjectStore.prototype.put = window.kept;
      });
    const name = await here.run(() => document.getElementById("filename").value); // it may follow the lure's name
    await save(here, name);
    assert.equal((await command(here, name, "rest")).name, "too much");
    if (here !== tab) await here.close();
  });
  await step("tells its version, licence and source, and where files are", async () => {
    await tab.wait(press, "Files…");
    for (const words of ["ballastry \\d+\\.\\d+\\.\\d+", "General Public License", "source.tar.xz", "Clearing the browser's data loses them", "Expat"])
      await tab.wait(says, "dialog[open]", words);
    await shot(tab, "alone-files");
    await tab.wait(press, "Close");
  });
  await step("everything goes out as one file and comes in again", async () => {
    const all = await everything(tab);
    assert.ok(all.files.length > 8);
    const moved = all.files.filter(({ path }) => path.startsWith("builds/")).map((one) => ({ ...one, path: one.path.replace("builds/", "builds/again-") }));
    await tab.run(choose, [["everything.json", JSON.stringify({ ballastry_files: 1, files: moved })]]);
    await tab.wait(says, "dialog[open]", "again-board-lip.json");
    await closeBegin(tab);
  });
  await step("a box is taken in and kept", async () => {
    const box = "id,mass\ntreble-6-medium,0.61 g\n";
    await tab.run(choose, [["box.csv", box]]);
    await tab.wait(press, "Take the new ones"); // the one that could not be read is there
    await tab.wait(() => !/left aside/.test(document.getElementById("alone-notice").textContent));
    await tab.reload();
    await tab.wait(seen);
    await tab.run(catchFiles);
    await tab.wait(press, "Box");
    await tab.wait(says, "#box", "0\\.61");
    assert.equal((await everything(tab)).files.find((one) => one.path === "builds/box.csv").text, box);
  });
  await step("throws nothing", async () => assert.deepEqual(driver.faults, []));
  return tab;
}

// ---- Chromium alone ----

// Longest run of dark dots in the rows from..to (mm) of a page of grey.
function darkRun(pgm, perMm, from, to) {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(pgm.subarray(0, 40).toString("latin1"));
  const [width, start] = [Number(head[1]), head[0].length];
  let longest = 0;
  for (let y = Math.round(from * perMm); y <= to * perMm; y++) {
    let run = 0;
    for (let x = 0; x < width; x++) {
      run = pgm[start + y * width + x] < 160 ? run + 1 : 0;
      longest = Math.max(longest, run);
    }
  }
  return longest / perMm;
}

async function printed(tab) {
  await step("prints its sheet at life size", async () => {
    await begin(tab, "sinker-swap.json");
    await tab.wait(press, "Sheet");
    await tab.wait(() => {
      const canvas = document.querySelector("canvas.sheet");
      return canvas !== null && !canvas.hidden && canvas.width > 1000;
    });
    await shot(tab, "alone-sheet");
    await tab.run(() => {
      window.print = () => {
        window.printed = true;
      };
    });
    await tab.wait(press, "Print…");
    await tab.wait(() => window.printed === true);
    const pdf = join(scratch, "sheet.pdf");
    await tab.page.pdf({ path: pdf, preferCSSPageSize: true, printBackground: true });
    try {
      execFileSync("pdftoppm", ["-v"], { stdio: "ignore" });
    } catch {
      console.log("skipped: the printed sheet measured: no pdftoppm");
      return;
    }
    const info = execFileSync("pdfinfo", [pdf], { encoding: "utf8" });
    const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(info);
    assert.ok(Math.abs(width - (210 * 72) / 25.4) < 1 && Math.abs(height - (297 * 72) / 25.4) < 1, info);
    const sheets = await tab.run(() => document.querySelectorAll("#paper img").length);
    assert.equal(Number(/Pages:\s+(\d+)/.exec(info)[1]), sheets);
    // The bar of 50 mm lies 10 mm above the paper's lower edge (solver/sheet/flow.c).
    execFileSync("pdftoppm", ["-r", "254", "-gray", pdf, join(scratch, "sheet")]);
    for (let i = 1; i <= sheets; i++) {
      const bar = darkRun(readFileSync(join(scratch, `sheet-${i}.pgm`)), 10, 286.5, 287.5);
      assert.ok(Math.abs(bar - 50) < 0.5, `page ${i}: the bar is ${bar} mm long`);
    }
  });
  await step("gives SVG and STL", async () => {
    for (const [name, want] of [
      ["SVG", /^<\?xml|^<svg/],
      ["STL of the body", /^[\s\S]{84}|^solid/],
    ]) {
      await tab.run(forget);
      await tab.wait(press, name);
      assert.match(await tab.wait(catchText), want);
    }
  });
  await step("asks nothing of any network", async () => {
    assert.deepEqual(driver.faults, []);
    const foreign = driver.asked.filter((url) => !url.startsWith("blob:") && !url.startsWith("data:") && url.split("#")[0] !== address);
    assert.deepEqual(foreign, []);
    const tried = await tab.run(() => fetch("http://127.0.0.1:9/").then(() => "let through", () => "refused"));
    assert.equal(tried, "refused");
    driver.faults.length = 0; // the refusal itself
  });
}

// What axe-core finds serious in what is shown.
async function reachable(tab) {
  const axe = join(modules, "axe-core/axe.min.js");
  if (!existsSync(axe)) return;
  await tab.run(`() => { window.axe ?? (() => { ${readFileSync(axe, "utf8")} })(); }`);
  const bad = await tab.page.evaluate(async () =>
    (await window.axe.run()).violations.filter((one) => ["serious", "critical"].includes(one.impact)).map((one) => `${one.id}: ${one.nodes[0].html}`),
  );
  assert.deepEqual(bad, []);
}
async function phone(colorScheme) {
  const touch = await browsers.chromium(modules, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2, colorScheme });
  driver = touch;
  await step(`works on a phone by touch, ${colorScheme}`, async () => {
    const tab = await opened(await touch.tab());
    const { page } = tab;
    await page.getByRole("button", { name: "Go on with what is here" }).tap();
    await takeIn(tab, "larch-minnow.json");
    await page.getByRole("tab", { name: "Rigs" }).tap();
    await page.locator("#fit").tap();
    await tab.wait(says, "#fitting", "rigs?, .*first");
    await page.getByRole("button", { name: "Take rig 1", exact: true }).tap();
    await tab.wait(says, "#verdict", "^as it should");
    await page.locator("#save").tap();
    await tab.wait(says, "#kept", "Saved as");
    const wide = await tab.run(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `${wide} px too wide`);
    await reachable(tab);
    await page.locator("#keeping").tap();
    await tab.wait(says, "dialog[open]", "Where your files are");
    await shot(tab, `alone-phone-${colorScheme}`);
    await reachable(tab);
    assert.deepEqual(touch.faults, []);
  });
  await touch.end();
}

for (const name of which) {
  driver = name === "firefox" ? await browsers.firefox("firefox-esr") : await browsers.chromium(modules);
  const tab = await both();
  if (name === "chromium") await printed(tab);
  await driver.end();
  if (name === "chromium") for (const colorScheme of ["dark", "light"]) await phone(colorScheme);
}
console.log(`the page as one file in browsers: ${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
