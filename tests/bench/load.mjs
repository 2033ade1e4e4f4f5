// SPDX-License-Identifier: GPL-3.0-or-later
// How long a browser takes from opening the page as one file, from disk and in a profile that has never seen it,
// to the first figure; by the page's own clock, which starts where the opening does. By itself:
//   node tests/bench/load.mjs .build/page/node_modules .build/alone/ballastry.html [TIMES]
import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import * as browsers from "../alone/browsers.mjs";

const there = (program) => {
  try {
    execFileSync("sh", ["-c", `command -v ${program}`], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
};

const figure = () => (document.getElementById("headline")?.textContent ? performance.now() : 0);

async function inChromium(modules, address) {
  const browser = await browsers.chromium(modules);
  await browser.context.addInitScript(() => {
    const look = () => {
      if (document.getElementById("headline")?.textContent) window.firstFigure = performance.now();
      else setTimeout(look, 5);
    };
    look();
  });
  const tab = await browser.tab();
  await tab.goto(address);
  const took = await tab.wait(() => window.firstFigure ?? 0);
  await browser.end();
  return took;
}

// Asked over and over: a little late rather than early.
async function inFirefox(address) {
  const browser = await browsers.firefox("firefox-esr");
  const tab = await browser.tab();
  await tab.goto(address);
  let took = 0;
  while (took === 0) took = await tab.run(figure);
  await browser.end();
  return took;
}

// [browser's name, ms of each turn in rising order]; turns is empty where the browser is not there.
export async function loads(modules, file, times) {
  const address = pathToFileURL(resolve(file)).href;
  const kinds = [
    ["Chromium", existsSync(`${modules}/playwright-core`) && there(process.env.CHROMIUM || "/usr/bin/chromium"), () => inChromium(resolve(modules), address)],
    ["Firefox", there("firefox-esr"), () => inFirefox(address)],
  ];
  const found = [];
  for (const [name, has, once] of kinds) {
    const turns = [];
    for (let i = 0; has && i < times; i++) turns.push(await once());
    found.push([name, turns.toSorted((a, b) => a - b)]);
  }
  return found;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [modules, file, times = "5"] = process.argv.slice(2);
  for (const [name, turns] of await loads(modules, file, Number(times)))
    console.log(`${name}: ${turns.length === 0 ? "not installed" : `median ${turns[turns.length >> 1].toFixed(0)} ms of ${turns.map((ms) => ms.toFixed(0)).join(" ")}`}`);
  process.exit(0);
}
