#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Where the maker's box is looked for (XDG Base Directory Specification 0.8: $XDG_CONFIG_HOME, absolute,
# else $HOME/.config), and that a rig takes no more out of it than there is.
set -u
cd "$(dirname "$0")/../.."
. tests/support/tally.bash
mkdir -p "$work"/{build,home/.config/ballastry,config/ballastry,relative/ballastry}
cp examples/larch-minnow.json "$work/build/"; cd "$work"
box() { printf 'id,count\n%s,%s\n' "$2" "$3" >"$1"; }
box home/.config/ballastry/box.csv ring-1 1; box config/ballastry/box.csv ring-2 2
box relative/ballastry/box.csv ring-3 3
listed() { # what, id that the box must hold, then the command
    local what=$1 id=$2; shift 2
    "$@" >out 2>err; grep -q " $id " out && [ "$(grep -c ' ring-\| treble' out)" = 1 ] && good || bad "$what: $(cat out err)"
}
listed "home" ring-1 env -u XDG_CONFIG_HOME HOME="$work/home" "$prog" catalog box
listed "config" ring-2 env XDG_CONFIG_HOME="$work/config" HOME="$work/home" "$prog" catalog box
listed "a config that is not absolute" ring-1 env XDG_CONFIG_HOME=relative HOME="$work/home" "$prog" catalog box
export HOME=$work/home XDG_CONFIG_HOME=$work/config
box build/box.csv ring-4 4
"$prog" catalog box build/larch-minnow.json >out 2>err; grep -q ' ring-4 ' out && ! grep -q ' ring-2 ' out && good || bad "beside: $(cat out err)"
(cd build && "$prog" catalog box) >out 2>err; grep -q ' ring-4 ' out && good || bad "here: $(cat out err)"
box other.csv ring-5 5
listed "--box" ring-5 "$prog" catalog box --box other.csv
"$prog" catalog box --box none >out 2>err; [ $? = 3 ] && grep -q 'box.csv' err && [ "$(wc -l <err)" = 1 ] && good || bad "none: $(cat out err)"
printf 'id,count\nrng-4,4\n' >build/box.csv
"$prog" rest build/larch-minnow.json >out 2>err; [ $? = 3 ] && [ ! -s out ] && grep -q 'build/box.csv: line 2, column 1: .*ring-4' err && good || bad "a box with a fault: $(cat err)"
"$prog" rest build/larch-minnow.json --box none >out 2>err && good || bad "without it: $(cat err)"
# One treble of its kind: the two hangers have different ones.
printf 'id;count;mass\ntreble-4-fine;1;0,63\ntreble-4-medium;1;0,82\ntreble-5-medium;1;0,65\nscrew-eye-1.0-13;4;\nring-3;9;\nring-4;9;\nbrass-0.6;;\nbrass-0.8;;\ncopper-0.8;;\ntungsten-tape-0.8x6;;\n' >build/box.csv
sed 's/"limits": {/"limits": { "box_only": true,/' build/larch-minnow.json >build/only.json
"$prog" fit build/only.json --rigs 3 --json >out 2>err
[ $? -le 1 ] && ! tr -d '\n ' <out | grep -oE '"parts":\{[^}]*\}[^}]*\}[^}]*\}' | grep -qE '"hook":"(treble-[a-z0-9-]*)".*"hook":"\1"' && good ||
    bad "one of each: $(cat err)"
tr -d '\n ' <out | grep -q '"to_buy":\[\]' && ! tr -d '\n ' <out | grep -q '"to_buy":\["' && good || bad "box_only buys"
echo "cli box: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 9 ]
