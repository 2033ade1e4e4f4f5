// SPDX-License-Identifier: GPL-3.0-or-later
// The picture as the control: parts pressed and dragged in the water, by pointer, finger and keyboard; what
// is laid over the lure against the command's figures.
import { assert, at, axeSource, begin, drawer, room, serve, settled, shot, step, text, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(
  ["finished-minnow.json", "sinker-swap.json", "board-lip.json", "cast-mix.json", "mesh-minnow.json", "hump-minnow.stl"],
  "finished-minnow.json",
);
const part = (page, seat, piece) => page.locator(`#drawing .part[data-seat="${seat}"][data-piece="${piece}"]`).first();

// A lure with metal to slide: the finished minnow with a strip on its keel.
const withStrip = () => {
  const build = JSON.parse(server.disk("finished-minnow.json"));
  build.fitted.keel = { strip: "brass-foil-0.2x10", length: "16 mm", layers: 1, x: "36 mm" };
  return build;
};
server.write("strip.json", JSON.stringify(withStrip()));
const printed = () => {
  const build = JSON.parse(server.disk("mesh-minnow.json"));
  Object.assign(build.body, { material: "pla", wall: "1.2 mm", infill: "12 %" });
  return build;
};
server.write("printed.json", JSON.stringify(printed()));

// The middle of a part as it is painted, in px.
const middle = async (locator) => {
  const look = () => locator.boundingBox().then(JSON.stringify);
  let was = "";
  let now = await look();
  while (was !== now) {
    await locator.page().waitForTimeout(150); // until nothing moves it any more
    [was, now] = [now, await look()];
  }
  const box = JSON.parse(now);
  return [box.x + box.width / 2, box.y + box.height / 2, box];
};

async function slide(page, locator, dx) {
  const [x, y] = await middle(locator);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 6; i++) await page.mouse.move(x + (dx * i) / 6, y);
  await page.mouse.up();
  await settled(page);
}

await step("a press on a hook in the water leads to its choice, and a press on its ring to the ring's", async () => {
  const page = await visit(context, server);
  const [x, y] = await middle(part(page, "belly", "hook"));
  await page.mouse.click(x, y);
  await until(page, "#picker-title", "^Hook at belly$");
  await page.getByRole("button", { name: "Ring instead" }).click();
  await until(page, "#picker-title", "^Ring at belly$");
  await page.keyboard.press("Escape");
  await page.locator("dialog.picker").waitFor({ state: "hidden" });
  const [, , tail] = await middle(part(page, "tail", "hook"));
  await page.mouse.click(tail.x + tail.width + 2, tail.y + tail.height / 2); // beside it: the nearest is taken
  await until(page, "#picker-title", "^Hook at tail$");
  await page.keyboard.press("Escape");
  await page.close();
});

await step("by keyboard each part in the picture is a button with a name, and the keyboard's place stays", async () => {
  const page = await visit(context, server);
  const hook = page.getByRole("button", { name: /^belly: hook, treble hook 4, medium/ });
  await hook.focus();
  await page.keyboard.press("Enter");
  await until(page, "#picker-title", "^Hook at belly$");
  await page.keyboard.type("treble 6 medium");
  await until(page, ".trial", "After");
  await page.keyboard.press("Enter");
  await page.locator("dialog.picker").waitFor({ state: "hidden" });
  await settled(page);
  await page.waitForFunction(() => /^belly: hook, treble hook 6/.test(document.activeElement.getAttribute("aria-label")));
  await page.keyboard.press("Control+z");
  await settled(page);
  await page.waitForFunction(() => /^belly: hook, treble hook 4/.test(document.activeElement.getAttribute("aria-label")));
  await page.close();
});

await step("metal on the belly is dragged along the body, as one step of undo, and moved by keys", async () => {
  const page = await visit(context, server);
  await begin(page, "strip.json");
  const place = () => at(page, "/fitted/keel/x").inputValue();
  const strip = part(page, "keel", "strip");
  const scale = await page.evaluate(() => document.getElementById("drawing").getScreenCTM().a);
  const t = (server.command("rest", "strip.json").outcome.nose_down_deg * Math.PI) / 180;
  await drawer(page, "Parts");
  assert.equal(await place(), "36 mm");
  await slide(page, strip, 5 * scale);
  // A way along the picture is its part along the axis: five millimetres times the cosine.
  assert.ok(Math.abs(parseFloat(await place()) - (36 + 5 * Math.cos(t))) < 0.3, await place());
  await shot(page, "picture-strip");
  await slide(page, strip, 900);
  const end = parseFloat(await place());
  assert.ok(end > 45 && end <= 50.3, `it stays on its patch: ${end}`);
  await until(page, "#message", "^$");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await page.waitForFunction(() => document.querySelector('[data-path="/fitted/keel/x"]').value === "36 mm");
  await settled(page);
  await strip.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Shift+ArrowRight");
  await settled(page);
  assert.equal(await place(), "37.1 mm");
  await until(page, "#said", ".");
  await page.close();
});

await step("the lip is dragged too, and from ahead it leads to its outline", async () => {
  const page = await visit(context, server);
  await drawer(page, "Parts");
  const was = parseFloat(await at(page, "/seats/lip/x").inputValue());
  await slide(page, part(page, "lip", "sheet"), 12);
  assert.ok(parseFloat(await at(page, "/seats/lip/x").inputValue()) > was + 0.5);
  await page.keyboard.press("Control+z");
  await settled(page);
  assert.equal(parseFloat(await at(page, "/seats/lip/x").inputValue()), was);
  await page.locator('#drawing .ahead .part[data-piece="outline"] .hit').last().click();
  await until(page, "#picker-title", "^Lip's outline at lip$");
  await page.keyboard.press("Escape");
  await page.close();
});

await step("an empty seat shows where something can be mounted", async () => {
  const page = await visit(context, server);
  await begin(page, "board-lip.json");
  await page.getByRole("button", { name: /^lip: no lip's sheet yet/ }).click();
  await until(page, "#picker-title", "^Lip's sheet at lip$");
  await page.keyboard.press("Escape");
  await page.close();
});

await step("the arrow is the way that the lure drifts in the time written at it, and the arc the wanted angles", async () => {
  const page = await visit(context, server);
  await begin(page, "sinker-swap.json");
  const { drift_mm_s } = server.command("rest", "sinker-swap.json").outcome;
  const span = parseFloat(/in ([\d.]+) s/.exec(await text(page, "#drawing"))[1]);
  const way = await page.locator("#drawing path.drift").evaluate((node) => node.getBBox().height);
  assert.ok(Math.abs(way - drift_mm_s * span) < 0.02 * way + 0.02, `${way} mm is not ${drift_mm_s} mm/s times ${span} s`);
  await begin(page, "finished-minnow.json");
  const ends = await page.evaluate(() => {
    const dot = document.querySelector("#drawing .centre.gravity");
    const [x, y] = ["cx", "cy"].map((key) => Number(dot.getAttribute(key)));
    const n = document.querySelector("#drawing .wanted").getAttribute("d").split(/[MA ]+/).slice(1).map(Number);
    return [[n[0], n[1]], n.slice(-2)].map(([px, py]) => (Math.atan2(py - y, x - px) * 180) / Math.PI);
  });
  const { target } = JSON.parse(server.disk("finished-minnow.json"));
  target.nose_down.forEach((deg, i) => assert.ok(Math.abs(ends[i] - parseFloat(deg)) < 0.1, `${ends}`));
  await page.waitForFunction(() => !document.querySelector("#drawing path.drift")); // it floats
  await page.close();
});

await step("hooks' reach is shown where they come near each other, and only there", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  assert.equal(await page.locator("#drawing .swing").count(), 0);
  await drawer(page, "Parts");
  for (const summary of await page.locator("#seats details summary").all()) await summary.click();
  await at(page, "/seats/belly/x").fill("60 mm");
  await settled(page);
  await page.waitForFunction(() => document.querySelectorAll("#drawing .swing.meet").length === 2);
  await until(page, "#notes", "hooks");
  await shot(page, "picture-hooks-meet");
  await page.close();
});

await step("shows what the body is made of by a pattern", async () => {
  const page = await visit(context, server);
  for (const [name, made] of [
    ["finished-minnow.json", "wood"],
    ["board-lip.json", "board"],
    ["cast-mix.json", "cast"],
    ["printed.json", "printed"],
  ]) {
    await begin(page, name);
    await page.waitForFunction((m) => document.getElementById("drawing").dataset.made === m, made);
    assert.equal(await page.locator("#drawing path.grain").count(), 1);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      await shot(page, `picture-${made}-${colorScheme}`, { clip: { x: 0, y: 100, width: 620, height: 420 } });
    }
  }
  await page.close();
});

await step("says the chosen station's sizes inside the drawing, at nose and tail too", async () => {
  const page = await visit(context, server);
  await begin(page, "finished-minnow.json");
  await drawer(page, "Body");
  const side = page.getByRole("group", { name: "The body, from the side" });
  for (const way of ["Station before", "Station after"]) {
    for (let i = 0; i < 9; i++) await page.getByRole("button", { name: way }).click();
    await until(page, "#body .which", way.endsWith("after") ? "the tail" : "the nose");
    const [frame, words] = [await side.boundingBox(), await side.getByText(/high, .* wide/).boundingBox()];
    assert.ok(words.x >= frame.x && words.x + words.width <= frame.x + frame.width, way);
  }
  await page.close();
});

await step("a finger takes hook and metal on a phone", async () => {
  const phone = await room({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const page = await visit(phone, server);
  await begin(page, "strip.json");
  const [x, y] = await middle(part(page, "belly", "hook"));
  await page.touchscreen.tap(x, y);
  await until(page, "#picker-title", "^Hook at belly$");
  await shot(page, "phone-picker-from-picture");
  await page.keyboard.press("Escape");
  await shot(page, "phone-picture");
  await page.close();
  await phone.close();
});

await step("axe finds nothing serious in the picture, light and dark", async () => {
  if (axeSource === null) return;
  const page = await visit(context, server);
  await begin(page, "strip.json");
  await page.evaluate(axeSource);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const found = await page.evaluate(async () => {
      const { violations } = await axe.run("#lies", { resultTypes: ["violations"] });
      return violations.filter((v) => v.impact === "serious" || v.impact === "critical").map((v) => v.id);
    });
    assert.deepEqual(found, []);
  }
  await page.close();
});

await context.close();
await server.stop();
