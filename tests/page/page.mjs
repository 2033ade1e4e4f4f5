// SPDX-License-Identifier: GPL-3.0-or-later
// The bench page in headless Chromium. Arguments: modules, program, folder for screenshots, and
// maybe which of the parts; else all.
import { assert, close, faults, step, tally } from "./kit.mjs";

const parts = process.argv.slice(5);
for (const part of parts.length > 0
  ? parts
  : ["uses", "empty", "picture", "photos", "whatif", "edits", "safe", "keeps", "helps", "mends", "stores", "files", "log", "glued", "tow", "reach"])
  await import(`./${part}.mjs`);
await step("throws nothing", async () => assert.deepEqual(faults, []));
await close();
const { passed, failed } = tally();
console.log(`page in a browser: ${passed} passed, ${failed} failed`);
process.exit(); // a step that failed may have left a server behind
