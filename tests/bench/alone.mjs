// SPDX-License-Identifier: GPL-3.0-or-later
// The page as one file beside the program: rows of docs/speed.md. CPU time of the same routes, the program's as
// /proc tells it; sizes, memory, and how long browsers take to the first figure (load.mjs). Arguments: the program,
// where the file was built, node modules.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { alone, native, searched } from "../alone/kit.mjs";
import { loads } from "./load.mjs";

const [program, built, modules] = process.argv.slice(2);
const TIMES = 7;
const TICK = 1000 / Number(execFileSync("getconf", ["CLK_TCK"], { encoding: "utf8" }));
const there = await native(program, "examples");
const here = await alone(built, "examples");
const ticks = () => {
  const words = readFileSync(`/proc/${there.pid}/stat`, "utf8").split(") ")[1].split(" ");
  return (Number(words[11]) + Number(words[12])) * TICK;
};
const own = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
const median = (list) => list.toSorted((a, b) => a - b)[list.length >> 1];
const time = (ms) => (ms < 999.5 ? `${ms.toPrecision(3)} ms` : `${(ms / 1000).toPrecision(3)} s`);
const row = (...cells) => console.log(`| ${cells.join(" | ")} |`);

// CPU time of each turn, in ms.
async function turns(clock, work, times) {
  const took = [];
  for (let i = 0; i < times; i++) {
    const since = clock();
    await work();
    took.push(clock() - since);
  }
  return took;
}

async function compare(what, work, each, target) {
  const want = median(await turns(ticks, () => work(there), TIMES)) / each;
  const got = await turns(own, () => work(here), TIMES);
  const again = median(got.slice(2)) / each;
  const ratio = again / want;
  row(
    what,
    time(want),
    time(got[0] / each),
    time(again),
    ratio.toFixed(2),
    target ? `${target}: ${ratio <= target ? "met" : `missed by ${Math.round(100 * (ratio / target - 1))} %`}` : "none set",
  );
}

row("route", "program", "file, the first time", "file, warm", "ratio", "target");
row("---", "---", "---", "---", "---", "---");
for (const name of ["larch-minnow", "board-lip", "cedar-floater", "too-light"]) {
  const build = readFileSync(`examples/${name}.json`, "utf8");
  const EACH = 20;
  const rests = async (side) => {
    for (let i = 0; i < EACH; i++) await side.ask("rest", { build });
  };
  await compare(`\`rest\` of ${name}`, rests, EACH, null);
  await compare(`\`fit\` of ${name}`, (side) => searched(side, { build }), 1, 1.5);
}
const most = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${there.pid}/status`, "utf8"))[1];
there.stop();

const file = `${built}/ballastry.html`;
const bytes = readFileSync(file);
const program_bytes = readFileSync(`${built}/ballastry.wasm`);
const MB = 1e6;
const size = (count) => `${(count / MB).toFixed(2)} MB`;
console.log();
row("what", "measured", "target");
row("---", "---", "---");
row("the file", size(bytes.length), `1.5 MB: ${bytes.length <= 1.5 * MB ? "met" : "missed"}`);
row("the file, gzip", size(gzipSync(bytes, { level: 9 }).length), "none set");
row("the program in it, unpacked", size(program_bytes.length), "none set");
row("the same, gzip and brotli", `${size(gzipSync(program_bytes, { level: 9 }).length)}, ${size(brotliCompressSync(program_bytes).length)}`, "none set");
row("memory of one worker after these searches, and the program's at most", `${Math.round(here.engine.memory / 2 ** 20)} MiB, ${Math.round(most / 1024)} MiB`, "none set");
for (const [name, turns] of await loads(modules, file, 5)) {
  const what = `${name}, from opening the file to the first figure, median (worst) of 5`;
  if (turns.length === 0) row(what, "not installed", "1 s");
  else {
    const [half, worst] = [turns[turns.length >> 1], turns.at(-1)].map((ms) => ms / 1000);
    row(what, `${half.toFixed(2)} s (${worst.toFixed(2)} s)`, `1 s: ${half <= 1 ? "met" : `missed by ${Math.round(100 * (half - 1))} %`}`);
  }
}
process.exit(0);
