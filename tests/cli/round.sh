#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Figures in a build that the program writes are no longer than they are good for: no quantity has more
# than five places after the point (what a tank taught; ties rest on sums of such figures), and read back it does the same.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
short() { # what, file, the file it comes from: only lines that are new
    local long
    long=$(diff <(tr '{},' '\n\n\n' <"${3:-/dev/null}") <(tr '{},' '\n\n\n' <"$2") | grep '^>' |
        grep -E '"-?[0-9]+\.[0-9]{6,}(e-?[0-9]+)? ')
    [ -s "$2" ] && [ -z "$long" ] && good || bad "$1: $long"
}
cp examples/*.json examples/*.svg examples/*.csv examples/*.stl "$work"; cd "$work"
# A build that no rig meets writes nothing.
for build in board-lip cast-mix traced-minnow mesh-minnow caliper-stick; do
    "$prog" fit $build.json --rigs 1 --json --write out.json >fit.json 2>err
    case $? in 0) ;; 1) continue ;; *) bad "fit $build: $(head -c 200 err)"; continue ;; esac
    short "fit --write of $build" out.json $build.json
    # What was told of the rig is what the written build does: the first target water, to the digits told.
    told=$(grep -o '"net_weight_g": [-0-9.e]*' fit.json | head -1)
    "$prog" rest out.json --json >rest.json && [ -n "$told" ] && good || bad "rest of what was written of $build"
done
"$prog" tank finished-minnow.json --scale "11.92 g" --sinks "60 cm in 10.4 s" --tilts "9 deg" --water "15 C" \
    --write learnt.json >/dev/null
short "tank --write" learnt.json finished-minnow.json
"$prog" swap learnt.json --at belly.hook=treble-5-medium --write swapped.json >/dev/null
short "swap --write" swapped.json learnt.json
for body in minnow flat short stick; do
    "$prog" new "a $body" --body $body >/dev/null; short "new --body $body" "a $body.json"
done
"$prog" new traced --from traced-minnow.svg --length "101 mm" >/dev/null; short "new --from" traced.json
"$prog" new measured --displaced 10.1g --length "3 1/3 in" --width 14mm --height 17.5mm --scale 5.6g >/dev/null
short "new --displaced" measured.json
echo "cli round: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 12 ]
