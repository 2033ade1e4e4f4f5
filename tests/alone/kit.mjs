// SPDX-License-Identifier: GPL-3.0-or-later
// The same question put to the program, over its sockets, and to the page as one file, under Node.js.
import { spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { Engine } from "../../solver/alone/page/engine.js";
import { Searches } from "../../solver/alone/page/searches.js";

const decode = new TextDecoder();

// A bench on a copy of a folder, with a box and a book of its own. In its answers its root goes by the name that
// the page as one file gives its own.
export async function native(program, from) {
  const root = mkdtempSync(join(tmpdir(), "ballastry-alone-"));
  const folder = join(root, "builds");
  mkdirSync(folder);
  for (const name of readdirSync(from)) cpSync(join(from, name), join(folder, name));
  const child = spawn(program, ["bench", folder, "--no-open"], {
    stdio: ["ignore", "pipe", "inherit"],
    env: { ...process.env, HOME: root, XDG_CONFIG_HOME: join(root, "config"), XDG_DATA_HOME: join(root, "data") },
  });
  const stop = () => {
    child.kill();
    rmSync(root, { recursive: true, force: true });
  };
  process.on("exit", stop);
  const address = await new Promise((done, fail) => {
    let text = "";
    child.stdout.on("data", (chunk) => {
      text += chunk;
      if (text.includes("\n")) done(text.split("\n")[0]);
    });
    child.on("exit", (code) => fail(new Error(`the program ended with ${code}`)));
  });
  const { origin, hash } = new URL(address);
  return {
    pid: child.pid,
    async ask(route, body, units = null) {
      const reply = await fetch(`${origin}/api/${route}`, {
        method: "POST",
        headers: {
          "Content-Type": "application/json",
          Origin: origin,
          "X-Bench-Token": hash.slice(1),
          ...(units ? { "X-Bench-Units": units } : {}),
        },
        body: JSON.stringify(body),
      });
      const pages = Number(reply.headers.get("X-Bench-Pages") ?? 0);
      const bytes = new Uint8Array(await reply.arrayBuffer());
      return { status: reply.status, pages, bytes, text: decode.decode(bytes).replaceAll(root, "/kept") };
    },
    stop,
  };
}

export const filesOf = (from) =>
  new Map(readdirSync(from).map((name) => [`builds/${name}`, new Uint8Array(readFileSync(join(from, name)))]));

export async function alone(built, from) {
  const make = createRequire(import.meta.url)(resolve(built, "ballastry.js"));
  const compiled = await WebAssembly.compile(readFileSync(join(built, "ballastry.wasm")));
  const engine = await Engine.start(make, compiled, filesOf(from));
  const searches = new Searches(engine);
  return {
    engine,
    searches,
    async ask(route, body, units = null) {
      const text = JSON.stringify(body);
      const reply = Searches.routes.has(route) ? await searches.ask(route, units, text) : engine.ask(route, units, text);
      return { ...reply, text: decode.decode(reply.bytes) };
    },
  };
}

// Starts a search and waits for its end.
export async function searched(side, order) {
  const start = await side.ask("fit-start", { page: "test", seconds: 600, ...order });
  if (start.status !== 200) return start;
  const { job } = JSON.parse(start.text);
  for (;;) {
    const look = await side.ask("fit-look", { job, wait_ms: 2000 });
    const tree = JSON.parse(look.text);
    if (tree.state !== "running")
      return { status: look.status, pages: 0, text: JSON.stringify({ ...tree, job: 0, seconds: 0 }) };
  }
}

// Where two texts first differ but for numbers that are zero up to rounding, or alike to `share` of themselves
// or `apart` by so little, in words; null where nowhere.
const NUMBER = /-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?/g;
export function unlike(a, b, zero, share = 0, apart = 0) {
  if (a === b) return null;
  const [wordsA, wordsB] = [a.split(NUMBER), b.split(NUMBER)];
  const [numbersA, numbersB] = [a.match(NUMBER) ?? [], b.match(NUMBER) ?? []];
  for (let i = 0, at = 0; i < Math.max(wordsA.length, wordsB.length); i++) {
    const near = () => `... ${a.slice(Math.max(0, at - 60), at + 60)} ... against ${numbersB[i - 1]} ${wordsB[i]?.slice(0, 30)}`;
    if (wordsA[i] !== wordsB[i]) return near();
    at += wordsA[i].length;
    const [x, y] = [Number(numbersA[i]), Number(numbersB[i])];
    const most = Math.max(Math.abs(x), Math.abs(y));
    if (numbersA[i] !== numbersB[i] && !(most < zero) && !(Math.abs(x - y) <= Math.max(apart, share * most)))
      return `${numbersA[i]} against ${numbersB[i]} ${near()}`;
    at += numbersA[i]?.length ?? 0;
  }
  return null;
}

// The same of two binary STL files, by their volume (divergence theorem): where a slot is sawn, which of two
// triangles gets a corner on its edge is decided by a last bit.
function volume(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  let sum = 0;
  for (let at = 84; at + 50 <= bytes.length; at += 50) {
    const [a, b, c] = [3, 6, 9].map((k) => [0, 1, 2].map((i) => view.getFloat32(at + 4 * (k + i), true)));
    sum +=
      a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return sum / 6;
}
export function unlikeSolids(a, b, share) {
  const [want, got] = [volume(a), volume(b)];
  if (!(want > 0)) return "no solid";
  if (Math.abs(a.length - b.length) > share * 100 * a.length) return `${b.length} bytes, not ${a.length}`;
  return Math.abs(want - got) <= share * want ? null : `${got} mm3, not ${want}`;
}

let passed = 0;
let failed = 0;
export function check(name, fault) {
  if (!fault) passed++;
  else {
    failed++;
    console.log(`FAILED the page as one file: ${name}: ${String(fault).slice(0, 600)}`);
  }
}
export function tally(what) {
  console.log(`${what}: ${passed} passed, ${failed} failed`);
  process.exit(failed === 0 ? 0 : 1);
}
