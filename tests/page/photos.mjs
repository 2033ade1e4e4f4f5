// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures on the page: a blank's outline taken from one, a lure's angle in the tank read off one. The
// pictures are painted here, of an ellipse and of lines at known angles, so closed forms say what must come
// out; that nothing of them leaves the page is held against every request.
import { assert, at, axeSource, begin, drawer, room, serve, settled, shot, step, until, visit } from "./kit.mjs";

const context = await room();
const server = await serve(["finished-minnow.json"], "finished-minnow.json");

// An ellipse of 90 by 20 mm from the side, whose outline in the file is wrong all over.
const half = (x) => 10 * Math.sqrt(Math.max(0, 1 - ((x - 45) / 45) ** 2));
const places = [0, 8, 20, 45, 70, 82, 90];
server.write(
  "blank.json",
  JSON.stringify({
    ballastry: 1,
    name: "a blank",
    body: {
      stations: places.map((x) => ({ x: `${x} mm`, width: "8 mm", height: x % 90 === 0 ? "0 mm" : "11 mm" })),
      material: "larch",
    },
    seats: {},
  }),
);

const sent = [];
context.on("request", (request) => request.method() === "POST" && sent.push(request.postData() ?? ""));

// The picture: px of places in mm from the nose and mm below the axis; turned by `deg`, nose to the left.
const MM = 12; // px
const put = (deg, [cx, cy]) => (x, y) => {
  const t = (deg * Math.PI) / 180;
  return [cx + MM * (x * Math.cos(t) - y * Math.sin(t)), cy + MM * (x * Math.sin(t) + y * Math.cos(t))];
};
const tilted = put(5, [160, 240]);

const blank = await context.newPage(); // paints, and touches nothing of the program
async function painted({ width, height, ground, shapes, grain }) {
  const url = await blank.evaluate(
    ({ width, height, ground, shapes, grain }) => {
      const canvas = Object.assign(document.createElement("canvas"), { width, height });
      const paint = canvas.getContext("2d");
      paint.fillStyle = ground;
      paint.fillRect(0, 0, width, height);
      for (const { points, fill, line } of shapes) {
        paint.beginPath();
        for (const [x, y] of points) paint.lineTo(x, y);
        if (fill) {
          paint.fillStyle = fill;
          paint.closePath();
          paint.fill();
        } else {
          paint.strokeStyle = line;
          paint.lineWidth = 4;
          paint.stroke();
        }
      }
      let seed = 7; // grain: the same at each run
      const image = paint.getImageData(0, 0, width, height);
      for (let i = 0; i < image.data.length; i++) {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        if (i % 4 < 3) image.data[i] += (seed / 2147483648 - 0.5) * grain;
      }
      paint.putImageData(image, 0, 0);
      return canvas.toDataURL("image/png");
    },
    { width, height, ground, shapes, grain },
  );
  return Buffer.from(url.split(",")[1], "base64");
}

const outline = Array.from({ length: 200 }, (_, i) => {
  const a = (2 * Math.PI * i) / 200;
  return tilted(45 + 45 * Math.cos(a), 10 * Math.sin(a));
});
const box = (x0, y0, x1, y1) => [tilted(x0, y0), tilted(x1, y0), tilted(x1, y1), tilted(x0, y1)];
const fromSide = await painted({
  width: 1500,
  height: 760,
  ground: "#e8e4da",
  grain: 24,
  shapes: [
    { points: outline, fill: "#a9743c" },
    { points: box(5, 22, 85, 30), fill: "#5f6a70" }, // a ruler, its marks 70 mm apart
    { points: box(9.9, 22, 10.1, 26), fill: "#ffffff" },
    { points: box(79.9, 22, 80.1, 26), fill: "#ffffff" },
  ],
});

// Presses a place of the picture, in its px.
async function pressPhoto(page, svg, spot, tap) {
  await svg.scrollIntoViewIfNeeded();
  const [x, y] = await svg.evaluate((node, [px, py]) => {
    const p = new DOMPoint(px, py).matrixTransform(node.getScreenCTM());
    return [p.x, p.y];
  }, spot);
  if (tap) await page.touchscreen.tap(x, y);
  else await page.mouse.click(x, y);
}

// What axe calls serious or critical.
const serious = (page, within) =>
  page.evaluate(async (selector) => {
    const { violations } = await axe.run(selector, { resultTypes: ["violations"] });
    return violations
      .filter((v) => v.impact === "serious" || v.impact === "critical")
      .map((v) => `${v.id} ${v.nodes[0].html}`);
  }, within);

const file = (name, buffer) => ({ name, mimeType: "image/png", buffer });

await step("takes a blank's outline from a picture, when told to, and nothing of the picture leaves the page", async () => {
  const page = await visit(context, server);
  await begin(page, "blank.json");
  await page.getByText("A photo under the outline").click();
  await page.getByLabel("Picture from the side").first().setInputFiles(file("side.png", fromSide));
  const svg = page.locator("svg.photo").first();
  await until(page, ".body-photo .photo-board .words", "one mark of a ruler");
  for (const [x, y] of [
    [10, 24],
    [80, 24],
    [0, 0],
    [90, 0],
  ])
    await pressPhoto(page, svg, tilted(x, y));
  await page.getByLabel("Between the two marks").fill("70 mm");
  await page.getByRole("button", { name: "Find the edge" }).click();
  await until(page, ".body-photo > .words", "at 5 of 7 stations");
  await shot(page, "photo-found", { fullPage: true });
  if (axeSource !== null) {
    await page.evaluate(axeSource);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      assert.deepEqual(await serious(page, "#body"), []);
    }
  }
  assert.equal(await at(page, "/body/stations/3/height").inputValue(), "11 mm"); // offered, not done
  await page.getByRole("button", { name: "Take these edges" }).click();
  await settled(page);
  for (const [i, x] of places.entries()) {
    const height = parseFloat(await at(page, `/body/stations/${i}/height`).inputValue());
    const centre = parseFloat((await at(page, `/body/stations/${i}/centre`).inputValue()) || "0");
    const want = i % 6 === 0 ? 0 : 2 * half(x);
    assert.ok(Math.abs(height - want) < 0.5, `${x} mm: ${height} is not ${want}`);
    assert.ok(Math.abs(centre) < 0.25, `${x} mm: middle ${centre}`);
  }
  await shot(page, "photo-taken", { fullPage: true });
  await page.keyboard.press("Control+z");
  await settled(page);
  assert.equal(await at(page, "/body/stations/3/height").inputValue(), "11 mm");
  // gone when it is taken away
  const url = await page.locator(".bench-view image").first().getAttribute("href");
  await page.evaluate(() => {
    const own = URL.revokeObjectURL;
    window.freed = [];
    URL.revokeObjectURL = (one) => (window.freed.push(one), own.call(URL, one));
  });
  await page.getByRole("button", { name: "Take the picture away" }).click();
  assert.equal(await page.locator(".bench-view image").count(), 0);
  assert.deepEqual(await page.evaluate(() => window.freed), [url]);
  await page.getByLabel("Name of the lure").fill("an ellipse");
  await settled(page);
  assert.ok(sent.every((body) => body.length < 20000 && !/data:image|blob:|\.png/.test(body)));
  await page.close();
});

await step("offers the picture's length until the body has it, and says what a round body cannot take", async () => {
  const round = JSON.parse(server.disk("blank.json"));
  round.body.stations = places.map((x) => ({ x: `${(x * 80) / 90} mm`, diameter: x % 90 === 0 ? "0 mm" : "11 mm" }));
  server.write("round.json", JSON.stringify(round));
  const page = await visit(context, server);
  await begin(page, "round.json");
  await page.getByText("A photo under the outline").click();
  await page.getByLabel("Picture from the side").first().setInputFiles(file("side.png", fromSide));
  await until(page, ".body-photo .photo-board .words", "one mark of a ruler");
  // Nose and tail are pressed 2 mm below the blank's own middle: back and belly differ from there.
  for (const spot of [[10, 24], [80, 24], [0, 2], [90, 2]]) await pressPhoto(page, page.locator("svg.photo").first(), tilted(...spot));
  await page.getByLabel("Between the two marks").fill("70 mm");
  const longer = page.getByRole("button", { name: "Stretch the body to 90.0 mm" });
  await longer.waitFor();
  await page.getByRole("button", { name: "Find the edge" }).click();
  await until(page, ".body-photo > .words", /middle lies up to (1\.[89]|2\.[01]) mm off the axis/);
  await longer.click();
  await settled(page);
  assert.equal(await at(page, "/body/stations/6/x").inputValue(), "90 mm");
  await page.waitForFunction(() => !/Stretch the body/.test(document.querySelector(".body-photo").textContent));
  server.write("widths.csv", "x,diameter\n0,0\n40,12\n80,2\n");
  server.write("listed.json", JSON.stringify({ ...round, body: { stations: "widths.csv", material: "larch" } }));
  await begin(page, "listed.json"); // its stations stand elsewhere: nothing could be taken from a picture
  assert.equal(await page.locator(".body-photo").isVisible(), false);
  await page.close();
});

await step("says so when a file is no picture, or its edge is not clear", async () => {
  const page = await visit(context, server);
  await begin(page, "blank.json");
  await page.getByText("A photo under the outline").click();
  const input = page.getByLabel("Picture from the side").first();
  await input.setInputFiles(file("notes.png", Buffer.from("no picture")));
  await until(page, ".body-photo .photo-board .words", "notes.png is no picture");
  await input.setInputFiles(file("grey.png", await painted({ width: 1500, height: 760, ground: "#888888", grain: 20, shapes: [] })));
  await until(page, ".body-photo .photo-board .words", "one mark of a ruler");
  for (const spot of [[10, 24], [80, 24], [0, 0], [90, 0]]) await pressPhoto(page, page.locator("svg.photo").first(), tilted(...spot));
  await page.getByRole("button", { name: "Find the edge" }).click();
  await until(page, ".body-photo > .words", "at 0 of 7 stations");
  assert.ok(await page.getByRole("button", { name: "Take these edges" }).isDisabled());
  await begin(page, "finished-minnow.json"); // another lure has no picture of this one under it
  assert.equal(await page.locator(".bench-view image").count(), 0);
  await page.close();
});

await step("lays a picture straight whichever way the nose points", async () => {
  const page = await visit(context, server);
  const far = await page.evaluate(async () => {
    const { lay, noseDown } = await import("/photo_lines.js");
    const left = lay({ nose: [100, 50], tail: [500, 90] }, 10, 40);
    const right = lay({ nose: [500, 90], tail: [100, 50] }, 10, 40);
    const spot = [300, 130]; // below the line from nose to tail in both
    const there = left.toPhoto(...left.toBody(spot));
    const [a, b, c, d, e, f] = left.matrix;
    const byMatrix = [a * spot[0] + c * spot[1] + e, b * spot[0] + d * spot[1] + f];
    // nose to the right and to the left, the same lure: the sign stays
    const both = [
      noseDown({ left: [0, 0], right: [100, 0], nose: [0, 20], tail: [100, 0] }).deg,
      noseDown({ left: [0, 0], right: [100, 0], nose: [100, 20], tail: [0, 0] }).deg,
    ];
    return { one: left.toBody(spot), other: right.toBody(spot), there, byMatrix, both };
  });
  const near = (a, b) => assert.ok(Math.abs(a - b) < 1e-6, `${a} is not ${b}`);
  near(far.one[1], far.other[1]); // below stays below
  near(far.one[0] + far.other[0], Math.hypot(400, 40) / 4); // from the one end and from the other
  far.there.forEach((v, i) => near(v, [300, 130][i]));
  far.byMatrix.forEach((v, i) => near(v, far.one[i]));
  for (const deg of far.both) near(deg, (Math.atan2(20, 100) * 180) / Math.PI);
  await page.close();
});

// The camera was held askew by 3 degrees; the lure lies 12 degrees nose-down to the water.
const level = put(3, [80, 200]);
const axis = (along, by) => {
  const t = (-12 * Math.PI) / 180; // the tail is higher
  return level(10 + along * Math.cos(t) - by * Math.sin(t), 40 + along * Math.sin(t) + by * Math.cos(t));
};
const inTank = await painted({
  width: 1500,
  height: 900,
  ground: "#bcd9de",
  grain: 20,
  shapes: [
    { points: [level(-10, 0), level(120, 0)], line: "#ffffff" },
    { points: [axis(0, 0), axis(30, -8), axis(90, 0), axis(30, 8)], fill: "#7c5327" },
  ],
});

await step("reads the angle in the tank off a picture, into the field", async () => {
  const page = await visit(context, server);
  await drawer(page, "Tank");
  await page.getByText("Read the angle from a photo").click();
  await page.getByLabel("Picture of the lure in the tank").first().setInputFiles(file("tank.png", inTank));
  const svg = page.locator(".tilt-photo svg.photo");
  for (const spot of [level(0, 0), level(105, 0), axis(0, 0), axis(90, 0)]) {
    await until(page, ".tilt-photo .words", "Press ");
    await pressPhoto(page, svg, spot);
  }
  await until(page, ".tilt-photo output", "nose-down 1[12]\\.");
  await shot(page, "photo-tank");
  await page.getByRole("button", { name: "Enter this angle" }).click();
  const read = await page.locator(".reading").evaluateAll((rows) =>
    rows.filter((r) => r.querySelector("select").value === "tilts").map((r) => r.querySelector("input").value),
  );
  assert.equal(read.length, 1);
  assert.ok(Math.abs(parseFloat(read[0]) - 12) < 0.4, read[0]);
  await page.close();
});

await step("by keyboard points are set in the middle and moved, and axe finds nothing serious", async () => {
  const page = await visit(context, server);
  await drawer(page, "Tank");
  await page.getByText("Read the angle from a photo").click();
  await page.getByLabel("Picture of the lure in the tank").first().setInputFiles(file("tank.png", inTank));
  for (let i = 0; i < 4; i++) {
    await page.getByRole("button", { name: "Put it in the middle" }).focus();
    await page.keyboard.press("Enter");
    const way = ["ArrowLeft", "ArrowRight", "ArrowDown", "ArrowUp"][i];
    for (let k = 0; k < 8; k++) await page.keyboard.press(way);
  }
  await until(page, ".tilt-photo output", "nose-(down|up) 9\\d\\.\\d deg|nose-(down|up) 90");
  if (axeSource !== null) {
    await page.evaluate(axeSource);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      assert.deepEqual(await serious(page, "#tank"), []);
    }
  }
  await page.close();
});

await step("photos fit a phone, and a finger sets points", async () => {
  const phone = await room({ viewport: { width: 320, height: 700 }, hasTouch: true, isMobile: true });
  const page = await visit(phone, server);
  await drawer(page, "Tank");
  await page.getByText("Read the angle from a photo").click();
  await page.getByLabel("Picture of the lure in the tank").first().setInputFiles(file("tank.png", inTank));
  const svg = page.locator(".tilt-photo svg.photo");
  for (const spot of [level(0, 0), level(105, 0), axis(0, 0), axis(90, 0)]) {
    await until(page, ".tilt-photo .words", "Press ");
    await pressPhoto(page, svg, spot, true);
  }
  await until(page, ".tilt-photo output", "nose-down 1[0-4]\\.");
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
  await shot(page, "phone-photo-tank");
  await phone.close();
});

await blank.close();
await context.close();
await server.stop();
