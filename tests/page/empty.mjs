// SPDX-License-Identifier: GPL-3.0-or-later
// The three uses as a maker goes them who has nothing yet: from an empty folder, wide and on a phone,
// pressing only what can be seen, found by its words alone. The command says of the saved file what the
// page said of it. Screenshots: empty-USE-SIZE-STEP.
import { readdirSync } from "node:fs";
import { assert, chosen, room, serve, settled, shot, step, text, until } from "./kit.mjs";

const sizes = [
  { name: "wide", viewport: { width: 1280, height: 900 } },
  { name: "phone", viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
];

// What is pressed is in sight when it is: scrolled to, not covered by anything.
async function press(page, role, name) {
  const target = page.getByRole(role, { name }).first();
  await target.scrollIntoViewIfNeeded();
  await tap(page, target);
}

// By finger where there is one, else by mouse.
const touched = new WeakSet();
const tap = (page, target) => (touched.has(page) ? target.tap() : target.click());

const open = (page, name) => press(page, "tab", name);

async function type(page, label, words) {
  await page.getByLabel(label, { exact: true }).first().fill(words);
  await settled(page);
}

const headline = (page) => text(page, "#headline");

// A new folder with nothing in it, and a lure begun there that is no example: name and length of its own.
async function lure(size, body, name, length) {
  const server = await serve([]);
  assert.deepEqual(readdirSync(server.folder), []);
  const context = await room(size);
  const page = await context.newPage();
  if (size.hasTouch) touched.add(page);
  await page.goto(server.address);
  await page.getByRole("heading", { name: "Begin with" }).waitFor();
  assert.doesNotMatch(await text(page, "dialog[open]"), /null|undefined/);
  await press(page, "button", new RegExp(`^${body}`));
  await chosen(page);
  await type(page, "Name of the lure", name);
  await type(page, "New length", length);
  await press(page, "button", "Scale all round");
  await settled(page);
  const end = async () => {
    await context.close();
    await server.stop();
  };
  return { server, page, end };
}

async function save(page, server, name) {
  await page.getByLabel("File name").fill(name);
  await press(page, "button", "Save");
  await until(page, "#kept", `Saved as ${name}`);
  return server.command("rest", name);
}

async function findRigs(page) {
  await press(page, "button", "Find rigs");
  await until(page, "#fitting", "first\\.|One rig|No rig");
  await page.waitForFunction(() => document.querySelectorAll("#rigs li").length > 0);
}

// Told, not held: a busy machine is no fault of the page's.
async function tellPreview(page) {
  await page.mouse.move(2, 2);
  await page.waitForFunction(() => !/^Rig/.test(document.getElementById("headline").textContent));
  await page.evaluate(() => {
    const rig = document.querySelector("#rigs > li");
    document.addEventListener("pointerover", (event) => rig.contains(event.target) && performance.mark("at the rig"), true);
    new MutationObserver((_, watch) => {
      if (!/^Rig 1:/.test(document.getElementById("headline").textContent)) return;
      watch.disconnect();
      performance.measure("preview of a rig", "at the rig");
    }).observe(document.getElementById("headline"), { childList: true, characterData: true, subtree: true });
  });
  const rig = page.locator("#rigs > li").first();
  await rig.scrollIntoViewIfNeeded();
  await rig.hover();
  await until(page, "#headline", "^Rig 1:");
  const took = await page.evaluate(() => performance.getEntriesByName("preview of a rig")[0]?.duration ?? NaN);
  console.log(`page in a browser: preview of a rig: ${took.toFixed(0)} ms`);
}

for (const size of sizes) {
  const snap = (page, use, at) => shot(page, `empty-${use}-${size.name}-${at}`);

  await step(`from nothing, ${size.name}: hardware that makes a lure suspend`, async () => {
    const { server, page, end } = await lure(size, "turned minnow", "pike stick", "104 mm");
    await open(page, "Target");
    await press(page, "button", "Hardware that makes it suspend");
    await settled(page);
    await findRigs(page);
    await snap(page, "suspend", "rigs");
    if (size.name === "wide") await tellPreview(page);
    await press(page, "button", "Take rig 1");
    await settled(page);
    await until(page, "#verdict", "^as it should|trimmed in the tank"); // it may be light by design
    await page.waitForSelector("#odds:not(.stale)");
    await until(page, "#odds", "right first time");
    await page.evaluate(() => window.scrollTo(0, 0));
    await snap(page, "suspend", "taken");
    const said = await headline(page);
    const { outcome, reserve } = await save(page, server, "pike-stick.json");
    assert.ok(reserve.chance_after_tests[reserve.tests] > 0.5);
    assert.match(said, new RegExp(`nose-(down|up) ${Math.abs(outcome.nose_down_deg).toFixed(1)} deg|level`));
    const kept = JSON.parse(server.disk("pike-stick.json"));
    assert.equal(kept.name, "pike stick");
    assert.ok(kept.fitted.belly.hook && kept.fitted.tail.hook);
    await end();
  });

  await step(`from nothing, ${size.name}: a metal lip as the only ballast`, async () => {
    const { server, page, end } = await lure(size, "flat-sided body", "board diver", "82 mm");
    await open(page, "Target");
    await press(page, "button", "A metal lip as the only ballast");
    await settled(page);
    await findRigs(page);
    await snap(page, "lip", "rigs");
    await press(page, "button", "Take rig 1");
    await settled(page);
    await until(page, "#verdict", "^as it should|^not yet|^off as built");
    await page.evaluate(() => window.scrollTo(0, 0));
    await snap(page, "lip", "taken");
    const verdict = await text(page, "#verdict");
    const { target } = await save(page, server, "board-diver.json");
    assert.equal(/^as it should/.test(verdict), target.met);
    const { fitted, seats } = JSON.parse(server.disk("board-diver.json"));
    assert.ok(fitted.lip.sheet && fitted.lip.outline && fitted.lip.length);
    for (const [name, seat] of Object.entries(seats)) if (seat.kind === "patch") assert.equal(fitted[name], undefined);
    await end();
  });

  await step(`from nothing, ${size.name}: other hooks, and how fast it sinks then`, async () => {
    const { server, page, end } = await lure(size, "turned minnow", "perch stick", "84 mm");
    await open(page, "Target");
    await tap(page, page.getByText("sink", { exact: true }));
    await settled(page);
    await open(page, "Rigs");
    await findRigs(page);
    await press(page, "button", "Take rig 1");
    await settled(page);
    await save(page, server, "perch-stick.json");
    // The hook at the belly is pressed where it hangs in the water.
    await page.evaluate(() => window.scrollTo(0, 0));
    const hook = page.getByRole("button", { name: /^belly: hook/ });
    const box = await hook.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height * 0.6];
    if (size.hasTouch) await page.touchscreen.tap(x, y);
    else await page.mouse.click(x, y);
    await until(page, "#picker-title", "^Hook at belly$");
    const mounted = JSON.parse(server.disk("perch-stick.json")).fitted.belly.hook;
    const number = /^treble-4-/.test(mounted) ? 6 : 4; // both suit the rings of lures of this length
    await page.getByRole("searchbox").fill(`treble ${number} medium`);
    await until(page, ".trial", "After");
    await snap(page, "hooks", "beside");
    const cells = await page.locator(".trial tbody tr", { hasText: "Weight in water" }).locator("td").allTextContents();
    assert.notEqual(cells[0], cells[1]);
    await press(page, "button", "Mount it");
    await settled(page);
    await page.waitForFunction(
      (n) => document.querySelector('#drawing [data-at="belly-hook"]').getAttribute("aria-label").includes(`treble hook ${n}`),
      number,
    );
    await page.waitForSelector("#lies:not(.preview)");
    await snap(page, "hooks", "mounted");
    const before = server.command("swap", "perch-stick.json", "--at", `belly.hook=treble-${number}-medium`);
    const { outcome } = await save(page, server, "perch-stick.json");
    assert.ok(Math.abs(outcome.drift_mm_s - before.after.drift_mm_s) < 1e-6 * Math.abs(outcome.drift_mm_s));
    assert.notEqual(before.before.drift_mm_s, before.after.drift_mm_s);
    await end();
  });
}
