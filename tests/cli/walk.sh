#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A lure of one's own from blank to water: planned, read at each stage, planned anew from there. The true lure is made up (its
# readings lie within what the plan allows). What is glued stays, the ladder starts from what was read, and readings that cannot be
# are refused with nothing written.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
cd "$work"
is() { [ "$2" = "$3" ] && good || bad "$1: $2, expected $3"; }
run() { status=0; "$prog" "$@" >out 2>err || status=$?; }
key() { /usr/bin/python3 - "$1" "$2" <<'PY'
import json, sys
v = json.load(open(sys.argv[1]))
for k in sys.argv[2].split("/"): v = v[int(k)] if isinstance(v, list) else v[k]
print(json.dumps(v, sort_keys=True))
PY
}
net() { # of the build: how wide the 90 % range of the net weight is, in mg
    run rest "$1" --json; cp out rest.json
    /usr/bin/python3 -c 'import json; w = json.load(open("rest.json"))["spread"]["waters"][0]["net_weight_range_g"]; print(round(1000 * (w["high"] - w["low"])))'
}
narrower() { # before the reading, after it
    local before now; before=$(net "$1"); now=$(net "$2")
    [ "$now" -lt "$before" ] && good || bad "$2: range $now mg, before $before"
}

run new walk --body minnow; is new $status 0
run fit walk.json --rigs 1 --full --write plan.json; is plan $status 0
for word in blank cut eyed coated complete; do grep -q "^  $word " out && good || bad "the ladder has no word $word"; done

run tank plan.json --scale "6.31 g" --stage blank --on 2031-04-01 --write blank.json; is "tank blank" $status 0
grep -q '^next: `fit` on the corrected build' out && good || bad "a blank 0.2 g lighter than planned is not sent to fit"
narrower plan.json blank.json
is "stage kept" "$(key blank.json readings/0/stage)" '"blank"'; is "day kept" "$(key blank.json readings/0/on)" '"2031-04-01"'
run fit blank.json --rigs 1 --full --write mounted.json; is "fit blank" $status 0
step() { grep -o "^  $1 .*" out | grep -o '[0-9]*\.[0-9]* +-' | head -1 | sed 's/ +-/ g/'; }
ladder=$(step eyed)
is "nothing but the scale's figure weighs what the plan said" "$(key mounted.json fitted/belly/hook | grep -c mass)" 0

run tank mounted.json --scale "$ladder" --stage eyed --on 2031-04-02 --write eyed.json; is "tank eyed" $status 0; narrower mounted.json eyed.json
run fit eyed.json --rigs 1 --full --write strip.json; is "fit eyed" $status 0
grep -q "read as eyed" out && good || bad "fit does not say what stays"
for seat in lip tie; do is "$seat stays" "$(key strip.json fitted/$seat)" "$(key eyed.json fitted/$seat)"; done
is "belly's eye stays" "$(key strip.json fitted/belly/eye)" "$(key eyed.json fitted/belly/eye)"
grep -q "^  eyed .*${ladder% g} +-0.02 g *read 2031-04-02" out && good || bad "the ladder does not start from the reading"
coated=$(step coated)
run tank strip.json --scale "$coated" --stage eyed --write no.json; is "the wrong stage" $status 3
grep -q "would agree with the stage coated" out && good || bad "the wrong stage is not named"
run tank strip.json --scale "10${coated}" --stage coated --write no.json; is "far too heavy" $status 3
run tank strip.json --scale "$ladder" --stage blank --write no.json; is "a stage that is passed" $status 3
[ ! -e no.json ] && good || bad "a refused reading was written"

run tank strip.json --scale "$coated" --stage coated --on 2031-04-05 --write coated.json; is "tank coated" $status 0; narrower strip.json coated.json
run fit coated.json --rigs 1 --full --write hooks.json; is "fit coated" $status 0
is "keel stays" "$(key hooks.json fitted/keel)" "$(key coated.json fitted/keel)"
run tank hooks.json --scale "$(step complete)" --in-water "0.03 g" --on 2031-04-06 --write done.json
is "tank complete" $status 0
grep -q '^next: `fit`' out && bad "a finished lure is sent to fit" || good
narrower hooks.json done.json
is "all readings kept" "$(key done.json readings | grep -o stage | wc -l)" 5
run rest done.json; is rest $status 0

# The first reading was false: at the third that is told.
run tank plan.json --scale "6.70 g" --stage blank --on 2031-04-01 --write false.json; is "within what the plan allows" $status 0
run tank false.json --scale "8.30 g" --stage eyed --write no.json; is "then it contradicts" $status 3
[ "$(grep -c 'either this one is wrong or that of blank, 6.70 g on 2031-04-01' out)" = 1 ] && good || bad "the odd one is not told in a line"
echo "cli walk: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 30 ]
