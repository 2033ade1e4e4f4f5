#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Floaters as `new` writes them, flat ones of light wood above all, which ride high: what `fit` takes
# stays upright (metacentric height, any text on the stability of ships), and no screw goes into
# balsa, even where the tail is too thin for any eye (common practice, no source). Bodies invented.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
cd "$work"
fitted() { # body, length, material
    rm -f it.json lure.json
    "$prog" new it --body "$1" --length "$2 mm" --material "$3" --target float >out 2>&1 &&
        "$prog" fit it.json --rigs 1 --write lure.json >out 2>&1 || bad "$*: $(cat out)"
}
for body in "flat 45" "flat 70" "minnow 60"; do
    read -r kind length <<<"$body"
    for material in balsa pvc-board-500; do
        fitted "$kind" "$length" "$material"
        "$prog" rest lure.json >rest 2>&1
        grep -q 'stays upright' rest && ! grep -q 'rolls over' rest && good ||
            bad "$body $material: $(grep -E 'surface|roll height' rest)"
        [ $material != balsa ] || { ! grep -q 'screw-eye' lure.json && good; } ||
            bad "$body $material: $(grep -m1 screw-eye lure.json)"
    done
done
# What rolls over misses the target, by name; asked for no roll arm it may.
fitted flat 45 balsa
sed -e 's/"lip": { "sheet.*/"lip": { "sheet": "acrylic-2.0", "outline": "square-8", "length": "15.5 mm" }/' \
    lure.json >rolls.json
"$prog" rest rolls.json >rest 2>&1
grep -q 'rolls over by' rest && tr -s '\n ' ' ' <rest | grep -q \
    'misses the target: rolls over at the surface: roll height -0.2 mm, wanted 0 mm or more' &&
    good || bad "a lure that rolls over: $(cat rest)"
sed -e 's/"state": "float",/"state": "float", "roll_arm": 0,/' rolls.json >free.json
"$prog" rest free.json >rest 2>&1
grep -q 'rolls over by' rest && grep -q 'meets the target' rest && good ||
    bad "no roll arm asked: $(cat rest)"
echo "$passed passed, $failed failed"
[ $failed = 0 ]
