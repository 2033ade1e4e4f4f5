#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A build whose body is a mix is poured of that mix: the blank then weighs what `rest` says, by
# volumes that add (definition), whether the filler's share is of volume or of mass; and what is said
# of a filler goes before. Builds: the shipped example, and it again with the same share by mass.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
number() { grep -oE "$2 +[0-9.]+" "$1" | head -1 | grep -oE '[0-9.]+$'; }
cp examples/cast-mix.json "$work/volume.json"
cd "$work"
python3 - <<'END'
import json
build = json.load(open("volume.json"))
mix = build["body"]["material"]["mix"]
phi, filler, resin = 0.2, 0.2, 1.05
mix.clear()
mix.update(resin="urethane", filler={"density": "0.2 g/cm3"}, share="20 %")
json.dump(build, open("volume.json", "w"))
by_mass = phi * filler / (phi * filler + (1 - phi) * resin)
del mix["share"]
mix["share_by_mass"] = f"{100 * by_mass:.6f} %"
json.dump(build, open("mass.json", "w"))
END
for build in volume mass; do
    "$prog" pour $build.json --by-weight 100:90 >pour 2>&1 || bad "$build: $(cat pour)"
    "$prog" rest $build.json >rest 2>&1
    poured=$(number pour '^  mass') rests=$(number rest 'bare blank')
    [ -n "$poured" ] && [ "$poured" = "$rests" ] && grep -q 'taken from the build: its mix' pour &&
        grep -q '20 % by volume' pour && good || bad "$build: pours $poured g, rest says $rests g"
done
"$prog" pour volume.json --by-weight 100:90 --filler 0.2g/cm3 --target 0.75g/cm3 --stirred --cured 1.05g/cm3 >pour 2>&1
grep -q 'density  *0.750' pour && ! grep -q 'taken from the build' pour && good ||
    bad "a filler that is said: $(cat pour)"
echo "$passed passed, $failed failed"
[ $failed = 0 ]
