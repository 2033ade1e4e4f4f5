// SPDX-License-Identifier: GPL-3.0-or-later
// A body that is glued of pieces or cast of a mix, edited on the page: what is shown is what the command
// says of the saved file.
import { assert, at, begin, drawer, fill, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["finished-minnow.json", "glued-blank.json", "cast-mix.json"], "finished-minnow.json");

async function saved(page, name) {
  await until(page, "#kept", "not saved");
  await page.locator("#save").click();
  await until(page, "#kept", "^Saved");
  const said = server.command("rest", name);
  await until(page, "#rows", `${said.outcome.mass_g.toFixed(2)} g`);
  return JSON.parse(server.disk(name));
}

await step("adds, changes and takes out pieces; undo brings them back", async () => {
  const page = await visit(context, server);
  await begin(page, "glued-blank.json");
  await drawer(page, "Body");
  const before = await text(page, "#rows");
  assert.equal(await page.locator("#pieces fieldset").count(), 4);
  assert.equal(await at(page, "/body/pieces/1/diameter").inputValue(), "1.2 mm");
  await fill(page, "/body/pieces/1/diameter", "");
  assert.equal(await page.locator("#pieces fieldset").count(), 4); // no other form meanwhile
  await page.waitForSelector('[data-path="/body/pieces/1/diameter"][aria-invalid=true]');
  await fill(page, "/body/pieces/1/diameter", "1.6 mm");
  await page.waitForFunction((was) => document.querySelector("#rows").textContent !== was, before);
  await page.locator("[data-at=piece-what]").selectOption({ label: "A hollow" });
  await page.locator("#piece-add").click();
  await settled(page);
  await page.waitForSelector('[data-path="/body/pieces/4/name"][aria-invalid=true]'); // it would lie where the wire is
  await fill(page, "/body/pieces/4/z", "4.5 mm");
  await page.getByRole("button", { name: "Take out rattles" }).click();
  await settled(page);
  await shot(page, "pieces", { fullPage: true });
  const doc = await saved(page, "glued-blank.json");
  assert.deepEqual(doc.body.pieces.map(({ name }) => name), ["belly", "through-wire", "eyes", "hollow"]);
  assert.equal(doc.body.pieces[1].diameter, "1.6 mm");
  await page.locator("#undo").click();
  await settled(page);
  assert.equal(await page.locator("#pieces fieldset").count(), 5);
  await page.close();
});

await step("edits a mix, makes one of a plain material and a plain one again", async () => {
  const page = await visit(context, server);
  await begin(page, "cast-mix.json");
  await drawer(page, "Body");
  const share = at(page, "/body/material/mix/share");
  do await fill(page, "/body/material/mix/share", "20 %"); // the panel may just be drawn for the file
  while ((await share.inputValue()) !== "20 %");
  let doc = await saved(page, "cast-mix.json");
  assert.equal(doc.body.material.mix.share, "20 %");
  await page.locator("[data-at=mix-way]").click();
  await settled(page);
  doc = await saved(page, "cast-mix.json");
  assert.equal(doc.body.material.mix.share_by_mass, "20 %");
  await page.locator("[data-at=plain-material]").click();
  await settled(page);
  assert.equal(await at(page, "/body/material").inputValue(), "larch");
  await at(page, "/body/material").selectOption("#mix");
  await settled(page);
  assert.equal(await at(page, "/body/material/mix/resin").inputValue(), "epoxy-clear");
  await fill(page, "/body/material/mix/filler/density", "0.25 g/cm3");
  doc = await saved(page, "cast-mix.json");
  assert.equal(doc.body.material.mix.filler.density, "0.25 g/cm3");
  await page.close();
});

await context.close();
await server.stop();
