// SPDX-License-Identifier: GPL-3.0-or-later
// After the tank: what to do at the bench now is what `ballastry mend` says of the same file, one press
// takes it into the build and one takes it back.
import { assert, begin, drawer, named, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["larch-minnow.json", "finished-minnow.json"]);
const own = server.command("fit", "larch-minnow.json", "--rigs", "1", "--write", "lure.json");
assert.ok(own.rigs.length > 0);
server.write("plain.json", server.disk("lure.json")); // before any test

const reading = (page, i, kind, words) =>
  Promise.all([
    page.locator(".reading select").nth(i).selectOption(kind),
    page.locator(".reading input").nth(i).fill(words),
  ]);

await step("tells what to do now, as the command does, and takes it into the build", async () => {
  const page = await visit(context, server);
  await page.keyboard.press("Escape"); // the choice of what to begin with
  await begin(page, "lure.json");
  await drawer(page, "Tank");
  await reading(page, 0, "rises", "60 cm in 9.1 s");
  await reading(page, 1, "tilts", "8 deg");
  await page.getByRole("button", { name: "What does it teach?" }).click();
  await page.getByRole("button", { name: "Take the corrected build" }).click();
  await until(page, "#mending", "after this.* in 100");
  await shot(page, "mend", { fullPage: true });
  await page.locator("#save").click();
  await until(page, "#kept", "^Saved");
  const said = server.command("mend", "lure.json");
  assert.ok(said.do.length > 0 && !said.leave);
  const steps = said.do.map((step) => named(server, step));
  assert.notDeepEqual(steps, said.do); // an id is in one of them
  assert.deepEqual(await page.locator("#mending ol li").allTextContents(), steps);
  const shown = await text(page, "#mending");
  for (const { id } of server.command("catalog").parts) assert.ok(!shown.split(/[\s,:;()]+/).includes(id), id);
  assert.match(shown, new RegExp(`after this\\s*${Math.round(100 * said.chance_after)} in 100`));
  assert.match(shown, /90 times in 100/);
  assert.match(shown, /if it still (sinks|rises) faster than/);
  const before = await text(page, "#rows");
  await page.locator("#mend-take").click();
  await until(page, "#mending", "as mended");
  await settled(page);
  await page.waitForFunction((was) => document.querySelector("#rows").textContent !== was, before);
  await page.locator("#undo").click();
  await settled(page);
  await page.waitForFunction((was) => document.querySelector("#rows").textContent === was, before);
  await page.close();
});

await step("marks advice as old once the build is another, and asks for a target", async () => {
  const page = await visit(context, server);
  await page.keyboard.press("Escape");
  await begin(page, "lure.json");
  await drawer(page, "Tank");
  await page.locator("#mend").focus();
  await page.keyboard.press("Enter");
  await until(page, "#mending", "on target as it is");
  await drawer(page, "Body");
  await page.getByLabel("Name of the lure").fill("another");
  await drawer(page, "Tank");
  await until(page, "#mending", "changed since");
  await page.close();
});

await step("says how sure, and what to measure next; the reading goes into the build in place", async () => {
  const page = await visit(context, server);
  await page.keyboard.press("Escape");
  await begin(page, "plain.json");
  await page.locator("#sure > summary").click();
  await until(page, "#todo", "What to measure next");
  const { spread, next_reading: next } = server.command("rest", "plain.json");
  const acts = await page.locator("#todo .act").allTextContents();
  assert.deepEqual([...acts].sort(), next.looked_at.map(({ act }) => named(server, act)).sort());
  assert.ok((await text(page, "#todo .hint")).includes(next.best ? named(server, next.best.act) : "go to the tank"));
  assert.equal(await page.locator("#sure .spans .wanted").count(), 2); // drift and angle
  const speed = spread.waters[0].drift_range_mm_s;
  const said = await page.locator("#sure .spans dd span").first().textContent();
  assert.ok(said.startsWith(`${(Math.abs(speed.low) / 10).toFixed(Math.abs(speed.low) < 9.95 ? 2 : 1)} cm/s`), said);
  await shot(page, "how-sure", { fullPage: true });
  const hook = page.locator("#todo li", { hasText: /weigh the \w+ hook/ }).first();
  const seat = /weigh the (\w+) hook/.exec(await hook.textContent())[1];
  await hook.getByRole("button").click();
  await hook.locator("input").fill("0.655 g");
  await page.keyboard.press("Enter");
  await settled(page);
  await page.waitForFunction((name) => !document.querySelector("#todo").textContent.includes(`weigh the ${name} hook`), seat);
  await page.locator("#save").click();
  await until(page, "#kept", "^Saved");
  assert.equal(JSON.parse(server.disk("plain.json")).fitted[seat].hook.mass, "0.655 g");
  await page.locator("#undo").click();
  await until(page, "#todo", `weigh the ${seat} hook`);
  const open = page.locator("#todo li", { hasText: `weigh the ${seat} hook` });
  await open.getByRole("button").click();
  await open.locator("input").fill("0.655 bananas");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#todo [aria-invalid=true]");
  await page.close();
});

await context.close();
await server.stop();
