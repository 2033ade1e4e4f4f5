// SPDX-License-Identifier: GPL-3.0-or-later
// Shows what the program answered. Positions and figures are the program's; nothing is worked out
// here but the frame around them and the number of digits.
const SVG = "http://www.w3.org/2000/svg";

export function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

function shape(tag, attributes) {
  const node = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}

function frame(drawing) {
  const points = [...drawing.outline, ...Object.values(drawing.seats), ...drawing.pieces.flatMap((p) => p.line)];
  const xs = points.map((p) => p[0]), ys = points.map((p) => p[1]);
  const left = Math.min(...xs) - 8, right = Math.max(...xs) + 8;
  const top = Math.min(...ys, drawing.afloat ? -6 : Infinity) - 8, bottom = Math.max(...ys) + 8;
  return { left, top, width: right - left, height: bottom - top };
}

export function draw(svg, drawing) {
  const box = frame(drawing);
  const surface = drawing.afloat ? 0 : box.top;
  svg.setAttribute("viewBox", `${box.left} ${box.top} ${box.width} ${box.height}`);
  svg.replaceChildren(
    shape("rect", { class: "water", x: box.left, y: surface, width: box.width, height: box.top + box.height - surface }),
    ...drawing.pieces.map((p) => shape("polyline", { class: "piece", points: p.line.join(" "), "stroke-width": 1.6 })),
    shape("polygon", { class: "hull", points: drawing.outline.join(" "), "stroke-width": 0.4, "fill-opacity": 0.85 }),
    ...Object.entries(drawing.seats).map(([name, p]) => {
      const dot = shape("circle", { class: "seat", cx: p[0], cy: p[1], r: 1, "stroke-width": 0.3 });
      const title = shape("title", {});
      title.textContent = name;
      dot.append(title);
      return dot;
    }),
  );
}

const figure = (value, digits, unit) =>
  (value === null ? "not known" : `${value.toFixed(digits).replace(/^-(?=[0.]*$)/, "")} ${unit}`);

export function showRest(rest) {
  const o = rest.outcome;
  document.getElementById("answer").textContent =
    `${rest.motion}, ${rest.attitude}` + (rest.target ? (rest.target.met ? "; as it should" : "; not as it should") : "");
  draw(document.getElementById("drawing"), rest.drawing);
  const rows = [
    ["Whole lure weighs", figure(o.mass_g, 2, "g")],
    ["Weight in water", figure(o.net_weight_g, 3, "g")],
    ["Drift, down is positive", figure(o.drift_mm_s, 1, "mm/s")],
    ["Nose-down under water", figure(o.nose_down_deg, 1, "deg")],
    ["Arm that holds it upright", figure(o.roll_arm_mm, 2, "mm")],
  ];
  if (o.surface) rows.push(["Shows above water", figure(o.surface.shows_percent, 0, "%")]);
  document.getElementById("figures").replaceChildren(
    ...rows.map(([name, value]) => make("div", {}, make("dt", {}, name), make("dd", {}, value))));
  document.getElementById("notes").replaceChildren(...o.notes.map((note) => make("li", {}, note)));
  document.getElementById("ladder").replaceChildren(make("table", {},
    make("tr", {}, make("th", { scope: "col" }, "after"), make("th", { scope: "col" }, "reads")),
    ...rest.ladder.map((rung) => make("tr", {}, make("td", {}, rung.step),
      make("td", { class: "n" }, `${figure(rung.reads_g, 2, "g")} ± ${figure(rung.give_g, 2, "g")}`)))));
}

export function rigWords(parts) {
  return Object.entries(parts)
    .map(([seat, on]) => [seat, Object.values(on).filter((v) => typeof v === "string").join(" + ")])
    .filter(([, ids]) => ids !== "")
    .map(([seat, ids]) => `${seat}: ${ids}`)
    .join("; ");
}
