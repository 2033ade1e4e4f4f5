// SPDX-License-Identifier: GPL-3.0-or-later
// The maker's box and book on the page: lines put in, weighed, counted and taken back in the very file
// that the commands read; a lure kept in the book once it is asked for, explained and forgotten.
import { mkdirSync } from "node:fs";
import { assert, drawer, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["finished-minnow.json"], "finished-minnow.json");
const listed = () => server.command("catalog", "box", "finished-minnow.json").box.filter((part) => part.in_box);

await step("begins a box, weighs five of a kind, and counts what this rig takes", async () => {
  const page = await visit(context, server);
  await drawer(page, "Box");
  await until(page, "#box", "There is none yet");
  await page.getByText("Put something in").click();
  await page.locator("[data-at=box-id]").fill("treble-6-medium");
  await page.locator("[data-at=box-mass]").fill("2.66 g");
  await page.locator("[data-at=box-weighed]").fill("5");
  await page.locator("[data-at=box-count]").fill("1");
  await page.locator("#box-add").click();
  await until(page, "#box-list", "treble-6-medium.*0\\.532 g, weighed");
  const [part] = listed();
  assert.equal(part.id, "treble-6-medium");
  assert.ok(Math.abs(part.mass_g - 0.532) < 1e-9 && part.count === 1 && part.weighed);
  await page.locator("[data-at=box-id]").fill("ring-3");
  await page.locator("[data-at=box-count]").fill("20");
  await page.keyboard.press("Enter");
  await page.locator("#box-add").click();
  await until(page, "#box-list", "ring-3");
  await page.locator("[data-at=box-edit-ring-3]").click();
  await page.getByLabel("ring-3: on the scale").fill("0.54 g");
  await page.getByLabel("ring-3: how many lay on it").fill("5");
  await page.keyboard.press("Enter");
  await until(page, "#box-list", "0\\.108 g, weighed");
  await shot(page, "box", { fullPage: true });
  await page.locator("#box-undo").click();
  await page.waitForFunction(() => !document.querySelector("#box-list").textContent.includes("0.108 g, weighed"));
  assert.equal(listed().find(({ id }) => id === "ring-3").weighed, false);
  await page.close();
});

await step("begins the box with all that one elsewhere holds, and takes the change back", async () => {
  const own = await serve(["finished-minnow.json"], "finished-minnow.json");
  mkdirSync(`${own.folder}/.config/ballastry`, { recursive: true });
  const elsewhere = "id,mass,count\ntreble-6-medium,0.6 g,4\nring-3,0.11 g,20\n";
  own.write(".config/ballastry/box.csv", elsewhere);
  const page = await visit(context, own);
  await drawer(page, "Box");
  await until(page, "#box", "Read from .*copies all of it");
  await page.locator("[data-at=box-edit-ring-3]").click();
  await page.getByLabel("ring-3: how many are left").fill("9");
  await page.keyboard.press("Enter");
  await until(page, "#box", "It lies beside your builds");
  await page.waitForFunction(() => document.activeElement.dataset.at === "box-edit-ring-3"); // not lost
  assert.match(own.disk("box.csv"), /treble-6-medium,0.6 g,4\nring-3,0.11 g,9\n$/);
  assert.equal(own.disk(".config/ballastry/box.csv"), elsewhere);
  await page.locator("#box-undo").click();
  await until(page, "#box-list", "ring-3 Weigh or count20");
  assert.equal(own.disk("box.csv"), elsewhere);
  await page.close();
  await own.stop();
});

await step("refuses a line that is none, in the reader's words, and a box that was changed meanwhile", async () => {
  const page = await visit(context, server);
  await drawer(page, "Box");
  await until(page, "#box-list", "treble-6-medium");
  const before = server.disk("box.csv");
  await page.getByText("Put something in").click();
  await page.locator("[data-at=box-id]").fill("treble-6-medum");
  await page.locator("[data-at=box-mass]").fill("1 g");
  await page.locator("#box-add").click();
  await until(page, "#box", "did you mean");
  await page.locator("[data-at=box-id]").fill('../../evil"\\u0000,<img src=x>');
  await page.locator("#box-add").click();
  await until(page, "#box", "no part");
  assert.equal(server.disk("box.csv"), before);
  server.write("box.csv", `${before}# a remark from elsewhere\n`);
  await page.locator("[data-at=box-id]").fill("ring-2");
  await page.locator("[data-at=box-mass]").fill("0.06 g");
  await page.locator("#box-add").click();
  await until(page, "#box", "try again");
  assert.ok(server.disk("box.csv").endsWith("# a remark from elsewhere\n"));
  await page.locator("#box-add").click();
  await until(page, "#box-list", "ring-2");
  assert.match(server.disk("box.csv"), /# a remark from elsewhere\nring-2/);
  await page.close();
});

await step("tells the other tabs, and what is weighed counts at once", async () => {
  const one = await visit(context, server);
  const other = await visit(context, server);
  await drawer(other, "Box");
  await until(other, "#box-list", "treble-6-medium");
  await drawer(one, "Box");
  await until(one, "#box-list", "treble-6-medium");
  const before = await text(one, "#rows");
  await one.locator("[data-at=box-edit-treble-4-medium]").click();
  await one.getByLabel("treble-4-medium: on the scale").fill("4.35 g");
  await one.getByLabel("treble-4-medium: how many lay on it").fill("5");
  await one.keyboard.press("Enter");
  await until(other, "#box-list", "0\\.870 g, weighed");
  const said = server.command("rest", "finished-minnow.json");
  await one.waitForFunction((was) => document.querySelector("#rows").textContent !== was, before);
  await until(one, "#rows", `${said.outcome.mass_g.toFixed(2)} g`);
  await until(other, "#rows", `${said.outcome.mass_g.toFixed(2)} g`); // what is known of the parts is read anew there too
  await one.close();
  await other.close();
});

await step("keeps a lure in the book once that is asked for, explains and forgets it", async () => {
  const page = await visit(context, server);
  await drawer(page, "Tank");
  await page.locator(".reading input").nth(0).fill("11.92 g");
  await page.locator(".reading input").nth(1).fill("60 cm in 10.4 s");
  await page.locator("#teach").click();
  await page.getByRole("button", { name: "Keep a book of them" }).click();
  await page.waitForSelector("[data-at=keep-lure]");
  assert.equal(server.command("book").lures.length, 0); // nothing before it is taken
  await page.locator("#tank-take").click();
  await until(page, "#tank .lesson", "In your book as");
  await settled(page);
  const { lures, figures } = server.command("book");
  assert.equal(lures.length, 1);
  assert.ok(figures.length > 0);
  await drawer(page, "Box");
  await until(page, "#book-state", "1 lure in it");
  await page.locator("#book-figures summary").first().click();
  await page.getByText("the next lure is taken for").first().waitFor();
  await shot(page, "book", { fullPage: true });
  await page.locator("#book-switch").click();
  await until(page, "#book-state", "switched off");
  assert.equal(server.command("book").off, true);
  await page.locator("#book-switch").click();
  await page.getByRole("button", { name: /^Forget finished/ }).click();
  await until(page, "#book-state", "0 lures");
  assert.equal(server.command("book").lures.length, 0);
  await page.close();
});

await context.close();
await server.stop();
