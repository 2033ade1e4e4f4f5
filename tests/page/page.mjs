// SPDX-License-Identifier: GPL-3.0-or-later
// The bench page in headless Chromium. Arguments: modules, program, folder for screenshots, and
// maybe which of the parts; else those that `make check` runs, and all with FULL=1.
import { assert, close, faults, step, tally } from "./kit.mjs";

const usual = ["uses"];
const more = ["edits", "safe", "keeps", "mends", "tow", "empty", "picture", "photos", "whatif", "helps", "stores", "files", "log", "glued", "reach"];
const asked = process.argv.slice(5);
const parts = asked.length > 0 ? asked : process.env.FULL ? [...usual, ...more] : usual;
for (const part of parts) await import(`./${part}.mjs`);
await step("throws nothing", async () => assert.deepEqual(faults, []));
await close();
const { passed, failed } = tally();
console.log(`page in a browser: ${passed} passed, ${failed} failed`);
process.exit(); // a step that failed may have left a server behind
