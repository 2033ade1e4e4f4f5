// SPDX-License-Identifier: GPL-3.0-or-later
// Sliders with curves beside the lure: each point is what the command says of the build so changed, and an
// edit's own answer is not kept waiting by them.
import { assert, at, axeSource, drawer, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["sinker-swap.json"], "sinker-swap.json");

const curvesDone = (page, count) =>
  page.waitForFunction((n) => (document.querySelector("#what-if .curve .line")?.getAttribute("d").match(/[ML]/g) ?? []).length === n, count);

async function slideTo(page, i) {
  await page.locator("#what-if input[type=range]").focus();
  await page.keyboard.press("Home");
  for (let k = 0; k < i; k++) await page.keyboard.press("ArrowRight");
}

await step("weight and speed over the water's temperature are the command's, at each value", async () => {
  const page = await visit(context, server);
  const own = await text(page, "#headline");
  await page.getByText("What if …").click();
  await curvesDone(page, 15);
  for (const [i, c] of [
    [0, 2],
    [7, 16],
    [14, 30],
  ]) {
    const build = JSON.parse(server.disk("sinker-swap.json"));
    build.water = { ...build.water, temperature: `${c} C` };
    server.write("at.json", JSON.stringify(build));
    const { outcome } = server.command("rest", "at.json");
    await slideTo(page, i);
    await until(page, "#what-if .words", `^${c} C: weight`);
    const said = /water ([+−-]?[\d.]+) (mg|g), ([\d.]+) cm\/s (up|down)/.exec(await text(page, "#what-if .words"));
    const weight = parseFloat(said[1].replace("−", "-")) * (said[2] === "mg" ? 1e-3 : 1);
    assert.ok(Math.abs(weight - outcome.net_weight_g) < 0.006, `${c} C: ${weight} is not ${outcome.net_weight_g}`);
    assert.ok(Math.abs(10 * parseFloat(said[3]) * (said[4] === "up" ? -1 : 1) - outcome.drift_mm_s) < 0.6);
    await until(page, "#headline", `^At ${c} C:`);
  }
  await shot(page, "what-if-wide");
  await page.locator("#filename").focus(); // looked away: the lure as it is
  await page.waitForFunction((words) => document.querySelector("#headline").textContent === words, own);
  await until(page, "#kept", "^saved$"); // nothing was changed by looking
  await page.close();
});

await step("is taken by a button, as one step of undo", async () => {
  const page = await visit(context, server);
  await page.getByText("What if …").click();
  await curvesDone(page, 15);
  await page.locator("#what-if select").selectOption({ label: "the weight of the hook at belly" });
  await curvesDone(page, 13);
  await slideTo(page, 12);
  await page.getByRole("button", { name: "Make it so" }).click();
  await settled(page);
  await drawer(page, "Parts");
  const weighs = at(page, "/fitted/belly/hook/mass");
  assert.match(await weighs.inputValue(), /^[\d.]+ g$/);
  await page.keyboard.press("Control+z");
  await settled(page);
  assert.equal(await weighs.inputValue(), "");
  await page.close();
});

await step("an edit is answered before the curves, and they follow it", async () => {
  const page = await visit(context, server);
  await page.getByText("What if …").click();
  await curvesDone(page, 15);
  const asked = [];
  page.on("request", (request) => request.method() === "POST" && asked.push(request.url().split("/").pop()));
  await at(page, "/body/mass").fill("9 g");
  await settled(page);
  const first = asked.filter((route) => route === "rest" || route === "along");
  assert.equal(first[0], "rest");
  assert.ok(!first.includes("along"), first.join());
  await page.waitForFunction(() => document.querySelector("#what-if.stale-curves") === null);
  await curvesDone(page, 15);
  await page.close();
});

await step("what-if fits a phone, light and dark, and axe finds nothing serious", async () => {
  const page = await visit(context, server);
  await page.setViewportSize({ width: 320, height: 720 });
  await page.getByText("What if …").click();
  await curvesDone(page, 15);
  await page.locator("#what-if").scrollIntoViewIfNeeded();
  await shot(page, "what-if-phone");
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
  if (axeSource !== null) {
    await page.evaluate(axeSource);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      const found = await page.evaluate(async () => {
        const { violations } = await axe.run("#figures", { resultTypes: ["violations"] });
        return violations.filter((v) => v.impact === "serious" || v.impact === "critical").map((v) => `${v.id} ${v.nodes[0].html}`);
      });
      assert.deepEqual(found, []);
    }
  }
  await page.close();
});

await context.close();
await server.stop();
