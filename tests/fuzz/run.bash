#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs libFuzzer targets, as many at once as there are cores. $1: folder of the programs, $2: seconds each, then
# their names. Seeds come from the examples, the catalogs and the tests' own files, and the inputs
# that once failed; what is found new stays in .build/, where the next run goes on from it. An input that takes
# more than PATIENCE seconds (20) fails; they pass on the wall's clock, so a busy machine wants more.
set -eu
cd "$(dirname "$0")/../.."
bin=$1 secs=$2; shift 2
seeds=.build/fuzz/seeds found=.build/fuzz/found
rm -rf "$seeds"; mkdir -p "$seeds"/{quantity,build,catalog,csv,http,stl,svg}
tests/fuzz/seeds.bash "$seeds/build"
cp catalog/*.json "$seeds/catalog/"
cp tests/fuzz/requests/* "$seeds/http/"
cp tests/fuzz/stl/* "$seeds/stl/"
cp examples/*.svg tests/svg/bad/*.svg tests/cli/*.svg "$seeds/svg/"
{ printf '#side\n'; cat examples/traced-minnow.svg; } >"$seeds/svg/named"
awk '{printf "%s", $0 > sprintf("'"$seeds"'/svg/path%03d", NR)}' tests/fuzz/paths.txt
cp tests/cli/weighed.csv examples/drawer.csv "$seeds/csv/"
printf 'id,mass,count,give,note,source\nring-a,2.1,10,0.05 g,"a, ""b""",scale\n' >"$seeds/csv/quoted"
awk '{printf "%s", $0 > sprintf("'"$seeds"'/quantity/%03d", NR)}' tests/fuzz/quantities.txt
one() {
    local name=$1 kept=() log=.build/fuzz/$1.log patience=${PATIENCE:-20}
    mkdir -p "$found/$name" "$found/failed"
    [ -d "tests/fuzz/kept/$name" ] && kept=("tests/fuzz/kept/$name")
    [ "$name" != http ] || patience=$((3 * patience)) # a tank test of a floater takes a while
    if nice -n 10 "$bin/fuzz_$name" -max_total_time="$secs" -dict=tests/fuzz/dictionary -timeout=$patience \
        -rss_limit_mb=2048 -max_len=16384 -seed=1 -artifact_prefix="$found/failed/$name-" \
        -print_final_stats=1 "$found/$name" "${kept[@]}" "$seeds/$name" >"$log" 2>&1; then
        echo "fuzz $name: $(sed -n 's/^stat::number_of_executed_units: *//p' "$log") inputs in $secs s, nothing found"
    else
        tail -40 "$log"; echo "FAILED fuzz $name: see $found/failed/"; return 1
    fi
}
export -f one; export bin secs seeds found
printf '%s\n' "$@" | xargs -P"$(nproc)" -I{} bash -c 'one {}'
