// SPDX-License-Identifier: GPL-3.0-or-later
// The angle of a lure in the tank, read off a picture: a line along the water, a line along the lure.
import { button, make } from "./dom.js";
import { PhotoBoard } from "./photo_board.js";
import { noseDown } from "./photo_lines.js";

const points = [
  ["left", "the water's surface, or another level line, far to the left"],
  ["right", "the same level line far to the right"],
  ["nose", "the lure's nose, on its axis"],
  ["tail", "the lure's tail, on its axis"],
];

export class TiltPhoto {
  // done(kind, text): a reading, such as ("tilts", "9.5 deg").
  constructor(done) {
    this.board = new PhotoBoard(
      "Picture of the lure in the tank",
      points,
      [
        ["left", "right"],
        ["nose", "tail"],
      ],
      () => this.#show(),
    );
    this.words = make("output", { class: "words" });
    this.enter = button("Enter this angle", () => done(this.where.value, this.text), { class: "deed", hidden: true });
    this.where = make(
      "select",
      { "aria-label": "How it lay" },
      make("option", { value: "tilts" }, "under water"),
      make("option", { value: "tilts-afloat" }, "afloat"),
    );
    this.row = make("div", { class: "row", hidden: true }, this.words, this.where, this.enter);
    this.root = make(
      "details",
      { class: "tilt-photo" },
      make("summary", {}, "Read the angle from a photo"),
      make("p", { class: "hint" }, "Hold the camera level with the lure and square to it. The picture stays in this tab."),
      this.board.root,
      this.row,
    );
  }

  forget() {
    this.board.forget();
  }

  #show() {
    const all = this.board.all;
    this.row.hidden = this.enter.hidden = !all;
    if (!all) return;
    const { deg, off } = noseDown(all);
    this.text = `${deg.toFixed(1)} deg`;
    const way = deg < 0 ? "nose-up" : "nose-down";
    this.words.textContent = `${way} ${Math.abs(deg).toFixed(1)} deg; a press two dots off changes it by ${off.toFixed(1)} deg`;
  }
}
