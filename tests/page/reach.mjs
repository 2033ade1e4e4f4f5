// SPDX-License-Identifier: GPL-3.0-or-later
// Everybody can use it: keyboard alone, a screen reader's names and words, phone, tablet and wide,
// light and dark, no motion where none is wanted.
import {
  assert,
  at,
  axeSource,
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

const context = await room();
const server = await serve(["finished-minnow.json"], "finished-minnow.json");
const page = await visit(context, server);
const drawers = ["Body", "Parts", "Target", "Rigs", "Cast", "Tank", "Line", "Cures", "Box", "Sheet"];
const press = async (...keys) => {
  for (const key of keys) await page.keyboard.press(key);
};
const focused = () =>
  page.evaluate(
    () =>
      document.activeElement.getAttribute("aria-label") ||
      document.activeElement.id ||
      document.activeElement.textContent,
  );

// Tabs on until the element in focus answers to this name.
async function tabTo(pattern, most = 60) {
  for (let i = 0; i < most; i++) {
    if (pattern.test(await focused())) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`the keyboard does not reach ${pattern}`);
}

await step("works with the keyboard alone, from outline to saved rig", async () => {
  await page.locator("#filename").focus();
  await tabTo(/^tab-body$/);
  await tabTo(/^Back$/);
  const height = parseFloat(await at(page, "/body/stations/4/height").inputValue());
  await press("ArrowUp", "ArrowUp");
  await settled(page);
  assert.equal(parseFloat(await at(page, "/body/stations/4/height").inputValue()), height + 1);
  const back = page.getByRole("slider", { name: "Back" });
  assert.match(await back.getAttribute("aria-valuetext"), /mm above the axis/);
  assert.ok(Math.abs(parseFloat(await back.getAttribute("aria-valuenow")) - (height / 2 + 1)) < 0.06);
  const ring = await back.locator(".grab").evaluate((node) => getComputedStyle(node).fillOpacity);
  assert.equal(ring, "0.22"); // focus can be seen
  await press("Control+z");
  await settled(page);
  assert.equal(parseFloat(await at(page, "/body/stations/4/height").inputValue()), height);
  await page.keyboard.press("Shift+Tab");
  for (let i = 0; i < 20 && (await focused()) !== "tab-body"; i++) await page.keyboard.press("Shift+Tab");
  await press("ArrowRight");
  assert.equal(await focused(), "tab-seats");
  await tabTo(/^Hook at belly: .* Choose another$/);
  await press("Enter");
  await page.keyboard.type("treble 4 fine");
  await press("ArrowDown");
  await until(page, ".trial", "After");
  await press("Enter");
  await settled(page);
  assert.match(await focused(), /^Hook at belly: treble hook 4, fine/); // back where it was
  await press("Control+s");
  await until(page, "#kept", "Saved");
  assert.equal(JSON.parse(server.disk("finished-minnow.json")).fitted.belly.hook, "treble-4-fine");
});

await step("tells a screen reader the result once things have come to rest", async () => {
  await page.waitForFunction(
    () =>
      document.getElementById("headline").textContent.length > 5 &&
      document.getElementById("said").textContent.startsWith(document.getElementById("headline").textContent),
  );
  assert.match(await page.locator("#drawing").getAttribute("aria-label"), /nose-/);
});

const sound = (state, within) => soundOf(page, state, within);
if (axeSource === null) console.log("skipped: accessibility by axe: no axe-core");

async function everyDrawer(size) {
  for (const name of drawers) {
    await drawer(page, name);
    await page.evaluate(() => window.scrollTo(0, 0));
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= size.width, `${size.name}, ${name}: ${wide} px wide`);
    if (size.axe)
      await sound(`${size.name}, ${name}`, name === "Body" ? "html" : "[role=tabpanel]:not([hidden])");
    if (size.shots.includes(name)) await shot(page, `${size.name}-${name.toLowerCase()}`);
  }
}

// Colours do not hang on the size, so axe looks at all drawers once in the dark and once in the light.
for (const size of [
  {
    name: "wide-dark",
    width: 1280,
    height: 900,
    colorScheme: "dark",
    axe: true,
    shots: ["Body", "Parts", "Target"],
  },
  {
    name: "tablet",
    width: 820,
    height: 1180,
    colorScheme: "light",
    axe: false,
    shots: ["Body", "Parts", "Tank"],
  },
  { name: "phone", width: 390, height: 844, colorScheme: "light", axe: true, shots: drawers },
  { name: "narrow", width: 320, height: 640, colorScheme: "light", axe: false, shots: ["Tank", "Box"] },
  {
    name: "phone-dark",
    width: 390,
    height: 844,
    colorScheme: "dark",
    axe: false,
    shots: ["Parts", "Target"],
  },
]) {
  await step(`fits ${size.name}${size.axe ? ", and axe finds nothing serious" : ""}`, async () => {
    await page.setViewportSize(size);
    await page.emulateMedia({ colorScheme: size.colorScheme, reducedMotion: "reduce" });
    await everyDrawer(size);
  });
}

await step("keeps the water in view while the fields scroll, wide and on a phone", async () => {
  for (const [width, height] of [
    [1280, 900],
    [390, 844],
  ]) {
    await page.setViewportSize({ width, height });
    await drawer(page, "Target");
    await page.evaluate(() => window.scrollTo(0, 700));
    const box = await page.locator("#drawing").boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height < height, JSON.stringify(box));
    assert.ok(box.height < height / 2);
  }
});

await step("axe finds nothing serious in the dialogs, with a fault, with rigs, light and dark", async () => {
  await page.setViewportSize({ width: 1280, height: 900 });
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await drawer(page, "Body");
    await at(page, "/body/mass").fill("5.6 bananas");
    await settled(page);
    await sound("a fault");
    await shot(page, `fault-${colorScheme}`);
    await press("Control+z");
    await settled(page);
    await begin(page);
    await sound("begin", "dialog[open]");
    await press("Escape");
    await drawer(page, "Parts");
    await page.getByRole("button", { name: /^Hook at belly/ }).click();
    await page.getByRole("option", { name: /treble hook 4, medium/ }).click();
    await until(page, ".trial", "After");
    await sound("a part on trial", "dialog[open]");
    await shot(page, `trial-${colorScheme}`);
    await press("Escape");
  }
  await drawer(page, "Rigs");
  await page.locator("[data-at=rank]").selectOption("finished");
  await page.locator("#fit").click();
  await until(page, "#rigs", "Take rig");
  await sound("rigs");
});

await step("axe finds nothing serious in bars and lists, the box being weighed, and a file brought in", async () => {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    if (colorScheme === "light") await page.locator("#sure > summary").click();
    await until(page, "#todo", "What to measure next");
    await sound(`how sure, ${colorScheme}`, "#figures");
    await drawer(page, "Box");
    await until(page, "#box", "There is none yet|It lies beside");
    if (colorScheme === "light") await page.getByText("Put something in").click();
    await page.locator("[data-at^=box-edit-]").first().click();
    await sound(`box, ${colorScheme}`, "#box");
    await drawer(page, "Tank");
    await page.locator("#mend").click();
    await until(page, "#mending", "on target as it is");
    if (colorScheme === "light") await page.locator("#large-keys").click();
    await sound(`tank, ${colorScheme}`, "#tank");
    await begin(page);
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.locator("#bring").click()]);
    await chooser.setFiles("examples/traced-minnow.svg");
    await until(page, "#h-bring", "traced-minnow");
    await sound(`a file, ${colorScheme}`, "dialog[open]");
    await shot(page, `bring-${colorScheme}`);
    await press("Escape");
  }
});

// Fields side by side whose inputs do not stand at one height.
const uneven = () => {
  const rows = new Map();
  for (const field of document.querySelectorAll("[role=tabpanel]:not([hidden]) .fields > .field")) {
    const input = field.querySelector("input, select");
    if (!input?.checkVisibility()) continue;
    const row = `${[...document.querySelectorAll(".fields")].indexOf(field.parentElement)} ${Math.round(field.getBoundingClientRect().top)}`;
    rows.set(row, [...(rows.get(row) ?? []), Math.round(input.getBoundingClientRect().top)]);
  }
  return [...rows].filter(([, tops]) => Math.max(...tops) - Math.min(...tops) > 1);
};

await step("no figure is torn from its unit, and fields stand in line, down to 320 px and at twice the size", async () => {
  await page.emulateMedia({ colorScheme: "light" });
  for (const [width, height] of [
    [1280, 900],
    [640, 450], // 1280 px at 200 %
    [390, 844],
    [320, 640],
  ]) {
    await page.setViewportSize({ width, height });
    for (const name of drawers) {
      await drawer(page, name);
      await page.waitForFunction(`(${uneven})().length === 0`);
    }
    const torn = await page.evaluate(() =>
      [...document.querySelectorAll(".whole")]
        .filter((e) => e.checkVisibility())
        .filter((e) => {
          const range = document.createRange();
          range.selectNodeContents(e);
          return new Set([...range.getClientRects()].map((r) => Math.round(r.top))).size > 1;
        })
        .map((e) => e.textContent),
    );
    assert.deepEqual(torn, [], `${width} px`);
    assert.equal(await page.locator("#influence-table .whole").count(), 15);
    const table = await page.locator("#influence-table").evaluate((e) => e.scrollWidth - e.clientWidth);
    assert.equal(table, 0, `${width} px: the table is wider than its card`);
    const tops = await page.locator("header .tools > *").evaluateAll((all) => all.map((e) => Math.round(e.getBoundingClientRect().top)));
    assert.ok(Math.max(...tops) - Math.min(...tops) < 10, `${width} px: tools in two lines`);
  }
});

await step("tells what is chosen where the system sets the colours", async () => {
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.emulateMedia({ forcedColors: "active" });
  const outline = (selector) => page.locator(selector).first().evaluate((e) => getComputedStyle(e).outlineStyle);
  await drawer(page, "Parts");
  assert.equal(await outline("[role=tab][aria-selected=true]"), "solid");
  assert.equal(await outline("[role=tab][aria-selected=false]"), "none");
  await page.getByRole("button", { name: /^Hook at belly/ }).click();
  await page.locator(".parts [aria-selected=true]").waitFor();
  assert.equal(await outline(".parts [aria-selected=true]"), "solid");
  await shot(page, "forced-colours");
  await press("Escape");
  await page.emulateMedia({ forcedColors: "none" });
});

await step("fingers: every button and handle on a phone is large enough", async () => {
  await page.setViewportSize({ width: 390, height: 844 });
  for (const name of drawers) {
    await drawer(page, name);
    const measure = () => page.evaluate(() =>
      [...document.querySelectorAll("main button, main input, main select, header button, .handle .grab")]
        .filter((e) => e.checkVisibility())
        .map((e) => [e.outerHTML.slice(0, 90), e.getBoundingClientRect()])
        .filter(([, r]) => r.width > 0 && (r.width < 18 || r.height < 18))
        .map(([html]) => html),
    );
    // A drawing may still be taking its size on a busy machine.
    let small = await measure();
    for (let tries = 0; small.length > 0 && tries < 20; tries++) {
      await page.waitForTimeout(250);
      small = await measure();
    }
    assert.deepEqual(small, [], name);
  }
});

await context.close();
await server.stop();
