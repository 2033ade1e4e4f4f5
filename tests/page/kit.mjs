// SPDX-License-Identifier: GPL-3.0-or-later
// What the page's tests share: the program on a folder of its own, one Chromium that can reach
// nothing but it, and small helpers. A step that fails is told and the next one goes on.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const [modules, program, shots] = process.argv.slice(2);
const own = createRequire(`${modules}/`);
export const axeSource = existsSync(join(modules, "axe-core"))
  ? readFileSync(own.resolve("axe-core/axe.min.js"), "utf8")
  : null;

const scratch = mkdtempSync(join(tmpdir(), "ballastry-page-"));
process.on("exit", () => rmSync(scratch, { recursive: true, force: true }));

// ---- the program ----

// Serves a new folder with these examples; start: the file to open, or "" for the folder.
export const serve = (examples, start = "", ...options) => serveBy([program], examples, start, ...options);

// The same on a disk that takes no more bytes.
export const serveWithoutRoom = (examples, start = "") =>
  serveBy(["bash", "-c", `trap '' XFSZ; ulimit -f 0; exec "$0" "$@"`, program], examples, start);

// The same folder once more, after the program ended.
export const serveAgain = ({ folder, start }) => serveIn([program], folder, start);

function serveBy(words, examples, start, ...options) {
  const folder = mkdtempSync(join(scratch, "builds-"));
  for (const name of examples) cpSync(join("examples", name), join(folder, name));
  return serveIn(words, folder, start, ...options);
}

async function serveIn([first, ...words], folder, start, ...options) {
  // A book and a box of whoever runs the tests are no part of them.
  const env = { ...process.env, XDG_DATA_HOME: join(folder, ".data"), XDG_CONFIG_HOME: join(folder, ".config") };
  const child = spawn(first, [...words, "bench", join(folder, start), "--no-open", ...options], {
    stdio: ["ignore", "pipe", "inherit"],
    env,
  });
  const address = await new Promise((done, fail) => {
    let text = "";
    child.stdout.on("data", (chunk) => {
      text += chunk;
      if (text.includes("\n")) done(text.split("\n")[0]);
    });
    child.on("exit", (code) => fail(new Error(`the program ended with ${code}`)));
  });
  const over = new Promise((done) => child.on("exit", done));
  const disk = (name) => readFileSync(join(folder, name), "utf8");
  const command = (...args) =>
    JSON.parse(execFileSync(program, [...args, "--json"], { cwd: folder, encoding: "utf8", env }));
  return {
    address,
    folder,
    start,
    disk,
    command,
    write: (name, text) => writeFileSync(join(folder, name), text),
    stop(signal = "SIGTERM") {
      child.kill(signal);
      return over;
    },
  };
}

// ---- the browser ----

const { chromium } = own("playwright-core");
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  headless: true,
  args: [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
  ],
});

export const outside = []; // requests that left the loopback
export const faults = []; // what went wrong inside the page

export async function room(options = {}) {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    acceptDownloads: true,
    ...options,
  });
  context.setDefaultTimeout(120000);
  context.on(
    "request",
    (request) =>
      /^(http:\/\/127\.0\.0\.1:|blob:http:\/\/127\.0\.0\.1:)/.test(request.url()) ||
      outside.push(request.url()),
  );
  context.on("weberror", (error) => faults.push(error.error().stack));
  // A refusal is also told on the console, by the browser itself.
  context.on(
    "console",
    (line) =>
      line.type() === "error" &&
      !/status of (403|404|409|422|507)|ERR_CONNECTION_(REFUSED|RESET)/.test(line.text()) &&
      faults.push(line.text()),
  );
  return context;
}

export async function visit(context, server) {
  const page = await context.newPage();
  await page.goto(server.address);
  await settled(page);
  return page;
}

export async function close() {
  await browser.close();
}

// ---- looking and waiting ----

export const text = (page, selector) => page.locator(selector).textContent();
export const drawer = (page, name) => page.getByRole("tab", { name }).click();
export const at = (page, path) => page.locator(`[data-path="${path}"]`).first();

// Nothing is asked any more and the newest answer is shown.
export const settled = (page) => page.waitForSelector("#lies[aria-busy=false]");

// pattern: a regular expression, or its source
export async function until(page, selector, pattern) {
  const source = pattern instanceof RegExp ? pattern.source : pattern;
  try {
    await page.waitForFunction(
      ([s, p]) => new RegExp(p).test(document.querySelector(s)?.textContent ?? ""),
      [selector, source],
    );
  } catch (error) {
    const says = await Promise.all([selector, "#message"].map((s) => text(page, s).catch(() => "nothing")));
    throw new Error(`${selector} says "${says[0]}", not ${pattern}; the page says "${says[1]}"`, { cause: error });
  }
}

// The program's words as the page has them: with the parts' names for their ids, longest first.
export function named(server, words) {
  const parts = server.command("catalog").parts.sort((a, b) => b.id.length - a.id.length);
  return words.replace(/[A-Za-z0-9][A-Za-z0-9_.-]*[A-Za-z0-9]/g, (word) => parts.find(({ id }) => id === word)?.name ?? word);
}

// Opens the choice of what to begin with, and takes what has this name.
export async function begin(page, name, { opens = true } = {}) {
  await page.getByRole("button", { name: "Begin…" }).click();
  await page.getByRole("heading", { name: "Begin with" }).waitFor();
  // Of a file with a draft the file itself, which stands below.
  if (name) await page.getByRole("button", { name, exact: true }).last().click();
  if (opens && name?.endsWith(".json")) {
    await chosen(page);
    assert.equal(await page.locator("#filename").inputValue(), name);
  }
}

// What was chosen in the dialog is there, and answered.
export async function chosen(page) {
  await page.waitForSelector("dialog.begin", { state: "hidden" });
  await settled(page);
}

export async function fill(page, path, value) {
  await at(page, path).fill(value);
  await settled(page);
}

// Drags the middle of an element by so many pixels, in steps.
export async function drag(page, locator, dx, dy) {
  await locator.scrollIntoViewIfNeeded();
  const box = await locator.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 8; i++) await page.mouse.move(x + (dx * i) / 8, y + (dy * i) / 8);
  await page.mouse.up();
  await settled(page);
}

export async function shot(page, name, options = {}) {
  if (!shots) return;
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), animations: "disabled", ...options });
}

// A fault of contrast or of naming counts when axe calls it serious or critical.
export async function soundOf(page, state, within = "html") {
  if (axeSource === null) return;
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axeSource);
  const found = await page.evaluate(async (selector) => {
    const { violations } = await axe.run(selector, { resultTypes: ["violations"] });
    return violations
      .filter((v) => v.impact === "serious" || v.impact === "critical")
      .map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(" | ")}`);
  }, within);
  assert.deepEqual(found, [], state);
}

// ---- steps ----

let passed = 0;
let failed = 0;
export async function step(name, work) {
  const since = Date.now();
  try {
    await work();
    passed++;
    if (process.env.TIMES) console.log(`${((Date.now() - since) / 1000).toFixed(1)} s ${name}`);
  } catch (error) {
    console.log(`FAILED page in a browser: ${name}: ${error.stack}`);
    failed++;
    process.exitCode = 1;
  }
}

export const tally = () => ({ passed, failed });
export { assert };
