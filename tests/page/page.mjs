// SPDX-License-Identifier: GPL-3.0-or-later
// One maker's evening in headless Chromium. Arguments: modules, address, folder, screenshots.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { createRequire } from "node:module";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const [modules, address, folder, shots] = process.argv.slice(2);
const { chromium } = createRequire(`${modules}/`)("playwright-core");
const profile = mkdtempSync(join(tmpdir(), "ballastry-chromium-"));
const context = await chromium.launchPersistentContext(profile, {
  executablePath: "/usr/bin/chromium",
  headless: true,
  viewport: { width: 1280, height: 900 },
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
context.setDefaultTimeout(15000);
const page = context.pages()[0];
const faults = [];
const outside = [];
page.on("pageerror", (error) => faults.push(String(error)));
page.on("console", (line) => line.type() === "error" && faults.push(line.text()));
page.on("request", (request) => request.url().startsWith(new URL(address).origin) || outside.push(request.url()));
page.on("dialog", (dialog) => dialog.accept());

const text = (id) => page.locator(`#${id}`).textContent();
const shot = (name) => shots && page.screenshot({ path: join(shots, `${name}.png`), fullPage: true });
const until = (id, pattern) =>
  page.waitForFunction(([i, p]) => new RegExp(p).test(document.getElementById(i).textContent), [id, pattern]);
const disk = (name) => readFileSync(join(folder, name), "utf8");

let passed = 0;
async function step(name, work) {
  try {
    await work();
    passed++;
  } catch (error) {
    console.log(`FAILED page: ${name}: ${error.stack}`);
    process.exitCode = 1;
  }
}

await page.goto(address);

await step("opens the file it was started on", async () => {
  await until("answer", ".");
  assert.equal(await page.getByLabel("Name", { exact: true }).inputValue(), "larch minnow, 90 mm");
  assert.ok((await page.locator("#drawing polygon.hull").getAttribute("points")).split(" ").length > 100);
  await shot("opened");
});

await step("shows a new result on each edit, undoes and redoes it", async () => {
  const before = await text("figures");
  const scale = page.getByLabel("Blank on the scale");
  await scale.fill("9.5 g");
  await page.waitForFunction((was) => document.getElementById("figures").textContent !== was, before);
  const after = await text("figures");
  await page.keyboard.press("Control+z");
  // typing by fill() is one edit
  await page.waitForFunction((was) => document.getElementById("figures").textContent === was, before);
  assert.equal(await scale.inputValue(), "5.6 g");
  await page.keyboard.press("Control+Shift+z");
  await page.waitForFunction((was) => document.getElementById("figures").textContent === was, after);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction((was) => document.getElementById("figures").textContent === was, before);
});

await step("says where an edit cannot be read", async () => {
  const scale = page.getByLabel("Blank on the scale");
  await scale.fill("5.6 bananas");
  await until("message", "body/mass");
  assert.equal(await scale.getAttribute("aria-invalid"), "true");
  await scale.fill("5.6 g");
  await until("message", "^$");
  assert.equal(await scale.getAttribute("aria-invalid"), "false");
});

await step("finds rigs and uses the best", async () => {
  await page.getByRole("button", { name: "Find rigs" }).click();
  await until("fitting", "rigs, best first");
  await page.getByRole("button", { name: "Use rig 1", exact: true }).click();
  await until("answer", "; as it should");
  await shot("rigs");
});

await step("drops rigs when the build they were found for is changed", async () => {
  assert.ok(await page.locator("#rigs li").count() > 0);
  await page.getByLabel("Water temperature").fill("11 C");
  assert.equal(await page.locator("#rigs li").count(), 0);
  await page.getByRole("button", { name: "Undo" }).click();
  await until("answer", "; as it should");
});

await step("swaps a hook and tells what it was before", async () => {
  const hook = page.locator('[data-swap="belly.hook"]');
  const before = await text("answer");
  assert.notEqual(await hook.inputValue(), "none");
  await hook.selectOption("none");
  await until("fitting", "Swapped belly hook");
  assert.ok((await text("fitting")).includes(before));
  await page.getByRole("button", { name: "Undo" }).click();
  await until("answer", "; as it should");
});

await step("saves, keeps the earlier version, and never over another's change", async () => {
  const first = disk("larch-minnow.json");
  await page.keyboard.press("Control+s");
  await until("message", "saved larch-minnow.json");
  assert.notEqual(disk("larch-minnow.json"), first);
  assert.equal(disk("larch-minnow.json~"), first);
  writeFileSync(join(folder, "larch-minnow.json"), first);
  await page.getByRole("button", { name: "Save" }).click();
  await until("message", "changed on the disk");
  assert.equal(disk("larch-minnow.json"), first);
});

await step("starts from a ready body and saves it as a new file", async () => {
  await page.getByLabel("Start from").selectOption("flat-sided body, 70 mm");
  await page.waitForFunction(() => document.querySelector('[data-path="/name"]')?.value === "flat-sided body");
  await until("answer", ".");
  await page.getByRole("button", { name: "Save" }).click();
  await until("message", "saved flat-sided-body.json");
  assert.equal(JSON.parse(disk("flat-sided-body.json")).name, "flat-sided body");
});

await step("takes markup in a name as text", async () => {
  await page.getByLabel("Name", { exact: true }).fill("<img src=x onerror=document.title='caught'>");
  await page.getByRole("button", { name: "Find rigs" }).click();
  await until("fitting", "rig");
  assert.ok(!(await page.title()).includes("caught"));
  assert.equal(await page.locator("main img").count(), 0);
});

await step("every field and button has a name, and the keyboard reaches them", async () => {
  const nameless = await page.evaluate(() => [...document.querySelectorAll("input, select, button")]
    .filter((e) => !(e.labels?.length || e.textContent.trim())).length);
  assert.equal(nameless, 0);
  await page.locator("#ready").focus();
  const seen = new Set();
  for (let i = 0; i < 12; i++) {
    await page.keyboard.press("Tab");
    seen.add(await page.evaluate(() => document.activeElement.id || document.activeElement.dataset.path));
  }
  for (const want of ["files", "filename", "save", "/name", "/body/mass"]) assert.ok(seen.has(want), want);
});

await step("fits a phone and a tablet, in the dark too", async () => {
  for (const [name, width, scheme] of [["phone", 360, "light"], ["tablet", 800, "dark"], ["phone-dark", 360, "dark"]]) {
    await page.setViewportSize({ width, height: 780 });
    await page.emulateMedia({ colorScheme: scheme });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= width, `${name}: ${wide} px wide`);
    await shot(name);
  }
});

await step("turns away a page without the token", async () => {
  const status = await page.evaluate(async () => (await fetch("/api/list", {
    method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" })).status);
  assert.equal(status, 403);
});

// Past the browser, straight at the socket.
const raw = (method, path, headers, body) => new Promise((done, fail) => {
  const r = request(new URL(path, address), { method, headers }, (reply) => {
    reply.resume();
    reply.on("end", () => done(reply));
  });
  r.on("error", fail);
  r.end(body);
});

await step("keeps its guard on the socket", async () => {
  const host = new URL(address).host, token = new URL(address).hash.slice(1);
  const own = { Origin: `http://${host}`, "X-Bench-Token": token, "Content-Type": "application/json" };
  assert.equal((await raw("POST", "/api/list", own, "{}")).statusCode, 200);
  assert.equal((await raw("POST", "/api/list", { ...own, Host: "bench.example" }, "{}")).statusCode, 403);
  assert.equal((await raw("POST", "/api/list", { ...own, Origin: "http://bench.example" }, "{}")).statusCode, 403);
  assert.equal((await raw("POST", "/api/list", own, " ".repeat((1 << 20) + 1))).statusCode, 413);
  const policy = (await raw("GET", "/", {})).headers["content-security-policy"];
  assert.match(policy, /default-src 'none'/);
  assert.doesNotMatch(policy, /unsafe|\*/);
});

await step("loads nothing from elsewhere and throws nothing", async () => {
  assert.deepEqual(outside, []);
  // refusals that the steps above asked for are told on the console by the browser itself
  assert.deepEqual(faults.filter((f) => !/status of (403|409|422)/.test(f)), []);
});

await context.close();
rmSync(profile, { recursive: true, force: true });
console.log(`page in a browser: ${passed} steps passed`);
