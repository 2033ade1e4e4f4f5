// SPDX-License-Identifier: GPL-3.0-or-later
// The three uses of README, end to end in the browser. What the page shows is held against what
// the command line prints for the file that the page saved.
import { assert, at, begin, drawer, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const close = (actual, expected, slack) =>
  assert.ok(Math.abs(actual - expected) <= slack, `${actual} is not ${expected} +- ${slack}`);
const shown = async (page, name) =>
  page.locator("#rows dt", { hasText: name }).locator("xpath=following-sibling::dd").textContent();
// "11.64 g", "+40 mg", "rising 0.30 cm/s ..", "nose-up 7.1 deg": the number as the page shows it, in g,
// mm/s or deg.
const factor = { g: 1, mg: 1e-3, "cm/s": 10, "mm/s": 1, mm: 1, deg: 1 };
function figure(words) {
  const m = /([+−-]?)(\d+(?:\.\d+)?) (mg|g|cm\/s|mm\/s|mm|deg)/.exec(words);
  assert.ok(m, words);
  const up = words.startsWith("rising") || words.startsWith("nose-up");
  const sign = (m[1] === "-" || m[1] === "−" ? -1 : 1) * (up ? -1 : 1);
  return {
    value: sign * Number(m[2]) * factor[m[3]],
    slack: 0.51 * factor[m[3]] * 10 ** -(m[2].split(".")[1]?.length ?? 0),
  };
}

// The page's figures are those of `ballastry rest` on the saved file, to the digits shown.
async function sameAsCommand(page, server, name) {
  const { outcome } = server.command("rest", name);
  for (const [row, value] of [
    ["Whole lure weighs", outcome.mass_g],
    ["Weight in water", outcome.net_weight_g],
    [outcome.surface ? "Pushed under" : "Speed", outcome.drift_mm_s],
    [outcome.surface ? "On its way up" : "Lies", outcome.nose_down_deg],
    ["Roll arm", outcome.roll_arm_mm],
  ]) {
    const said = await shown(page, row);
    const { value: seen, slack } = figure(row === "Pushed under" ? `rising ${said}` : said);
    close(seen, value, slack);
  }
  return outcome;
}

async function save(page, server, name) {
  await page.locator("#save").click();
  await until(page, "#kept", `Saved as ${name}`);
}

const server = await serve(["larch-minnow.json", "board-lip.json", "sinker-swap.json"], "larch-minnow.json");

await step("finds hardware that makes a lure suspend, and saves it", async () => {
  const page = await visit(context, server);
  assert.equal(await at(page, "/name").inputValue(), "larch minnow, 90 mm");
  await until(page, "#verdict", /not yet/);
  await drawer(page, "Rigs");
  await page.locator("#fit").click();
  await until(page, "#fitting", "rigs, the surest");
  await shot(page, "wide-rigs");
  await page.getByRole("button", { name: "Take rig 1", exact: true }).click();
  await settled(page);
  await until(page, "#verdict", /^as it should|trimmed in the tank/); // it may be light by design
  await save(page, server, "larch-minnow.json");
  await sameAsCommand(page, server, "larch-minnow.json");
  const { tests, chance_after_tests } = server.command("rest", "larch-minnow.json").reserve;
  assert.ok(chance_after_tests[tests] > 0.5);
  // the earlier version is kept, and the command finds the same best rig for it
  assert.equal(JSON.parse(server.disk("larch-minnow.json~")).fitted.belly, undefined);
  const best = server.command("fit", "larch-minnow.json~", "--rigs", "1").rigs[0].parts;
  const { fitted } = JSON.parse(server.disk("larch-minnow.json"));
  for (const [seat, on] of Object.entries(best))
    for (const [kind, id] of Object.entries(on))
      if (typeof id === "string") assert.equal(fitted[seat][kind], id);
  await drawer(page, "Body");
  await shot(page, "wide-suspends");
  await page.setViewportSize({ width: 1060, height: 690 }); // the pictures of docs/bench.md
  await shot(page, "bench-wide");
  await page.setViewportSize({ width: 390, height: 690 });
  await drawer(page, "Target");
  await shot(page, "bench-phone");
  await page.close();
});

await step("uses a metal lip as the only ballast", async () => {
  const page = await visit(context, server);
  await begin(page, "board-lip.json");
  await until(page, "#kept", "saved");
  await settled(page);
  await drawer(page, "Rigs");
  await page.locator("#fit").click();
  await until(page, "#fitting", "[Rr]ig");
  await until(page, "#rigs", "Take rig 1");
  const before = JSON.parse(server.disk("board-lip.json"));
  // The surest is off by design; the nearest on paper is as it should be before any test.
  await until(page, "#rigs", "by design");
  const nearest = /Nearest on paper: rig (\d+)/.exec(await text(page, "#fitting"))[1];
  await page.getByRole("button", { name: `Take rig ${nearest}`, exact: true }).click();
  await settled(page);
  await until(page, "#verdict", /^as it should/);
  await save(page, server, "board-lip.json");
  await sameAsCommand(page, server, "board-lip.json");
  const after = JSON.parse(server.disk("board-lip.json"));
  assert.ok(after.fitted.lip.sheet && after.fitted.lip.outline && after.fitted.lip.length);
  for (const seat of ["tie", "belly", "tail"])
    for (const [kind, id] of Object.entries(before.fitted[seat])) assert.equal(after.fitted[seat][kind], id);
  await page.close();
});

await step("knows what swapping hooks does, before and after side by side", async () => {
  const page = await visit(context, server);
  await begin(page, "sinker-swap.json");
  await until(page, "#kept", "saved");
  await settled(page);
  await drawer(page, "Parts");
  await page.getByRole("button", { name: /^Hook at belly/ }).click();
  await page.getByRole("searchbox").fill("treble 8 fine");
  await page.getByRole("option", { name: /treble hook 8, fine/ }).click();
  await until(page, ".trial", "After");
  const expected = server.command("swap", "sinker-swap.json", "--at", "belly.hook=treble-8-fine");
  const cells = await page
    .locator(".trial tbody tr", { hasText: "Speed" })
    .locator("td")
    .allTextContents();
  for (const [i, key] of [
    [0, "before"],
    [1, "after"],
  ]) {
    const { value, slack } = figure(cells[i]);
    close(value, expected[key].drift_mm_s, slack);
  }
  assert.equal(await page.locator(".trial svg").count(), 2);
  await shot(page, "wide-swap");
  await page.getByRole("button", { name: "Mount it" }).click();
  await settled(page);
  await until(page, "#verdict", /^as it should/);
  await save(page, server, "sinker-swap.json");
  const outcome = await sameAsCommand(page, server, "sinker-swap.json");
  close(outcome.drift_mm_s, expected.after.drift_mm_s, 1e-6 * expected.after.drift_mm_s);
  assert.equal(JSON.parse(server.disk("sinker-swap.json")).fitted.belly.hook, "treble-8-fine");
  await page.close();
});

await step("speaks in inches where the bench was started so", async () => {
  const inch = await serve(["sinker-swap.json"], "sinker-swap.json", "--units", "inch");
  const page = await visit(context, inch);
  const { mass_g, drift_mm_s } = inch.command("rest", "sinker-swap.json").outcome;
  close(parseFloat(await shown(page, "Whole lure weighs")), mass_g / 28.349523125, 6e-4); // oz, by definition
  const [speed] = (await shown(page, "Speed")).match(/[\d.]+(?= in\/s)/);
  close(parseFloat(speed), drift_mm_s / 25.4, 0.5);
  await until(page, "#influence-table", /oz/);
  assert.match(
    await page.getByRole("slider", { name: "Place from the nose" }).getAttribute("aria-valuetext"),
    /in from/,
  );
  await page.getByRole("slider", { name: "Back" }).focus();
  await page.keyboard.press("ArrowUp");
  await settled(page);
  assert.match(await at(page, "/body/stations/3/height").inputValue(), /mm$/); // as it was written there
  await page.close();
  assert.equal(await inch.stop(), 0);
});

await context.close();
await step("the program ends well", async () => assert.equal(await server.stop(), 0));
