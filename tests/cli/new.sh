#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# `new` around a maker's own body: what it writes is read by rest at once, has the body's size (its
# closed form where there is one), names the file and does not copy it, and points at nothing
# outside the folder.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
examples=$(realpath examples) here=$(realpath tests/cli)
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
mkdir -p "$work/in/below"; cd "$work/in"
cp "$examples/traced-minnow.svg" "$here/listed.csv" "$here/traced.svg" .
cp "$examples/hump-minnow.stl" .; cp traced.svg below/; cp traced.svg ../outside.svg
printf 'x;upper;lower\n0;0;0\n40;11;-11\n80;0;0\n' >points.csv
cat >ball.svg <<'SVG'
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><circle cx="4" cy="4" r="2"/></svg>
SVG
passed=0 failed=0 turn=-1
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
makes() { # what, then the arguments of new
    local what=$1; shift
    rm -f it.json
    "$prog" new it "$@" >out 2>err || { bad "$what: $(cat err)"; return; }
    "$prog" rest it.json >rest 2>err ||
        { bad "$what, rest: $(cat err)"; return; }
    good
}
refuses() { # what, words of the error, then the arguments
    local what=$1 words=$2; shift 2
    rm -f it.json
    "$prog" new it "$@" >out 2>err
    [ $? = 3 ] && [ ! -s out ] && [ ! -e it.json ] && [ "$(wc -l <err)" = 1 ] && grep -q -- "$words" err &&
        good || bad "$what: $(cat err)"
}
# However its lines are broken.
holds() { tr -s "\n " " " <"$1" | grep -qF -- "$2" && good || bad "$1 does not hold $2: $(cat "$1")"; }

makes "both outlines" --from traced-minnow.svg
holds it.json '"side": "traced-minnow.svg#side", "top": "traced-minnow.svg#top"'
holds out "nose is on the left"
holds rest "it is 88 mm long by its own units"
makes "one path" --from 'traced.svg#back' --width 70%
holds it.json '"width": "70%"'
makes "a file below" --from 'below/traced.svg#belly' --nose right
makes "a side and a top" --from 'traced.svg#back' --top 'traced.svg#belly'
makes "points" --from points.csv
holds out "as wide as high"
makes "points with a width" --from points.csv --width 16mm
makes "a caliper list" --from listed.csv --scale 5.6g
holds it.json '"stations": "listed.csv"'
holds it.json '"mass": "5.6g"'
makes "a mesh" --from hump-minnow.stl
holds it.json '"unit": "mm"'
holds out "the mesh is in mm"
makes "a mesh, turned round" --from hump-minnow.stl --nose +x --material balsa
refuses "a mesh with a top" "a mesh goes without" --from hump-minnow.stl --top traced.svg#back
refuses "a unit of a drawing" "with a mesh only" --from traced.svg#back --unit mm
makes "a ball of known size" --from ball.svg --length 40mm --material cork
volume=$("$prog" rest it.json --json | sed -n 's/.*"volume_cm3": \([0-9.]*\).*/\1/p' | head -1)
# A sphere of 40 mm under 0.25 mm of coat: 4/3 pi 20.25^3 mm3 = 34.783 cm3; a bare rig displaces no more.
awk -v v="$volume" 'BEGIN { exit !(v > 34.78 && v < 34.79) }' && good || bad "a ball of $volume cm3"
makes "the scale only" --displaced 10.1g --water 18C --length 88mm --width 14mm --height 17.5mm --scale 5.6g --balance 39mm
holds rest "with the measured length, width and height and balance point"
"$prog" fit it.json --rigs 1 >out 2>err; [ $? -le 1 ] && good || bad "fit: $(cat err)"

refuses "climbing" "leaves the build's folder" --from ../outside.svg
refuses "an absolute name" "leaves the build's folder" --from "$work/outside.svg"
refuses "no such file" "cannot be opened" --from none.svg
refuses "no such id" 'did you mean "back"' --from 'traced.svg#bak'
refuses "several shapes" "draws 2 shapes; name one" --from traced.svg
refuses "no size" "does not say how large" --from ball.svg
refuses "no such material" '--material: no material "lurch"' --from listed.csv --material lurch
refuses "a mass in millimetres" "--scale: " --from listed.csv --scale 5mm
refuses "sizes are missing" "needs --length" --displaced 10g
refuses "too small for its sizes" "--displaced: " --displaced 1g --length 88mm --width 14mm --height 17mm
refuses "nothing to start from" "expected --from" --scale 5g
printf 'position;diameter\n0;0\n40;thick\n' >broken.csv
refuses "a broken list" "line 3, column 2" --from broken.csv
printf 'colour;taste\n0;0\n' >other.csv
refuses "another table" "colour" --from other.csv
# A starter at another size: its length is the one that was said, seats stay on it, and with no size it is
# the starter itself. Volume goes as length x width x height (a body drawn out stays affine, up to the
# 0.1 mm to which stations are rounded: half a per cent of 10 mm).
volume() { "$prog" rest "$1" --json | sed -n 's/.*"volume_cm3": \([0-9.]*\).*/\1/p' | head -1; }
for body in minnow flat short stick; do
    rm -f plain.json; "$prog" new plain --body $body >/dev/null
    sizes=("--length 4cm" "--length 10cm" "--length 25cm" "--length 3.5in --width 13mm" "--width 20mm --height 24mm --material balsa" "--scale 9g")
    for i in "${!sizes[@]}"; do # every other one, taking turns, but all with FULL=1
        turn=$((turn + 1)) size=${sizes[i]}
        [ -n "${FULL:-}" ] || [ $(((turn + turn / 6) % 2)) = 0 ] || continue
        makes "$body $size" --body $body $size
        ! grep -qE '[0-9]\.[0-9]{4}' it.json && good || bad "$body $size: $(grep -E '[0-9]\.[0-9]{4}' it.json | head -3)"
    done
    sed 's/"thickness": "0.25 mm"/"thickness": "0 mm"/' plain.json >bare.json
    "$prog" new twice --body $body --length $(sed -n 's/.*"x": "\([0-9]*\) mm", "[dw].*/\1/p' plain.json | tail -1 | awk '{print 2 * $1 "mm"}') >/dev/null
    sed 's/"thickness": "0.25 mm"/"thickness": "0 mm"/' twice.json >bare2.json; rm twice.json
    awk -v a="$(volume bare.json)" -v b="$(volume bare2.json)" 'BEGIN { exit !(b / a > 7.99 && b / a < 8.01) }' && good ||
        bad "$body at twice the length: $(volume bare.json) to $(volume bare2.json) cm3"
done
# Whatever wood a floating starter is of, a rig within the craft makes it float as it asks: by Archimedes' law a
# lighter body shows more. Balsa without a hole for weight shows half and more (common practice, no source).
for body in short flat; do
    for wood in balsa paulownia cedar larch maple beech; do
        rm -f it.json; "$prog" new it --body $body --length 50mm --material $wood >/dev/null
        "$prog" fit it.json --rigs 1 >out 2>err && ! grep -qE 'within the craft|nothing but wire' out && good ||
            bad "$body of $wood: $(cat out err)"
    done
done
rm -f it.json; "$prog" new it --body short --length 50mm --material balsa >/dev/null
holds it.json '"shows": ["45 %", "70 %"]'
# A patch that is a little too narrow for the narrowest strip sold is no use to a maker: 6 mm of tape go on
# 10.7 mm of body (at most 0.7 of it: common practice, no source), and then no wire is wound on a first build.
rm -f it.json; "$prog" new it --body minnow --length 60mm --material cedar >/dev/null
"$prog" fit it.json --rigs 1 >out 2>err
grep -q 'keel .*x6, ' out && ! grep -q 'turns of .* on the shank' <(sed '/expect in the tank/,$d' out) && good ||
    bad "a cedar minnow of 60 mm: $(cat out err)"
rm -f it.json; "$prog" new it --displaced 4.2g --length 62mm --width 11mm --height 13mm --material basswood >/dev/null
holds it.json '"width": "6 mm" }'
# So is one of 9 mm where tape of 10 would go on: at 0.65 of the body's width.
rm -f it.json; "$prog" new it --displaced 14.2g --water 19C --length 75mm --width 19mm --height 22mm --scale 8.1g --balance 33mm >/dev/null
"$prog" fit it.json --rigs 1 >out 2>err
grep -q 'keel .*x10, ' out && ! grep -q 'nothing but wire' out && good || bad "a measured one of 75 mm: $(cat out err)"
# Metal on the belly of a lipless lure lies under its front hook, ahead of it too: it shall lie level, within
# a few degrees (common practice, no source).
rm -f it.json; "$prog" new it --body short >/dev/null
"$prog" fit it.json --rigs 1 --json | sed -n '/"surface"/,$s/.*"nose_down_deg": \(-*[0-9.]*\).*/\1/p' | head -1 >nose
awk '{ n = $1 } END { exit !(NR == 1 && n > -5 && n < 5) }' nose && good || bad "a short one lies at $(cat nose)"
# What floats without a lip shall also lie nose-down where that is asked: metal must then lie ahead of the belly
# hook (by the law of the lever; that such a patch is usual: common practice, no source). From 27 % of the length
# on, as where a lip is, nothing did.
sizes=(--displaced 13.4g --length 75mm --width 18mm --height 21mm --scale 7.6g)
rm -f it.json; "$prog" new it "${sizes[@]}" --no-lip --target float >out
holds out "how much of it is to show, by what the bare body weighs"
! grep -q '"slot"' it.json && good || bad "a lip was not asked for"
sed -i 's/"state": "float",/& "nose_down": ["2 deg", "9 deg"],/' it.json
"$prog" fit it.json --rigs 1 >fitted 2>err; [ $? = 0 ] && good || bad "nose-down: $(cat fitted err)"
sed -E '/"chest"/d; s/("patch", "x": )\[[^]]*\]/\1["20 mm", "50 mm"]/' it.json >back.json
"$prog" fit back.json --rigs 1 >fitted 2>err; [ $? = 1 ] && good || bad "from behind: $(cat fitted err)"
# Where a body has room for it there is a patch on either side of the belly eye, 2 mm from it (as the craft has strips:
# common practice, no source), and each takes the narrowest tape that is sold.
sides() { # what, then the arguments of new
    local what=$1; shift
    rm -f it.json; "$prog" new it "$@" >/dev/null 2>err
    /usr/bin/python3 - <<'PY' 2>>err && good || bad "$what has no patch on either side: $(cat err it.json)"
import json
seats = json.load(open("it.json"))["seats"]
mm = lambda said: float(said.removesuffix(" mm"))
eye, chest, keel = mm(seats["belly"]["x"]), seats["chest"], seats["keel"]
assert abs(eye - 2 - mm(chest["x"][1])) < 1e-9 and abs(mm(keel["x"][0]) - 2 - eye) < 1e-9
assert all(mm(p["x"][1]) - mm(p["x"][0]) >= 6 and mm(p["width"]) >= 6 for p in (chest, keel))
PY
}
sides "a drawn one" --from traced-minnow.svg --length 110mm
sides "a drawn one without a lip" --from traced-minnow.svg --length 110mm --no-lip
sides "a measured one" "${sizes[@]}"
sides "a measured one without a lip" "${sizes[@]}" --no-lip
sides "a mesh" --from hump-minnow.stl
sides "a minnow" --body minnow
sides "a long minnow" --body minnow --length 140mm
sides "a short one, shorter" --body short --length 47mm --width 18mm
# A body too slim for it has metal behind the eye alone.
rm -f it.json; "$prog" new it --displaced 1.2g --length 35mm --width 8mm --height 10mm >/dev/null
! grep -q '"chest"' it.json && grep -q '"keel"' it.json && good || bad "a slim one: $(cat it.json)"
# A floater shows what its body is lighter than water, less its parts (Archimedes' law): whatever it is of and
# however long, a rig within the craft makes it float as it asks. Common woods, balsa to larch.
for size in "60 balsa" "75 cedar" "120 larch"; do
    read -r length wood <<<"$size"
    for lip in "" --no-lip; do
        rm -f it.json; "$prog" new it --from traced-minnow.svg --length "${length}mm" --material $wood --target float $lip >/dev/null
        "$prog" fit it.json --rigs 1 >fitted 2>err && ! grep -q 'no rig within the craft' fitted && good ||
            bad "$size $lip floats: $(cat fitted err)"
    done
done
rm -f it.json; "$prog" new it --from traced-minnow.svg --target sink >out
holds it.json '"state": "sink"'
holds out "how fast it is to sink"
"$prog" fit it.json --rigs 1 >fitted 2>err && good || bad "one that sinks: $(cat fitted err)"
rm -f it.json; "$prog" new it --from traced-minnow.svg >out; holds out "--target float or sink"
rm -f it.json; "$prog" new it --body short --target suspend >out; holds it.json '"state": "suspend"'
rm -f it.json; "$prog" new it --body short --target float >out; holds it.json '"shows": ["5 %", "30 %"]'
refuses "a target of its own" "float, suspend or sink" --from traced-minnow.svg --target hover
"$prog" new it --body short --no-lip >out 2>err; [ $? = 2 ] && good || bad "a starter without a lip"
# In inches a whole build is in inches, but for what the maker said; it is the same lure within what it is rounded
# to (1 in = 25.4 mm exactly, international yard and pound agreement of 1959), and takes as wide a strip.
for from in "--from traced-minnow.svg" "--body short" "--body flat --length 3.2in --target suspend" ""; do
    rm -f it.json; "$prog" new it $from >/dev/null; mv it.json metric.json
    "$prog" new it $from --units inch >/dev/null
    ! grep -qE '[0-9] (mm|mm/s|C)"' it.json && grep -q '[0-9] in"' it.json && good || bad "inches of $from: $(cat it.json)"
    awk -v a="$(volume metric.json)" -v b="$(volume it.json)" 'BEGIN { exit !(a > 0 && b / a > 0.995 && b / a < 1.005) }' && good ||
        bad "inches of $from: $(volume metric.json) and $(volume it.json) cm3"
    for build in metric it; do "$prog" fit $build.json --rigs 1 2>&1 | sed -n 's/^ *keel *[^,]*\(x[0-9.]*\),.*/\1/p'; done | sort -u >strips
    [ "$(wc -l <strips)" -le 1 ] && good || bad "inches of $from take strips of $(cat strips)"
done
rm -f it.json; "$prog" new it --displaced 10.1g --length 88mm --width 14mm --height 17.5mm --units inch >/dev/null
holds it.json '"displaced": "10.1g"'
holds it.json '"x": "0.04 in"'
refuses "a scaled one of no wood" "--material: no material" --body flat --material lurch
refuses "a scaled one as long as it weighs" "--length" --body flat --length 5g
# A slip in a unit is told as that, with the option, what was typed and what was expected, whatever else is wrong.
wrong_unit() { # option, value, the words of what was expected, more arguments
    local option=$1 value=$2 words=$3; shift 3
    refuses "$option $value $*" "^ballastry: $option: \"$value\" is a .*; expected a $words such as" "$option" "$value" "$@"
}
wrong_unit --length "90 kg" length
wrong_unit --length "90 kg" length --body flat
wrong_unit --length "90 kg" length --from traced-minnow.svg
wrong_unit --width "14 g" length --from traced-minnow.svg
wrong_unit --height "3 s" length
wrong_unit --balance "39 g" length
wrong_unit --scale "5.6 mm" mass --body flat
wrong_unit --displaced "10 cm" mass
wrong_unit --water "18 mm" temperature
refuses "no number" '^ballastry: --length: "long"' --length long
refuses "a speck" "--length" --body minnow --length 3mm
"$prog" new it --body minnow --from listed.csv >out 2>err; [ $? = 2 ] && good || bad "a body and a file"
touch it.json
"$prog" new it --from listed.csv >out 2>err; [ $? = 3 ] && [ ! -s it.json ] && good || bad "wrote over a file"
echo "new from a body: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 30 ]
