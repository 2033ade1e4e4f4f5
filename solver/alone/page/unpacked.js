// SPDX-License-Identifier: GPL-3.0-or-later
// What lies packed in this very file (.alone/pack): the program as base64 of gzip, and the workers' text.
const textOf = (id) => document.getElementById(id).textContent;

async function compile() {
  const packed = Uint8Array.from(atob(textOf("packed-program").trim()), (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

export const compiledProgram = compile();
compiledProgram.catch(() => {});

const workerAt = URL.createObjectURL(new Blob([textOf("packed-worker")], { type: "text/javascript" }));
export const newWorker = () => new Worker(workerAt);

// { version, archive }: of this file, and what holds its source.
export const about = JSON.parse(textOf("packed-about"));
