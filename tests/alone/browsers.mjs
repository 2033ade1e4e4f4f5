// SPDX-License-Identifier: GPL-3.0-or-later
// Two browsers behind one small face: tabs that go to an address, run a function in the page and wait for one.
// Chromium by playwright-core; Firefox by its own Marionette, for which a socket is enough.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

const PATIENCE = Number(process.env.PATIENCE ?? 120000); // ms
const STORE = 20480; // KB that Firefox keeps for all pages together; one of them gets 10 MB of it
const sleep = (ms) => new Promise((done) => setTimeout(done, ms));

// waits until the function says something true
const said = () => ["message", "kept", "headline", "verdict", "fitting", "filename"].map((id) => document.getElementById(id)?.value ?? document.getElementById(id)?.textContent).join(" | ");
async function waited(run, fn, args) {
  const end = Date.now() + PATIENCE;
  for (;;) {
    const value = await run(fn, ...args);
    if (value) return value;
    if (Date.now() > end) throw new Error(`never so: ${String(fn).slice(0, 160)} ${JSON.stringify(args).slice(0, 300)}; the page says: ${await run(said)}`);
    await sleep(100);
  }
}

export async function chromium(modules, options = {}) {
  const { chromium: kind } = createRequire(`${modules}/`)("playwright-core");
  const browser = await kind.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    headless: true,
    args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"],
  });
  const asked = [];
  const faults = [];
  // A profile of its own, with no network.
  async function profile() {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, ...options });
    context.setDefaultTimeout(PATIENCE);
    await context.setOffline(true);
    context.on("request", (request) => asked.push(request.url()));
    context.on("weberror", (error) => faults.push(error.error().stack || String(error.error())));
    context.on("console", (line) => line.type() === "error" && faults.push(`${line.text()} ${line.location().url}`));
    return context;
  }
  async function tabIn(context) {
    const page = await context.newPage();
    const run = (fn, ...args) => page.evaluate(`(${fn})(...${JSON.stringify(args)})`);
    let session = null;
    return {
      page,
      run,
      // How many bytes the browser lets all pages from disk keep; undefined: as ever. Once a page has written it
      // asks anew only after half a minute or so.
      async room(quotaSize) {
        session ??= await context.newCDPSession(page);
        await session.send("Storage.overrideQuotaForOrigin", { origin: "file:///", quotaSize });
      },
      goto: (url) => page.goto(url),
      reload: () => page.reload(),
      wait: (fn, ...args) => waited(run, fn, args),
      close: () => page.close(),
    };
  }
  const context = await profile();
  return {
    name: "Chromium",
    asked,
    faults,
    context,
    tab: () => tabIn(context),
    fresh: async () => tabIn(await profile()),
    end: () => browser.close(),
  };
}

// Packets are LENGTH:JSON; a command is [0, number, name, parameters], an answer [1, number, error, result].
class Marionette {
  #socket;
  #waiting = new Map();
  #number = 0;
  #buffer = Buffer.alloc(0);

  constructor(socket) {
    this.#socket = socket;
    socket.on("data", (chunk) => {
      this.#buffer = Buffer.concat([this.#buffer, chunk]);
      while (this.#take());
    });
  }

  #take() {
    const colon = this.#buffer.indexOf(":");
    const length = Number(this.#buffer.subarray(0, colon));
    if (colon < 0 || this.#buffer.length < colon + 1 + length) return false;
    const packet = JSON.parse(this.#buffer.subarray(colon + 1, colon + 1 + length));
    this.#buffer = this.#buffer.subarray(colon + 1 + length);
    if (Array.isArray(packet)) {
      const [, number, error, result] = packet;
      const { done, fail } = this.#waiting.get(number);
      this.#waiting.delete(number);
      if (error) fail(new Error(`${error.error}: ${error.message}`));
      else done(result);
    }
    return true;
  }

  ask(name, parameters = {}) {
    return new Promise((done, fail) => {
      const number = ++this.#number;
      const packet = JSON.stringify([0, number, name, parameters]);
      this.#waiting.set(number, { done, fail });
      this.#socket.write(`${Buffer.byteLength(packet)}:${packet}`);
    });
  }
}

export async function firefox(program) {
  const profile = mkdtempSync(join(tmpdir(), "ballastry-firefox-"));
  const port = 20000 + (process.pid % 20000);
  writeFileSync(
    join(profile, "user.js"),
    [
      ["marionette.port", port],
      ["network.proxy.type", 1], // nothing of the network can be reached
      ["network.proxy.http", "127.0.0.1"],
      ["network.proxy.http_port", 9],
      ["network.proxy.ssl", "127.0.0.1"],
      ["network.proxy.ssl_port", 9],
      ["dom.quotaManager.temporaryStorage.fixedLimit", STORE],
      ["browser.shell.checkDefaultBrowser", false],
      ["dom.disable_beforeunload", true],
    ]
      .map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`)
      .join(""),
  );
  const child = spawn(program, ["--headless", "--marionette", "--no-remote", "--profile", profile], {
    stdio: "ignore",
    env: { ...process.env, HOME: profile },
  });
  let socket = null;
  for (let i = 0; socket === null && i < 300; i++) {
    await sleep(200);
    socket = await new Promise((done) => {
      const tried = connect(port, "127.0.0.1", () => done(tried));
      tried.on("error", () => done(null));
    });
  }
  if (socket === null) throw new Error("firefox does not answer");
  const wire = new Marionette(socket);
  await wire.ask("WebDriver:NewSession", { capabilities: { alwaysMatch: {} } });
  await wire.ask("WebDriver:SetTimeouts", { script: PATIENCE, pageLoad: PATIENCE });
  let first = true;
  return {
    name: "Firefox",
    asked: [],
    faults: [],
    async tab() {
      let handle = (await wire.ask("WebDriver:GetWindowHandle")).value;
      if (!first) handle = (await wire.ask("WebDriver:NewWindow", { type: "tab" })).handle;
      first = false;
      const here = () => wire.ask("WebDriver:SwitchToWindow", { handle, focus: true });
      const run = async (fn, ...args) => {
        await here();
        const script = `return window.eval ? (${fn})(...arguments) : null`;
        return (await wire.ask("WebDriver:ExecuteScript", { script, args, sandbox: null })).value;
      };
      return {
        run,
        goto: async (url) => (await here(), wire.ask("WebDriver:Navigate", { url })),
        reload: async () => (await here(), wire.ask("WebDriver:Refresh")),
        wait: (fn, ...args) => waited(run, fn, args),
        close: async () => {
          await here();
          await wire.ask("WebDriver:CloseWindow");
          const [left] = await wire.ask("WebDriver:GetWindowHandles");
          await wire.ask("WebDriver:SwitchToWindow", { handle: left });
        },
      };
    },
    async end() {
      await Promise.race([wire.ask("Marionette:Quit", { flags: ["eForceQuit"] }).catch(() => {}), sleep(5000)]);
      child.kill();
      await sleep(300);
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}
