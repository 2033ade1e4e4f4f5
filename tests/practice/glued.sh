#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What `fit`, `tank` and `mend` tell a maker whose eyes and lip are glued: no other body, but what
# trims still reach; and after a blank on the scale that moved the lure off its target, to choose
# anew before anything else is weighed. Common practice, no source: what is glued stays. The lure is
# invented; it can only just be brought down.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
cd "$work"
flat() { tr -s '\n ' ' ' <"$1"; }
lure() { # material, stage read, mass read
    cat <<END
{ "ballastry": 1, "name": "made up", "water": { "temperature": "10 C" },
  "body": { "stations": [ { "x": 0, "diameter": 0 }, { "x": 8, "diameter": 12.1 },
      { "x": 24.1, "diameter": 18.8 }, { "x": 46.9, "diameter": 21.4 }, { "x": 73.7, "diameter": 18.8 },
      { "x": 100.5, "diameter": 12.1 }, { "x": 120.7, "diameter": 4 } ],
    "material": $1, "coats": [ { "material": "epoxy-clear", "thickness": 0.25 } ] },
  "seats": { "tie": { "kind": "tie", "x": 1, "side": "nose", "open": true },
    "belly": { "kind": "hanger", "x": 42.9, "side": "belly", "open": true },
    "tail": { "kind": "hanger", "x": 119.6, "side": "tail", "open": true },
    "lip": { "kind": "slot", "x": 11.9, "side": "belly", "angle": "40 deg", "depth": 9.4, "width": 21.6,
      "length": [21.6, 35], "open": true },
    "keel": { "kind": "patch", "x": [32, 80.5], "side": "belly", "width": 10.7, "open": true } },
  "fitted": { "tie": { "eye": "screw-eye-1.83-25" },
    "belly": { "eye": "screw-eye-1.83-19", "ring": "ring-5", "hook": "treble-2-medium",
      "wire": "tin-copper-wire-1.0", "turns": 11 },
    "tail": { "eye": "screw-eye-1.83-25", "ring": "ring-5", "hook": "treble-2-medium",
      "wire": "tin-copper-wire-1.0", "turns": 11 },
    "lip": { "sheet": "brass-1.5", "outline": "tongue-18", "length": 21.6 },
    "keel": { "strip": "tungsten-tape-0.5x10", "length": 35.6, "layers": 2, "x": 45 } },
  "target": { "state": "suspend", "drift": ["-18 mm/s", "18 mm/s"], "nose_down": ["3 deg", "15 deg"] },
  "readings": [ { "stage": "$2", "scale": "$3" } ] }
END
}
# By its scale a lure that 22 turns of wire bring down: they are kept for the tank, and told.
lure '{ "density": "0.494 g/cm3", "give": "1 %" }' eyed "19.66 g" >glued.json
"$prog" fit glued.json --rigs 1 >fit 2>&1
status=$?
[ $status = 0 ] && flat fit | grep -q 'brought in by what can be trimmed' && good ||
    bad "a glued lure that trims bring down, exit $status: $(cat fit)"
# One that nothing brings down: how much is missing, but no other wood for what is glued.
lure '"cedar"' eyed "16 g" >light.json
"$prog" fit light.json --rigs 1 >fit 2>&1
status=$?
[ $status = 1 ] && flat fit | grep -qE 'with what is mounted already the nearest weighs [0-9.]+ g too little in water' &&
    ! flat fit | grep -q 'a body of' && good || bad "a glued lure too light, exit $status: $(cat fit)"
# Not glued yet another wood is the first thing to say.
lure '"cedar"' blank "9.4 g" >blank.json
"$prog" fit blank.json --rigs 1 >fit 2>&1
flat fit | grep -q 'a body of' && good || bad "a blank too light: $(cat fit)"

# A blank heavier than thought: to choose anew comes before weighing a hook.
"$prog" new maple --body minnow --length "120 mm" --material red-maple >out 2>&1 &&
    "$prog" fit maple.json --rigs 1 --write rig.json >out 2>&1 &&
    "$prog" tank rig.json --stage blank --scale "16.84 g" --write weighed.json >tank 2>&1 ||
    bad "a blank on the scale: $(cat out tank)"
flat tank | grep -q 'next: `fit` on the corrected build, which would miss its target' && good ||
    bad "next after a blank off its plan: $(tail -4 tank)"
# The same reading once more is said, and one of a finished lure on target ends there.
"$prog" tank weighed.json --stage blank --scale "16.84 g" >tank 2>&1
flat tank | grep -q 'this reading stands in the build already' && good ||
    bad "the same reading twice: $(head -3 tank)"
"$prog" new floats --body minnow --length "80 mm" --material cedar --target float >out 2>&1 &&
    "$prog" fit floats.json --rigs 1 --write float.json >out 2>&1 &&
    "$prog" rest float.json --json >rest || bad "a floater: $(cat out)"
mass=$(grep -m1 -o '"mass_g": [0-9.]*' rest | grep -o '[0-9.]*$')
shows=$(grep -m1 -o '"shows_percent": [0-9.]*' rest | grep -o '[0-9.]*$')
"$prog" tank float.json --scale "$mass g" --shows "$shows %" >tank 2>&1
flat tank | grep -q 'next: leave it, it is on target as it is' && good ||
    bad "next of a finished floater: $(tail -4 tank)"

# Slips of the scale. The ounce is 28.349523125 g: international yard and pound agreement, 1959.
asks() { # words, then the arguments of tank
    local words=$1; shift
    "$prog" tank "$@" >tank 2>&1
    [ $? = 3 ] && flat tank | grep -qF -- "$words" && good || bad "$*: $(cat tank)"
}
asks 'would agree: were those grams, not ounces?' rig.json --stage blank --scale "15.89 oz"
asks 'would agree: were those ounces, not grams?' rig.json --stage blank --scale "0.56 g"
asks 'so much it would weigh under water: was it read there?' rig.json --scale "0.10 g"
echo "$passed passed, $failed failed"
[ $failed = 0 ]
