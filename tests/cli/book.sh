#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The maker's book as a file: where it lies (XDG Base Directory Specification 0.8: $XDG_DATA_HOME, absolute,
# else $HOME/.local/share), that nothing is written unasked, that a book with a fault is told and left as it
# is, that two programs at once lose nothing, and that what is the maker's own wording stands.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
here=$PWD/tests/cli
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
is() { if [ "$2" = "$3" ]; then good; else bad "$1: $2, expected $3"; fi; }
cd "$work"; cp "$here/own-minnow.json" lure.json
export HOME=$work/home XDG_DATA_HOME=$work/data SOURCE_DATE_EPOCH=1790000000; mkdir -p home relative
reads=(--scale "6.70 g at blank" --scale "11.00 g at coated" --scale "12.82 g" --in-water "0.37 g" --water "18 C")
own=$XDG_DATA_HOME/ballastry/book.json
said() { tr -s " \n" " " <out | grep -c "$1"; } # lines may be broken anywhere
lures() { "$prog" book --book "$1" --json | grep -c '"lure":'; }

"$prog" tank lure.json "${reads[@]}" >out 2>err; is "tank" $? 0
is "unasked" "$(find . -name '*book.json*' | wc -l)" 0
"$prog" book >out 2>&1; is "no book" "$?$(said 'no book yet')" 01
"$prog" book on >out 2>&1; is "on" "$?$(ls "$own")" "0$own"
"$prog" tank lure.json "${reads[@]}" >out 2>err; is "kept" "$?$(said 'kept in your book as "own minnow"')" 01
"$prog" tank lure.json "${reads[@]}" --no-book >out 2>err; is "left alone" "$(lures "$own")" 1
"$prog" rest lure.json >out; is "used" "$(said 'your book: your larch')" 1
"$prog" rest lure.json --no-book >out; is "not used" "$(said 'your book')" 0
env -u XDG_DATA_HOME "$prog" book on >out; is "home" "$(ls "$HOME/.local/share/ballastry/book.json")" "$HOME/.local/share/ballastry/book.json"
XDG_DATA_HOME=relative "$prog" book >out; is "relative" "$(said "$HOME")" 1
"$prog" tank lure.json "${reads[@]}" --no-book --json >a; "$prog" tank lure.json "${reads[@]}" --book new.json >out
is "--book makes it" "$(lures new.json)" 1
"$prog" tank lure.json "${reads[@]}" --no-book --json >b; is "the same without it" "$(cmp a b && echo same)" same
# The very same again: whatever the book has made of the build meanwhile, it is no second lure.
"$prog" tank lure.json "${reads[@]}" --book new.json --lure "own minnow" >out
is "replaced" "$(lures new.json)$(said 'in place of what it had')" 11
"$prog" tank lure.json "${reads[@]}" --book new.json >out; is "the same again" "$(lures new.json)$(said 'with the very same readings, "own minnow"')" 11
"$prog" tank lure.json "${reads[@]}" --tilts "9 deg" --book new.json >out; is "another" "$(lures new.json)$(said '"own minnow 2"')" 21
"$prog" tank lure.json --scale "6.70 g at blank" --book new.json >out
is "unfinished" "$(lures new.json)$(said 'not kept in your book yet')" 21

# Off.
cp "$own" before; "$prog" book off >out; "$prog" tank lure.json "${reads[@]}" >out; is "off" "$(lures "$own")" 1
"$prog" rest lure.json >out; is "off, not used" "$(said 'your book')" 0
"$prog" book on >out; is "on again" "$(cmp "$own" before && echo same)" same

# A further test of the lure by its corrected build: one lure, and it knows as much as both tests at once.
rm -f new.json*
"$prog" tank lure.json --scale "6.70 g at blank" --scale "11.00 g at coated" --book new.json --write once.json >out
is "its name in the build" "$(grep -c '"lure": "own minnow"' once.json)" 1
"$prog" tank once.json --in-water "0.37 g" --scale "12.82 g" --water "18 C" --book new.json >out
is "renewed" "$(lures new.json)$(said 'a further test of "own minnow"')" 11
"$prog" tank lure.json "${reads[@]}" --book both.json >out
"$prog" book --book new.json | grep -E '^    (density|coat|hook)' >two; "$prog" book --book both.json | grep -E '^    (density|coat|hook)' >one
awk 'NR == FNR {v[FNR] = $3; g[FNR] = substr($4, 3); n++; next}
    {mine = substr($4, 3)
     if (($3 - v[FNR])^2 > (0.1 * g[FNR])^2 || mine > 1.1 * g[FNR] || mine < g[FNR] / 1.1) {print FNR, $0; exit 1}}
    END {if (n != FNR || n < 5) exit 1}' one two >off && good || bad "two tests and both at once: $(cat off one two)"
sed 's/"lure": "own minnow"/"lure": "stranger"/' once.json >stranger.json
"$prog" tank stranger.json --in-water "0.37 g" --book new.json >out; is "a stranger" "$(lures new.json)$(said 'has no "stranger"')" 11

# The maker's own wording.
seven=$here/seven-lures.json
sed 's/"thickness": "0.25 mm"/"thickness": { "value": "0.25 mm", "give": "0.02 mm" }/' lure.json >worded.json
"$prog" rest worded.json --book "$seven" >out; is "a give of its own" "$(said 'your coats')$(said 'your larch')" 01
sed 's/"thickness": "0.25 mm"/"thickness": "0.6 mm"/' lure.json >thick.json
"$prog" rest thick.json --book "$seven" >out; is "another coat" "$(said 'too far from what is planned to be it: 0.6')" 1
sed 's/"material": "larch"/"material": "larch", "mass": "6.60 g"/' lure.json >weighed.json
"$prog" rest weighed.json --book "$seven" >out; is "weighed" "$(said 'your larch')" 0
sed 's/, "thickness": "0.25 mm"//' lure.json >silent.json; cmp -s lure.json silent.json && bad "nothing left out"
"$prog" rest silent.json --no-book >out 2>err; is "no thickness" "$?$(grep -c '/body/coats/0: .*thickness' err)" 31
"$prog" rest silent.json --book "$seven" >out 2>err; is "thickness by the book" "$?" 0
sed 's/"thickness": "0.25 mm"/"thickness": "0.25 mm", "way": "dipped"/' lure.json >dipped.json
"$prog" rest dipped.json --book "$seven" >out; is "another way" "$(said 'your coats')" 0
printf '{"ballastry_catalog": 1, "materials": [{"id": "larch", "name": "my board", "density": "0.66 g/cm3", "give": "0.1 %%", "origin": "measured", "source": "a block"}]}' >mine.json
"$prog" rest lure.json --book "$seven" --catalog mine.json --json | tr -d ' \n' | grep -q '"key":"larch"[^}]*"next":{"value":0.6[56]' && good ||
    bad "a catalog of one's own, surer than the book, goes first"

# Forgetting, and back.
cp "$seven" f.json; "$prog" book forget "own minnow 3" --book f.json >out; is "forgotten" "$?$(lures f.json)" 06
cmp -s f.json~ "$seven" && good || bad "kept as it was"
"$prog" book forget coat epoxy-clear --book f.json >out; is "a figure" "$?$(lures f.json)$(grep -c '"coat"' f.json)" 060
cp f.json was; "$prog" book forget coat epoxy-clear --book f.json >out 2>err; is "twice" "$?$(cmp f.json was && echo same)" 3same

# Faults: told with file and place, and nothing of them lost.
fault() { # what, words of the error, sed of the book
    sed "$3" "$seven" >x.json; cp x.json was
    for command in "rest lure.json" "tank lure.json --scale 12.82g" "book" "book on" "book forget x"; do
        "$prog" $command --book x.json >out 2>err
        [ $? = 3 ] && [ ! -s out ] && grep -qE "x.json: $2" err && cmp -s x.json was && good || bad "$1, $command: $(cat err)"
    done
}
fault "cut short" "line [0-9]+" '30,$d'
fault "a give below zero" "/lures/0/findings/0/give: " '0,/"give": 0/s//"give": -0/'
fault "another version" "/ballastry_book: is version 2" 's/"ballastry_book": 1/"ballastry_book": 2/'
fault "a key of nobody's" "/lures/0/findings/0/valve: " '0,/"value"/s//"valve"/'
fault "a unit" "/lures/0/findings/0/unit: .*in g.cm3" '0,/"unit": "g.cm3"/s//"unit": "mm"/'
fault "a day" "/lures/0/date: " '0,/"date": "2026-09-21"/s//"date": "yesterday "/'
fault "knots that cannot be" "/lures/0/together: " '/"together": \[/,/\]$/{s/^        \[\([0-9.-]*\)\],$/        [0.9999],/;s/^        \[\([0-9.-]*\), \([0-9.-]*\)\],$/        [-0.9, 0.9],/}'
mkdir -p locked; cp "$seven" locked/book.json; chmod 500 locked
if [ "$(id -u)" != 0 ]; then
    "$prog" tank lure.json "${reads[@]}" --book locked/book.json >out 2>err; is "a folder that is shut" "$?$(cmp locked/book.json "$seven" && echo same)" 3same
fi
chmod 700 locked

# A kind of finding that this version knows nothing of is kept.
sed '0,/"kind": "drag"/s//"kind": "lip-factor"/' "$seven" >later.json
"$prog" tank lure.json "${reads[@]}" --book later.json >out; is "a kind unknown" "$?$(grep -c '"lip-factor"' later.json)$(lures later.json)" 018

# Two programs at once, again and again, and a third that switches it: every lure is there, whole.
rm -f new.json*
many() { for i in 1 2 3 4 5 6 7 8; do "$prog" tank lure.json "${reads[@]}" --book new.json --lure "$1 $i" >/dev/null || echo fault; done; }
switching() { for i in 1 2 3 4 5 6 7 8; do "$prog" book on --book new.json >/dev/null || echo fault; done; }
many left >l & many right >r & switching >s; wait
is "two at once" "$(lures new.json)$(cat l r s)$(ls | grep -c 'new.json.new')" 160
echo "cli book: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 60 ]
