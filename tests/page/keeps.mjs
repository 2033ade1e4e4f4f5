// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing is shown under another lure's name, nothing is called measured that was not, and what was
// begun goes on: after a new start, after loading anew, beside another tab.
import { assert, at, begin, chosen, drawer, fill, room, serve, serveAgain, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["larch-minnow.json", "too-light.json", "finished-minnow.json"], "larch-minnow.json");
const drafted = (page) => page.waitForResponse((reply) => reply.url().endsWith("/api/draft"));

await step("deletes the draft that its words are about", async () => {
  const page = await visit(context, server);
  await Promise.all([drafted(page), fill(page, "/name", "older thoughts")]);
  await page.close();
  const next = await visit(context, server);
  await until(next, "#offers", "left unsaved");
  await fill(next, "/name", "newer thoughts");
  await until(next, "#offers", "is kept as larch-minnow-left");
  await next.getByRole("button", { name: "Delete draft" }).click();
  await until(next, "#offers", "^$");
  await next.close();
  const last = await visit(context, server);
  await until(last, "#offers", "left unsaved");
  await last.getByRole("button", { name: "Restore draft" }).click();
  await settled(last);
  assert.equal(await at(last, "/name").inputValue(), "newer thoughts");
  await begin(last);
  assert.doesNotMatch(await text(last, "dialog.begin"), /larch-minnow-left/);
  await last.getByRole("button", { name: "Go on with what is here" }).click();
  await last.locator("#save").click();
  await until(last, "#kept", "Saved");
  await last.close();
});

await step("lets nothing be typed into a build that is about to go, however slow the answers", async () => {
  const page = await visit(context, server);
  const slow = async (route) => {
    await new Promise((done) => setTimeout(done, 700));
    await route.continue();
  };
  for (const [route, name] of [["list", /^flat-sided body/], ["open", "too-light.json"]]) {
    await begin(page);
    await page.route(`**/api/${route}`, slow);
    await page.getByRole("button", { name }).last().click();
    assert.equal(await page.locator("dialog.begin").isVisible(), true);
    await at(page, "/name").evaluate((field) => field.focus());
    await page.keyboard.type("too soon");
    await chosen(page);
    assert.equal(await page.evaluate(() => document.activeElement.id), "filename");
    await fill(page, "/name", "typed at once");
    assert.equal(await text(page, "#kept"), "not saved yet");
    await page.unroute(`**/api/${route}`);
    await begin(page);
    await page.getByRole("button", { name: "Go on with what is here" }).click();
    assert.equal(await at(page, "/name").inputValue(), "typed at once");
    assert.equal(await page.evaluate(() => /too soon/.test(document.querySelector("main").innerHTML)), false);
  }
  await page.close();
});

await step("shows nothing of the lure before under the name of one that is refused", async () => {
  const page = await visit(context, server);
  const bad = JSON.parse(server.disk("finished-minnow.json"));
  bad.fitted.belly.hook = "no-such-hook";
  server.write("bad-part.json", JSON.stringify(bad));
  await begin(page, "bad-part.json");
  await until(page, "#headline", "cannot be worked out");
  assert.equal(await page.locator("#drawing *").count(), 0);
  assert.equal(await page.locator("#figures").isVisible(), false);
  assert.equal(await page.locator("#body .views").isVisible(), false);
  assert.equal(await text(page, "#verdict"), "");
  await drawer(page, "Sheet");
  assert.equal(await page.locator("#sheet tbody tr").count(), 0);
  assert.equal(await page.locator("#sheet canvas").isVisible(), false);
  await shot(page, "refused");
  await begin(page, "finished-minnow.json");
  await page.locator("#figures").waitFor(); // is shown again
  await page.close();
});

await step("mounts with Enter what was searched for, and knows sizes by their marks", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await settled(page);
  await drawer(page, "Parts");
  await page.getByRole("button", { name: /^Hook at belly/ }).click();
  const search = page.getByRole("searchbox", { name: "Search the catalog" });
  const chosen = page.locator("dialog.picker [role=option][aria-selected=true]");
  assert.match(await chosen.textContent(), /now/); // opens at what is mounted, in sight
  const inSight = () =>
    page.waitForFunction(() => {
      const row = document.querySelector("dialog.picker [role=option][aria-selected=true]");
      const [r, l] = [row.getBoundingClientRect(), row.parentElement.getBoundingClientRect()];
      return r.top >= l.top - 1 && r.bottom <= l.bottom + 1;
    });
  await inSight();
  await page.waitForSelector("dialog.picker .unfit", { timeout: 3000 }).catch(() => {}); // marks make the rows higher
  await inSight();
  await search.fill("treble 6 medium");
  await until(page, ".trial", "After");
  await search.fill("#4 fine treble");
  await page.keyboard.press("Enter");
  await page.waitForSelector("dialog.picker", { state: "hidden" });
  await settled(page);
  assert.match(await page.getByRole("button", { name: /^Hook at belly/ }).textContent(), /4, fine/);
  await page.getByRole("button", { name: /^Hook at belly/ }).click();
  await search.fill("size 6");
  assert.ok((await page.locator("dialog.picker [role=option]").count()) > 0);
  await search.fill("");
  await page.getByRole("button", { name: "Leave it as it is" }).click();
  await page.getByRole("button", { name: /^Ring at belly/ }).click();
  await page.waitForSelector("dialog.picker .unfit"); // rings that do not go through eye or hook say so
  assert.match(await page.locator("dialog.picker .unfit .not").first().textContent(), /does not fit: ./);
  await page.close();
});

await step("keeps the left column as wide as it was, however sure", async () => {
  for (const width of [1280, 1600]) {
    const page = await visit(context, server);
    await page.setViewportSize({ width, height: 900 });
    const wide = () => page.locator(".left").evaluate((node) => node.scrollWidth - node.clientWidth);
    const before = await page.locator("#lies").evaluate((node) => node.clientWidth);
    await page.locator("#sure > summary").click();
    await until(page, "#sure-text", "in 100|of 100");
    assert.equal(await page.locator("#lies").evaluate((node) => node.clientWidth), before);
    assert.equal(await wide(), 0);
    await page.close();
  }
});

await step("tells of a lure afloat as it floats, weight and lift in one line", async () => {
  const page = await visit(context, server);
  await begin(page, "too-light.json");
  await until(page, "#headline", "^floats");
  const at = await page
    .locator("#drawing .centre")
    .evaluateAll((dots) => dots.map((dot) => Number(dot.getAttribute("cx"))));
  assert.ok(Math.abs(at[0] - at[1]) < 0.05, `weight and lift stand ${at[0] - at[1]} mm apart`);
  await until(page, "#drawing", /lift.*weight/);
  await until(page, "#rows", /Pushed under, it comes up at/);
  await page.close();
});

await step("calls learnt what a test taught, and measured only what the maker entered", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await settled(page);
  await drawer(page, "Tank");
  const reading = page.locator(".reading").nth(1).locator("input");
  await reading.fill("60 cm in 30 s");
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Take the corrected build" }).click();
  await settled(page);
  assert.notEqual(await page.evaluate(() => document.activeElement.tagName), "BODY");
  await drawer(page, "Body");
  const label = page.locator("label", { has: at(page, "/body/mass") }).locator(".name");
  assert.match(await label.textContent(), /learnt from a test/);
  const { learnt } = JSON.parse(server.disk("finished-minnow.json"));
  assert.equal(learnt, undefined); // the file is as it was until it is saved
  await fill(page, "/body/mass", "6.1 g");
  assert.doesNotMatch(await label.textContent(), /learnt/);
  assert.equal(await text(page, "#message"), "");
  await page.locator("#filename").fill("taught");
  await page.locator("#save").click();
  await until(page, "#kept", "Saved as taught.json");
  const saved = JSON.parse(server.disk("taught.json"));
  assert.equal(saved.body.mass, "6.1 g");
  assert.ok(!saved.learnt.ties.of.includes("/body/mass"));
  assert.equal(saved.learnt.ties.r.length, saved.learnt.ties.of.length - 1);
  await page.close();
});

await step("does not write over a file of that name, and tells another tab of what was saved", async () => {
  const [one, two] = [await visit(context, server), await visit(context, server)];
  await one.locator("#filename").fill("too-light");
  await one.locator("#save").click();
  await one.getByRole("heading", { name: "There is a file of that name" }).waitFor();
  await one.getByRole("button", { name: "Go on without saving" }).click();
  await one.locator("#filename").fill("larch-minnow.json");
  await fill(one, "/name", "of the first tab");
  await one.locator("#save").click();
  await until(two, "#offers", "was saved in another tab");
  await two.getByRole("button", { name: "Show that" }).click();
  await two.waitForFunction(() => document.querySelector('[data-path="/name"]').value === "of the first tab");
  await Promise.all([drafted(one), fill(one, "/name", "draft of one")]); // each keeps a draft of its own
  await Promise.all([drafted(two), fill(two, "/name", "draft of two")]);
  await one.close();
  await two.close();
  const next = await visit(context, server);
  await begin(next);
  const left = await next.locator("dialog.begin ul").first().textContent();
  assert.match(left, /larch-minnow\.json/);
  assert.match(left, /larch-minnow-other-tab/);
  await next.close();
});

await step("comes back to the open file with its undo when it is loaded anew", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await settled(page);
  await Promise.all([drafted(page), fill(page, "/name", "before loading anew")]);
  await page.reload();
  await settled(page);
  assert.equal(await page.locator("#filename").inputValue(), "finished-minnow.json");
  assert.equal(await at(page, "/name").inputValue(), "before loading anew");
  await page.locator("#undo").click();
  await settled(page);
  assert.notEqual(await at(page, "/name").inputValue(), "before loading anew");
  await page.close();
});

await step("goes on by itself when the program is started anew", async () => {
  const first = await serve(["finished-minnow.json"], "finished-minnow.json");
  const page = await visit(context, first);
  await fill(page, "/name", "across two starts");
  assert.equal(await first.stop(), 0);
  await until(page, "#message", "does not answer"); // without a press: an idle page notices
  const again = await serveAgain(first);
  assert.equal(new URL(again.address).host, new URL(first.address).host);
  await until(page, "#message", "started anew");
  const opened = await visit(context, again); // as the program itself opens it
  await until(page, "#message", "^$");
  await page.locator("#save").click();
  await until(page, "#kept", "Saved");
  assert.equal(JSON.parse(again.disk("finished-minnow.json")).name, "across two starts");
  await opened.close();
  await page.close();
  const bare = await context.newPage();
  await bare.goto(new URL(again.address).origin);
  await until(bare, "#message", "with all that stands behind the #");
  assert.equal(await bare.locator("main").isVisible(), false);
  await bare.close();
  assert.equal(await again.stop(), 0);
});

await step("pages through the sheet, and Home and End take a slider to its ends", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await settled(page);
  await drawer(page, "Sheet");
  await until(page, "#sheet output", "page 1 of [2-9]");
  await page.getByRole("button", { name: "Page after" }).click();
  await until(page, "#sheet output", "page 2 of");
  await drawer(page, "Body");
  const back = page.getByRole("slider", { name: "Back" });
  await back.focus();
  await page.keyboard.press("Home");
  await settled(page);
  assert.equal(await back.getAttribute("aria-valuenow"), await back.getAttribute("aria-valuemin"));
  await page.keyboard.press("Control+z");
  await settled(page);
  await page.locator("details.stations summary").click();
  const tinted = await page.locator(".stations tr.chosen th").textContent();
  await until(page, ".which", new RegExp(`Station ${tinted} of`));
  await page.close();
});

await context.close();
await server.stop();
