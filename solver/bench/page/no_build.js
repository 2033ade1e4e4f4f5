// SPDX-License-Identifier: GPL-3.0-or-later
// Whether a text is a build at all. What is none is told and never opened; what is one may still be at fault,
// and that is told at its field.

// Words to follow the file's name; null: it is a build.
export function whyNoBuild(text) {
  let doc = null;
  try {
    doc = JSON.parse(text);
  } catch {
    return "is no build: it does not read as JSON.";
  }
  const version = Array.isArray(doc) ? undefined : doc?.ballastry;
  if (version === undefined) return 'is no build: every build says "ballastry": 1, and this does not.';
  return version === 1 ? null : `is a build of another version, ${JSON.stringify(version)}; only version 1 is known here.`;
}

export function needBuild(name, text) {
  const why = whyNoBuild(text);
  if (why !== null) throw new Error(`${name} ${why}`);
}
