// SPDX-License-Identifier: GPL-3.0-or-later
// At the tank: large keys write a reading without a keyboard; what was read is kept in the build with its
// day and shown; an entry taken out comes back with Undo.
import { assert, drawer, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room({ viewport: { width: 390, height: 844 }, hasTouch: true });
const server = await serve(["finished-minnow.json"], "finished-minnow.json");

await step("takes readings by large keys and keeps them with their day", async () => {
  const page = await visit(context, server);
  await drawer(page, "Tank");
  await page.locator("#large-keys").click();
  const press = async (...names) => {
    for (const name of names) await page.locator(".pad").getByRole("button", { name, exact: true }).click();
  };
  await press("1", "1", ".", "9", "3", "Take the last letter back", "2", "g", "Next reading");
  await press("6", "0", "cm in", "1", "0", ".", "4", "s");
  assert.equal(await page.locator(".reading input").nth(0).inputValue(), "11.92 g");
  assert.equal(await page.locator(".reading input").nth(1).inputValue(), "60 cm in 10.4 s");
  for (const key of await page.locator(".pad button").all()) assert.ok((await key.boundingBox()).height >= 48);
  await shot(page, "large-keys");
  await page.locator("#teach").click();
  await page.locator("#tank-take").click();
  await settled(page);
  await until(page, "#log", "11\\.92 g");
  const left = await page.locator("#tank .readings input").evaluateAll((all) => all.map((one) => one.value));
  assert.deepEqual(left, ["", ""]); // else they could be taught twice
  assert.equal(await page.locator("#log tbody tr").count(), 2);
  await until(page, "#log", /\d{4}-\d\d-\d\d/);
  await page.getByRole("button", { name: /^Take out of the list: on the scale/ }).click();
  await settled(page);
  assert.equal(await page.locator("#log tbody tr").count(), 1);
  await page.locator("#undo").click();
  await settled(page);
  assert.equal(await page.locator("#log tbody tr").count(), 2);
  await page.locator("#save").click();
  await until(page, "#kept", "^Saved");
  const kept = JSON.parse(server.disk("finished-minnow.json")).readings;
  assert.deepEqual(kept.map(({ stage }) => stage), ["complete", "complete"]);
  assert.ok(kept.every(({ on }) => /^\d{4}-\d\d-\d\d$/.test(on)));
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  await shot(page, "log", { fullPage: true });
  await page.close();
});

await step("says at its field what no lure can read, and names parts as the maker knows them", async () => {
  const page = await visit(context, server);
  await drawer(page, "Tank");
  const first = page.locator("#tank .reading").first();
  for (const [kind, read] of [
    ["shows", "120 %"],
    ["scale", "0 g"],
  ]) {
    await first.locator("select").selectOption(kind);
    await first.locator("input").fill(read);
    await page.locator("#teach").click();
    await until(page, "#tank .reading .fault:not([hidden])", "expected");
    assert.equal(await text(page, "#message"), "");
  }
  await first.locator("select").selectOption("sinks");
  await first.locator("input").fill("60 cm in 10 s");
  await page.locator("#teach").click();
  await until(page, "#tank .lesson", "Each reading");
  const cells = await page.locator("#tank .lesson table").first().locator("td").allTextContents();
  assert.equal(cells[0], "6.0 cm/s down");
  assert.doesNotMatch(cells.join(), /treble-4|ring-4|screw-eye-1/);
  await page.close();
});

await context.close();
await server.stop();
