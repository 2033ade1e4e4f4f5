// SPDX-License-Identifier: GPL-3.0-or-later
// The lure on its line: what the drawer says against what the command says, what is asked, what the
// target asks, what the water teaches; and what is tried where it swims badly.
import {
  assert,
  at,
  begin,
  drawer,
  room,
  serve,
  settled,
  shot,
  soundOf,
  step,
  text,
  until,
  visit,
} from "./kit.mjs";

const context = await room({ colorScheme: "light", reducedMotion: "reduce" });
const file = "finished-minnow.json";
const server = await serve([file, "glued-blank.json", "sinker-swap.json"], file);
const bare = JSON.parse(server.disk(file));
delete bare.seats.tie;
delete bare.fitted.tie;
server.write("no-tie.json", JSON.stringify(bare));
const page = await visit(context, server);
const field = (name) => page.locator(`[data-at=tow-${name}]`);
const count = (selector, n) =>
  page.waitForFunction(([s, many]) => document.querySelectorAll(s).length === many, [selector, n]);
const said = (deg) => String(Math.round(Math.abs(deg)));

await step("says of each speed what the command says", async () => {
  await drawer(page, "Line");
  await count("#line .run", 3);
  const { tow, changes } = server.command("tow", file);
  const runs = await page.locator("#line .run").allTextContents();
  for (const [i, one] of tow.speeds.entries()) {
    const range = one.nose_down_range_deg;
    assert.match(runs[i], new RegExp(`${one.state}.*nose-down ${said(range.nominal)} deg \\(${said(range.said_low)} to `));
    const depth = one.trolled_depth_range_m;
    const words = [depth.nominal, depth.said_low, depth.said_high].map((m) => m.toFixed(1));
    assert.ok(runs[i].includes(`${words[0]} m (${words[1]} to ${words[2]})`), runs[i]);
  }
  const names = await page.locator("#line .towed tbody th").allTextContents();
  assert.deepEqual(names, changes.map((change) => change.change));
  assert.match(await page.locator("#line .hint").first().textContent(), /an estimate .* never checked against a lure on a line/);
  await shot(page, "line-wide", { fullPage: true });
});

await step("draws the line with the range of its depth, at the speed that is chosen", async () => {
  const label = () => page.locator("#line .on-line").getAttribute("aria-label");
  const one = await label();
  assert.match(one, /trolled .* deep/);
  assert.ok(await page.locator("#line .on-line .band").count());
  assert.ok(await page.locator("#line .runs path").count());
  await page.getByRole("radio", { name: "0.50 m/s" }).check();
  await page.waitForFunction((old) => document.querySelector("#line .on-line").getAttribute("aria-label") !== old, one);
});

await step("takes speeds, line and rod by the keyboard alone, and tells a fault at its field", async () => {
  await page.locator("#tab-line").focus();
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.dataset.at), "tow-speeds");
  await page.keyboard.type("0.4, 0.8 m/s");
  await page.keyboard.press("Tab");
  await page.keyboard.type("20 m of 0.20 mm");
  await count("#line .run", 2);
  await until(page, "#line .run h4", "At 0.40 m/s");
  const args = ["--speed", "0.4 m/s", "--speed", "0.8 m/s", "--line", "20 m of 0.20 mm"];
  const { tow } = server.command("tow", file, ...args);
  const depth = tow.speeds[1].trolled_depth_range_m.nominal.toFixed(1);
  await page.waitForFunction(
    (words) => document.querySelectorAll("#line .run")[1].textContent.includes(words),
    `Trolled depth${depth} m`,
  );
  await field("speeds").fill("fast");
  await page.waitForSelector("[data-at=tow-speeds][aria-invalid=true]");
  assert.ok(await page.locator("#line .fault").first().isVisible());
  for (const name of ["speeds", "line"]) await field(name).fill("");
  await count("#line .run", 3);
});

await step("lets the target ask for the line, and says what comes of it", async () => {
  await page.getByRole("button", { name: "Ask for it", exact: true }).click();
  await settled(page);
  await until(page, "#line .towed", "What the target asks");
  await count("#line .run", 1); // at the target's speed
  await at(page, "/target/tow/depth/0").fill("4 m");
  await settled(page);
  await until(page, "#line .wished", "misses on the line: trolled it runs .* wanted at least 4.0 m");
  await at(page, "/target/tow/speed").fill("soon");
  await page.waitForSelector('[data-path="/target/tow/speed"][aria-invalid=true]');
  await page.keyboard.press("Control+z");
  await settled(page);
  await page.getByRole("button", { name: "Ask for nothing on the line" }).click();
  await settled(page);
  await count("#line .run", 3);
});

await step("learns from the water, with the day, and keeps what was seen as words", async () => {
  const water = page.locator("#water-back");
  await water.locator(".reading input").first().fill("1.3 m at 1 m/s");
  await page.locator("[data-at=water-saw]").fill("rolls over at about 1.8 m/s");
  await water.locator("input[type=date]").fill("2031-04-30");
  await page.locator("#water-teach").click();
  await until(page, "#water-back .lesson", "the lip's force.*was 1.00");
  await shot(page, "line-water", { fullPage: true });
  await water.getByRole("button", { name: "Keep a book of them" }).click();
  await water.locator("[data-at=keep-lure]").waitFor();
  assert.equal(server.command("book").lures.length, 0); // nothing before it is taken
  await page.locator("#water-take").click();
  await settled(page);
  await until(page, "#water-back", "Read before.*2031-04-30: trolled depth 1.3 m");
  await until(page, "#water-back .lesson", "In your book as .*, on the line");
  const { lures, seen } = server.command("book");
  assert.match(lures[0].lure, /, on the line$/);
  assert.equal(seen.length, 1);
  await until(page, "#water-back", "Seen before.*2031-04-30: rolls over at about 1.8 m/s");
  await page.locator("#save").click();
  await until(page, "#kept", "^saved$");
  const kept = JSON.parse(server.disk(file));
  assert.deepEqual(kept.seen, ["2031-04-30: rolls over at about 1.8 m/s"]);
  assert.match(kept.learnt.tow.read[0], /^2031-04-30: trolled depth 1.3 m at 1.0 m\/s, 30 m of 0.30 mm$/);
  const { from_water } = server.command("tow", "glued-blank.json", "--ran-deep", "1.3 m at 1 m/s");
  assert.ok(from_water);
});

await step("keeps nothing of readings that cannot be true, and says which field is wrong", async () => {
  const reading = page.locator("#water-back .reading input").first();
  await reading.fill("9 m at 1 m/s");
  await page.locator("#water-teach").click();
  await until(page, "#water-back .lesson", "cannot all be true");
  assert.equal(await page.locator("#water-take").count(), 0);
  await reading.fill("1.3 m");
  await page.locator("#water-teach").click();
  await page.waitForSelector("#water-back .reading [aria-invalid=true]");
  await reading.fill("");
});

await step("works out what makers try against what was seen, and promises nothing", async () => {
  await drawer(page, "Cures");
  await page.getByRole("radio", { name: /^porpoises/ }).check();
  const porpoises = server.command("tow", file, "--cures", "porpoises").cures;
  await count("#cures .tries > li", porpoises.tries.length);
  const shown = await page.locator("#cures .tries > li").allTextContents();
  for (const [i, one] of porpoises.tries.entries()) {
    assert.ok(shown[i].startsWith(one.change), shown[i]);
    assert.equal(/not on this lure/.test(shown[i]), !one.possible, shown[i]);
  }
  await until(page, "#cures", "common practice, no source");
  await until(page, "#cures", "Seen of it before.*rolls over at about 1.8 m/s");
  await shot(page, "cures-wide", { fullPage: true });
  await page.keyboard.press("ArrowDown"); // the next of the two
  const rolls = server.command("tow", file, "--cures", "rolls-over").cures;
  await count("#cures .tries > li", rolls.tries.length);
});

await step("speaks feet and ounces on the line too", async () => {
  await drawer(page, "Line");
  await page.locator("#units").selectOption("inch");
  await until(page, "#line .towed", "At 1.6 ft/s.* ft .*oz");
  await page.locator("#units").selectOption("metric");
  await until(page, "#line .towed", "At 0.50 m/s");
});

await step("forgets the lure that was left; one without a tie is told so", async () => {
  await begin(page, "sinker-swap.json");
  await until(page, "#line .run", "runs|Runs");
  assert.doesNotMatch(await text(page, "#water-back"), /Read before/);
  await begin(page, "no-tie.json");
  await until(page, "#line .towed", "line tie");
  await begin(page, file);
});

await step("fits 320 px in both drawers, and axe finds nothing serious, light and dark", async () => {
  for (const [width, colorScheme] of [
    [320, "light"],
    [1280, "dark"],
  ]) {
    await page.setViewportSize({ width, height: 800 });
    await page.emulateMedia({ colorScheme });
    for (const [name, ready] of [
      ["Line", "#line .on-line"],
      ["Cures", "#cures .tries > li"],
    ]) {
      await drawer(page, name);
      await page.waitForSelector(ready);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= width, `${name}: ${wide} px wide`);
      await soundOf(page, `${name}, ${width} px`, "[role=tabpanel]:not([hidden])");
      await shot(page, `${name.toLowerCase()}-${width}-${colorScheme}`, { fullPage: true });
    }
  }
});

await context.close();
await server.stop();
