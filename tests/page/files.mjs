// SPDX-License-Identifier: GPL-3.0-or-later
// Files of the maker's own: shapes, builds and boxes chosen or dropped, read by the program's readers
// before anything is written; the open file renamed, copied, deleted and had back; the body as STL.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { assert, begin, drawer, room, serve, serveAgain, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["finished-minnow.json", "larch-minnow.json"], "finished-minnow.json");
const there = (name) => existsSync(join(server.folder, name));

// By the button, as a maker does; file: a path, or { name, mimeType, buffer }.
async function choose(page, file) {
  await page.getByRole("button", { name: "Begin…" }).click();
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.locator("#bring").click()]);
  await chooser.setFiles(file);
}

const named = (name, content) => ({ name, mimeType: "application/octet-stream", buffer: Buffer.from(content) });

await step("brings in an outline, and the lure is the one that the command reads", async () => {
  const page = await visit(context, server);
  await choose(page, "examples/traced-minnow.svg");
  await until(page, "#h-bring", "The shape in traced-minnow.svg");
  await page.getByLabel("From above it is").selectOption("top");
  await page.getByRole("button", { name: "Begin a lure of that shape" }).click();
  await until(page, "dialog.bring [role=alert]", "side"); // two shapes in the file: which one is meant
  assert.ok(!there("traced-minnow.svg"));
  await shot(page, "bring-fault");
  await page.getByLabel("Side view's name").fill("side");
  await page.locator("dialog.bring").getByRole("textbox", { name: "that is" }).fill("top");
  await page.getByRole("button", { name: "Begin a lure of that shape" }).click();
  await page.waitForFunction(() => document.getElementById("filename").value === "traced-minnow.json");
  await settled(page);
  assert.equal(server.disk("traced-minnow.svg"), readFileSync("examples/traced-minnow.svg", "utf8"));
  await page.locator("#save").click();
  await until(page, "#kept", "^Saved");
  const said = server.command("rest", "traced-minnow.json");
  await until(page, "#rows", `${said.outcome.mass_g.toFixed(2)} g`);
  await until(page, "#stages", "hardware"); // nothing can be mounted yet: seats are offered
  await drawer(page, "Parts");
  await page.locator("#usual-seats").click();
  await until(page, "#seats", "slot for a lip");
  await page.locator("#undo").click(); // all of them are one step
  await page.locator("#usual-seats").waitFor();
  await page.close();
});

await step("brings in a mesh and a caliper list, one by dropping it", async () => {
  const page = await visit(context, server);
  await choose(page, "examples/hump-minnow.stl");
  await page.getByRole("button", { name: "Give the open lure that shape" }).click();
  await until(page, "dialog.bring [role=alert]", "the body reaches from"); // its tail's seat lies beyond
  await page.getByRole("button", { name: "Begin a lure of that shape" }).click();
  await page.waitForFunction(() => document.getElementById("filename").value === "hump-minnow.json");
  assert.ok(there("hump-minnow.stl"));
  const list = readFileSync("examples/caliper-stick.csv", "utf8");
  await page.evaluate((content) => {
    const held = new DataTransfer();
    held.items.add(new File([content], "stick.csv"));
    document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: held, bubbles: true, cancelable: true }));
  }, list);
  await until(page, "#h-bring", "stick.csv");
  await page.getByRole("button", { name: "Give the open lure that shape" }).click();
  await page.waitForFunction(() => !document.querySelector("dialog.bring").open);
  await settled(page);
  await until(page, "#body", "The stations stand in stick.csv");
  assert.equal(server.disk("stick.csv"), list);
  await page.close();
});

// Texts that are no build, and what is said of each.
const none = {
  "words.json": ["hello", "does not read as JSON"],
  "empty.json": ["", "does not read as JSON"],
  "nothing.json": ["null", "every build says"],
  "list.json": ["[1, 2]", "every build says"],
  "other.json": ['{"name": "x", "version": "1.0"}', "every build says"],
  "later.json": ['{"ballastry": 9}', "another version, 9"],
};

await step("opens nothing that is no build, and keeps the lure that is open", async () => {
  const page = await visit(context, server);
  const headline = await text(page, "#headline");
  const stays = async () => {
    assert.equal(await page.locator("#filename").inputValue(), "finished-minnow.json");
    assert.equal(await text(page, "#headline"), headline);
  };
  for (const [name, [content, why]] of Object.entries(none)) {
    await choose(page, named(name, content));
    await until(page, "dialog.bring [role=alert]", `^${name}.*${why}`);
    await stays();
    await page.locator("dialog.bring").getByRole("button", { name: "Leave it" }).click();
    server.write(name, content);
    await begin(page, name, { opens: false });
    await until(page, "#message", `^${name}.*${why}`);
    await stays();
  }
  await page.close();
  const other = await serve(["larch-minnow.json"]);
  other.write("nothing.json", "null");
  await other.stop();
  const again = await serveAgain({ ...other, start: "nothing.json" });
  const begun = await context.newPage();
  await begun.goto(again.address);
  await until(begun, "dialog.begin [role=alert]", "^nothing.json is no build");
  await begun.close();
  await again.stop();
});

await step("refuses what is wrong, huge or named to lead elsewhere, and writes nothing", async () => {
  const page = await visit(context, server);
  const before = readdirSync(server.folder).sort();
  const inDialog = (pattern) => until(page, "dialog.bring", pattern);
  const leave = () => page.locator("dialog.bring").getByRole("button", { name: "Leave it" }).click();
  await choose(page, named("blob.stl", "solid nothing\nfacet rubbish"));
  await page.getByRole("button", { name: "Begin a lure of that shape" }).click();
  await page.waitForFunction(() => document.querySelector("dialog.bring [role=alert]").textContent !== "");
  await leave();
  await choose(page, named("widths.csv", "x,diameter\n0,0\n10,banana\n"));
  await page.getByRole("button", { name: "Begin a lure of that shape" }).click();
  await inDialog("line 3");
  await leave();
  await choose(page, named("picture.png", "x"));
  await inDialog("is no build");
  await leave();
  await choose(page, named("mine.json", "{ broken"));
  await inDialog("does not read as JSON");
  await leave();
  await choose(page, named("huge.stl", "0".repeat(12 * 1024 * 1024)));
  await inDialog("too large");
  await leave();
  const asked = (name) =>
    page.evaluate(
      ([n, token]) =>
        fetch("/api/import", {
          method: "POST",
          headers: { "Content-Type": "application/json", "X-Bench-Token": token },
          body: JSON.stringify({ name: n, base64: "eCx5Cg==", build: "{}" }),
        }).then((reply) => reply.status),
      [name, server.address.split("#")[1]],
    );
  for (const name of ["../evil.csv", "/tmp/evil.csv", ".hidden.csv", "a\\b.csv", "box.csv", "x.json"])
    assert.equal(await asked(name), 422, name);
  assert.deepEqual(readdirSync(server.folder).sort(), before);
  await page.close();
});

await step("says of the file's own name what is wrong with it, not of the lure's", async () => {
  const page = await visit(context, server);
  await page.locator("#filename").fill("minnows/two");
  await page.locator("#save").click();
  await until(page, "#message", '^"minnows/two" is no name for a file here');
  assert.equal(await page.locator("#body [aria-invalid=true]").count(), 0);
  await page.close();
});

await step("renames, copies and deletes the open file, tells the other tab, and brings it back", async () => {
  const page = await visit(context, server);
  const other = await visit(context, server);
  await begin(page, "larch-minnow.json");
  await begin(other, "larch-minnow.json");
  const was = server.disk("larch-minnow.json");
  const open = () => page.getByRole("button", { name: "Begin…" }).click();
  await open();
  await page.locator("[data-at=file-name]").fill("finished-minnow");
  await page.locator("#file-rename").click();
  await until(page, "dialog.begin", "is there already");
  await page.locator("[data-at=file-name]").fill("larch two");
  await page.locator("#file-rename").click();
  await page.waitForFunction(() => document.getElementById("filename").value === "larch two.json");
  await other.waitForFunction(() => document.getElementById("filename").value === "larch two.json");
  assert.ok(!there("larch-minnow.json") && server.disk("larch two.json") === was);
  await open();
  await page.locator("[data-at=file-name]").fill("larch three");
  await page.locator("#file-copy").click();
  await until(page, "#kept", "is a copy");
  assert.deepEqual(JSON.parse(server.disk("larch three.json")), JSON.parse(was));
  await open();
  await shot(page, "open-file");
  assert.doesNotMatch(await text(page, "dialog.begin"), /null|undefined/);
  await page.locator("#file-delete").click();
  await until(page, "#offers", "larch two.json was deleted");
  assert.ok(!there("larch two.json"));
  await until(other, "#kept", "not saved|new");
  await page.locator("#file-back").click();
  await page.waitForFunction(() => document.getElementById("filename").value === "larch two.json");
  assert.deepEqual(JSON.parse(server.disk("larch two.json")), JSON.parse(was));
  await other.close();
  await page.close();
});

await step("takes a box as a file, and gives the body as STL", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await choose(page, named("my box.csv", "id;count\nring-3;twelve\n"));
  await page.getByRole("button", { name: "Make it your box" }).click();
  await until(page, "dialog.bring", "line 2");
  await page.locator("dialog.bring").getByRole("button", { name: "Leave it" }).click();
  await choose(page, named("my box.csv", "id;count\nring-3;12\n"));
  await page.getByRole("button", { name: "Make it your box" }).click();
  await page.waitForFunction(() => !document.querySelector("dialog.bring").open);
  assert.equal(server.disk("box.csv"), "id;count\nring-3;12\n");
  await drawer(page, "Sheet");
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#sheet-stl").click()]);
  assert.equal(download.suggestedFilename(), "finished-minnow.stl");
  const mesh = readFileSync(await download.path());
  assert.equal(mesh.length, 84 + 50 * mesh.readUInt32LE(80)); // binary STL: 50 bytes a facet
  assert.ok((await text(page, "#kept")).length > 0);
  await page.close();
});

await context.close();
await server.stop();
