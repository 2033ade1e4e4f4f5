#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Puts seeds for fuzz_build into a folder ($1): every example and test build, with the files that it
# names as parts of its own (tests/fuzz/parts.h), some with a catalog too. A mesh is given as a small
# brick, since libFuzzer takes 16 KiB at most.
set -eu
cd "$(dirname "$0")/../.."
# The test builds' invented parts become shipped ones.
shipped='s/"eye-/"screw-eye-/; s/screw-eye-small/screw-eye-1.0-10/; s/"hook-\*"/"treble-*"/
    s/"hook-4"/"treble-4-fine"/; s/hook-8/treble-8-medium/; s/"wire-tin"/"tin-copper-wire-0.5"/; s/"dot-5"/"lead-dot-5"/
    s/"sheet-brass-1.0"/"brass-1.0"/; s/"outline-tongue"/"tongue-15"/'
part() { printf '\n--file %s\n' "$1"; cat "$2"; } # name, file
seed() { # build; to standard output
    local name file
    sed "$shipped" "$1"
    for name in $(grep -oE '"[A-Za-z0-9._-]+\.(csv|svg|stl)[#"]' "$1" | tr -d '"#' | sort -u); do
        file=$(dirname "$1")/$name
        case $name in *.stl) file=tests/fuzz/stl/brick ;; esac
        part "$name" "$file"
    done
}
for build in examples/*.json tests/build/good/*.json tests/cli/listed.json tests/cli/traced-*.json; do
    seed "$build" >"$1/$(basename "$build")"
done
brick() { # mesh
    printf '{"ballastry": 1, "name": "brick", "body": {"mesh": "%s.stl", "unit": "mm", "wall": 2, "infill": "10 %%", "material": "balsa"}}' "$1"
    part "$1.stl" "tests/fuzz/stl/$1"
}
for mesh in brick brick-hollow brick-turned; do brick "$mesh" >"$1/$mesh"; done
{ seed examples/sinker-swap.json; part catalog.csv tests/cli/weighed.csv; } >"$1/weighed"
{ seed examples/caliper-stick.json; part catalog.json tests/sheet/parts.json; } >"$1/own-catalog"
