// SPDX-License-Identifier: GPL-3.0-or-later
// The bench page in headless Chromium. Arguments: modules, program, folder for screenshots.
import { assert, close, faults, step, tally } from "./kit.mjs";

await import("./uses.mjs");
await import("./edits.mjs");
await import("./safe.mjs");
await import("./reach.mjs");
await step("throws nothing", async () => assert.deepEqual(faults, []));
await close();
console.log(`page in a browser: ${tally()} steps passed`);
