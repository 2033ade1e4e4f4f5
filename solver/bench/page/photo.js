// SPDX-License-Identifier: GPL-3.0-or-later
// A picture that the maker chose: read on this device, held by this tab alone. It is never sent and never
// stands in a build; letting it go frees it.
const WIDEST = 2400; // px: enough to see a tenth of a millimetre of a blank

export class Photo {
  // Throws words for people when the file is no picture.
  static async read(file) {
    const bitmap = await createImageBitmap(file).catch(() => {
      throw new Error(`${file.name} is no picture that this browser can read`);
    });
    const scale = Math.min(1, WIDEST / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const paint = canvas.getContext("2d", { willReadFrequently: true });
    paint.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    const bytes = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.93));
    return new Photo(canvas, paint, URL.createObjectURL(bytes));
  }

  constructor(canvas, paint, url) {
    this.width = canvas.width;
    this.height = canvas.height;
    this.url = url;
    this.data = paint.getImageData(0, 0, canvas.width, canvas.height).data;
  }

  // Red, green and blue at a place in px; null outside.
  at(x, y) {
    const [i, j] = [Math.round(x), Math.round(y)];
    if (i < 0 || j < 0 || i >= this.width || j >= this.height) return null;
    const k = 4 * (j * this.width + i);
    return [this.data[k], this.data[k + 1], this.data[k + 2]];
  }

  letGo() {
    URL.revokeObjectURL(this.url);
    this.data = null;
  }
}
