// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing lost and nobody let in: two tabs on one file, a closed tab, the program gone, hostile
// text, other pages, other hosts.
import { request } from "node:http";
import {
  assert,
  at,
  begin,
  chosen,
  drawer,
  fill,
  outside,
  room,
  serve,
  serveWithoutRoom,
  settled,
  shot,
  step,
  text,
  until,
  visit,
} from "./kit.mjs";

const context = await room();
const server = await serve(["larch-minnow.json", "sinker-swap.json"], "larch-minnow.json");
const name = (page) => at(page, "/name");
const drafted = (page) => page.waitForResponse((reply) => reply.url().endsWith("/api/draft"));

await step("two tabs on one file: the second save is refused and nothing is lost", async () => {
  const one = await visit(context, server);
  const two = await visit(context, server);
  await fill(one, "/name", "from the first tab");
  await one.locator("#save").click();
  await until(one, "#kept", "Saved");
  await fill(two, "/name", "from the second tab");
  await two.locator("#save").click();
  await two.getByRole("heading", { name: "The file is not as it was" }).waitFor();
  assert.equal(JSON.parse(server.disk("larch-minnow.json")).name, "from the first tab");
  await shot(two, "conflict");
  await two.getByRole("button", { name: "Save mine under that name" }).click();
  await until(two, "#kept", "Saved as larch-minnow-mine.json");
  assert.equal(JSON.parse(server.disk("larch-minnow-mine.json")).name, "from the second tab");
  // the other way: the file's text is taken, ours is one step behind
  await fill(two, "/name", "third");
  server.write("larch-minnow-mine.json", server.disk("larch-minnow.json"));
  await two.keyboard.press("Control+s");
  await two.getByRole("button", { name: "Take the file's, mine goes to Undo" }).click();
  await settled(two);
  await two.waitForFunction(
    () => document.querySelector('[data-path="/name"]').value === "from the first tab",
  );
  await two.keyboard.press("Control+z");
  assert.equal(await name(two).inputValue(), "third");
  await one.close();
  await two.close();
});

await step("offers what a closed tab left unsaved", async () => {
  const page = await visit(context, server);
  await Promise.all([drafted(page), fill(page, "/name", "left behind")]);
  await page.close();
  assert.notEqual(JSON.parse(server.disk("larch-minnow.json")).name, "left behind");
  const next = await visit(context, server);
  await until(next, "#offers", "left unsaved");
  await next.getByRole("button", { name: "Restore draft" }).click();
  await settled(next);
  assert.equal(await name(next).inputValue(), "left behind");
  await next.locator("#save").click();
  await until(next, "#kept", "Saved");
  assert.equal(JSON.parse(server.disk("larch-minnow.json")).name, "left behind");
  await next.reload();
  await settled(next);
  assert.equal(await text(next, "#offers"), "");
  await next.close();
});

await step("keeps a draft that was neither taken up nor thrown away", async () => {
  const page = await visit(context, server);
  await Promise.all([drafted(page), fill(page, "/name", "first thoughts")]);
  await page.close();
  const next = await visit(context, server);
  await until(next, "#offers", "left unsaved");
  await fill(next, "/name", "second thoughts");
  await until(next, "#offers", "is kept as larch-minnow-left");
  // On a slow machine an earlier tab's last draft comes late and has taken the plain name.
  const kept = /is kept as (\S+\.json)/.exec(await text(next, "#offers"))[1];
  await begin(next);
  await next.locator("dialog.begin ul").first().getByRole("button", { name: kept, exact: true }).click();
  await chosen(next);
  await next.waitForFunction(() => document.querySelector('[data-path="/name"]').value === "first thoughts");
  await next.close();
});

await step("begins with a plain body, and offers it again after a crash", async () => {
  const page = await visit(context, server);
  await begin(page);
  await shot(page, "begin");
  await page.locator("dialog.begin ul").last().getByRole("button").first().click();
  await chosen(page);
  await until(page, "#kept", "new");
  await Promise.all([drafted(page), fill(page, "/name", "never saved")]);
  await Promise.all([drafted(page), page.keyboard.press("Tab")]); // file and draft go by the lure's name
  const file = await page.locator("#filename").inputValue();
  assert.equal(file, "never-saved.json");
  await page.close();
  const next = await visit(context, server);
  await begin(next);
  await next.locator("dialog.begin ul").first().getByRole("button", { name: file }).click(); // left unsaved
  await chosen(next);
  await next.waitForFunction(() => document.querySelector('[data-path="/name"]').value === "never saved");
  await next.locator("#filename").fill("kept.json");
  await next.locator("#save").click();
  await until(next, "#kept", "Saved as kept.json");
  assert.equal(JSON.parse(server.disk("kept.json")).name, "never saved");
  await next.close();
});

await step("says what the disk refuses, and keeps what is unsaved", async () => {
  const full = await serveWithoutRoom(["larch-minnow.json"], "larch-minnow.json");
  const before = full.disk("larch-minnow.json");
  const page = await visit(context, full);
  await Promise.all([drafted(page), fill(page, "/name", "no room for this")]);
  await until(page, "#message", "the disk cannot take a file of this size; nothing was written");
  await page.locator("#save").click();
  await until(page, "#message", "larch-minnow.json: the disk cannot take a file of this size");
  await until(page, "#message", "What you have is kept in this tab.");
  const [copy] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Keep a copy as a file" }).click(),
  ]);
  assert.equal(copy.suggestedFilename(), "larch-minnow.json");
  assert.equal(await name(page).inputValue(), "no room for this");
  assert.equal(full.disk("larch-minnow.json"), before);
  await page.close({ runBeforeUnload: false });
  assert.equal(await full.stop(), 0);
});

await step("starts on a folder with the choice of what to begin with", async () => {
  const empty = await serve([]);
  const page = await visit(context, empty);
  await page.getByRole("heading", { name: "Begin with" }).waitFor();
  await page.getByRole("button", { name: "Go on with what is here" }).click();
  assert.equal(await text(page, "#kept"), "new");
  assert.ok((await text(page, "#headline")).length > 0);
  await page.close();
  assert.equal(await empty.stop(), 0);
});

await step("takes markup, huge and broken text as text", async () => {
  const page = await visit(context, server);
  const nasty = "<img src=x onerror=\"document.title='caught'\"><script>document.title='caught'</script>";
  await fill(page, "/name", nasty.slice(0, 110));
  await drawer(page, "Parts");
  await page.locator("[data-at=more-belly] summary").click();
  await fill(page, "/seats/belly/x/0", `"><svg onload=alert(1)>${"9".repeat(5000)}`);
  await drawer(page, "Target");
  await fill(page, "/target/drift/0", "1e999 mm/s");
  assert.equal(await page.locator("main img, main script").count(), 0);
  assert.ok(!(await page.title()).includes("caught"));
  server.write("bad.json", "{ not json");
  server.write(
    "odd.json",
    JSON.stringify({
      ballastry: 1,
      name: ["<b>"],
      body: 5,
      seats: "none",
      target: [1],
      fitted: null,
      water: "wet",
    }),
  );
  server.write(
    "names.json",
    JSON.stringify({
      ...JSON.parse(server.disk("sinker-swap.json")),
      name: "<b onmouseover=alert(1)>bold</b>",
    }),
  );
  for (const [file, want] of [
    ["bad.json", "bad.json|JSON"],
    ["odd.json", "."],
    ["names.json", "."],
  ]) {
    await begin(page, file, { opens: file === "names.json" });
    if (file !== "names.json") await until(page, "#message", want);
  }
  await page.waitForFunction(() => document.querySelector('[data-path="/name"]').value.startsWith("<b"));
  assert.equal(await page.locator("main [onmouseover]").count(), 0);
  await page.close();
});

await step("keeps the work when the program is gone", async () => {
  const other = await serve(["sinker-swap.json"], "sinker-swap.json");
  const page = await visit(context, other);
  assert.equal(await other.stop(), 0);
  await at(page, "/name").fill("still here");
  await until(page, "#message", "does not answer");
  await settled(page);
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Keep a copy as a file" }).click(),
  ]);
  const { readFileSync } = await import("node:fs");
  assert.equal(JSON.parse(readFileSync(await download.path(), "utf8")).name, "still here");
  assert.equal(await at(page, "/name").inputValue(), "still here");
  await shot(page, "gone");
  await page.close();
});

// Past the browser, straight at the socket.
const raw = (method, path, headers, body) =>
  new Promise((done, fail) => {
    const r = request(new URL(path, server.address), { method, headers, timeout: 20000 }, (reply) => {
      reply.resume();
      reply.on("close", () => done(reply));
    });
    r.on("timeout", () => r.destroy(new Error("no answer in 20 s")));
    r.on("error", fail);
    r.end(body);
  });

await step("turns away who has no token, another page, another host", async () => {
  const host = new URL(server.address).host;
  const token = new URL(server.address).hash.slice(1);
  const own = { Origin: `http://${host}`, "X-Bench-Token": token, "Content-Type": "application/json" };
  assert.equal((await raw("POST", "/api/list", own, "{}")).statusCode, 200);
  assert.equal(
    (await raw("POST", "/api/list", { ...own, "X-Bench-Token": "0".repeat(32) }, "{}")).statusCode,
    403,
  );
  assert.equal((await raw("POST", "/api/list", { ...own, Host: "bench.example" }, "{}")).statusCode, 403);
  assert.equal(
    (await raw("POST", "/api/list", { ...own, Origin: "http://bench.example" }, "{}")).statusCode,
    403,
  );
  assert.equal((await raw("POST", "/api/list", own, " ".repeat((1 << 20) + 1))).statusCode, 413);
  const policy = (await raw("GET", "/", {})).headers["content-security-policy"];
  assert.match(policy, /default-src 'none'/);
  assert.doesNotMatch(policy, /unsafe|\*/);
});

await step("loads nothing from elsewhere", async () => assert.deepEqual(outside, []));

await context.close();
await server.stop();
