// SPDX-License-Identifier: GPL-3.0-or-later
// What lies packed in this very file (.alone/pack): the program as letters of gzip, and the workers' text.
const textOf = (id) => document.getElementById(id).textContent;

// The digits of base 85, most significant first; none that ends or opens an element.
const DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

// Five letters are four bytes; of the last ones as many less as letters are missing.
function bytesOf(letters) {
  const worth = new Uint8Array(128);
  for (let i = 0; i < DIGITS.length; i++) worth[DIGITS.charCodeAt(i)] = i;
  const missing = (5 - (letters.length % 5)) % 5;
  const whole = letters + DIGITS[84].repeat(missing);
  const bytes = new DataView(new ArrayBuffer((whole.length / 5) * 4));
  for (let at = 0; at * 5 < whole.length * 4; at += 4) {
    let number = 0;
    for (let i = (at / 4) * 5, end = i + 5; i < end; i++) number = number * 85 + worth[whole.charCodeAt(i)];
    bytes.setUint32(at, number);
  }
  return new Uint8Array(bytes.buffer, 0, bytes.byteLength - missing);
}

async function compile() {
  const packed = new Blob([bytesOf(textOf("packed-program").trim())]).stream();
  const program = packed.pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compileStreaming(new Response(program, { headers: { "Content-Type": "application/wasm" } }));
}

// Plain text, so that a worker begins while the program is still unpacked.
const workerAt = URL.createObjectURL(new Blob([textOf("packed-worker")], { type: "text/javascript" }));
export const newWorker = () => new Worker(workerAt);

export const compiledProgram = compile();
compiledProgram.catch(() => {});

// { version, archive, notices }: of this file, what holds its source, and what its parts ask to be said.
export const about = JSON.parse(textOf("packed-about"));
