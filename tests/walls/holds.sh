#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# walls.bash on a house of three rooms made up here: it lets a sound one pass, and tells each kind of fault.
set -u
walls=$(realpath "$(dirname "$0")/walls.bash")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
house() {
    rm -rf "${work:?}"/*; mkdir -p "$work"/solver/{cellar,hall,attic} "$work/include/ballastry"
    echo >"$work/solver/hall/hall.h"; echo >"$work/solver/hall/stairs.h"
    echo >"$work/solver/attic/attic.h"
    echo '#include "ballastry/api.h"' >"$work/include/ballastry/cellar.h"
    echo '#include "ballastry/cellar.h"' >"$work/solver/hall/hall.c"
    printf '#include "hall/hall.h"\n#include "attic/attic.h"\n' >"$work/solver/attic/attic.c"
}
tells() { # what is expected, FACES, KNOWN, FACELESS
    local want=$1 said; shift
    said=$("$walls" "$1" "$2" "$3" "$work"); local status=$?
    if [ "$said" = "$want" ] && [ $status = "$([ -z "$want" ] && echo 0 || echo 1)" ]; then passed=$((passed + 1))
    else failed=$((failed + 1)); echo "FAILED: wanted '$want', got '$said', status $status"; fi
}
circles() {
    if [[ $("$walls" "" "" "" "$work") == "walls: these include each other in a circle: "* ]]; then passed=$((passed + 1))
    else failed=$((failed + 1)); echo "FAILED: a circle is not told"; fi
}
house; tells "" "" "" ""
house; echo '#include "hall/stairs.h"' >>"$work/solver/attic/attic.c"
tells "walls: attic includes hall/stairs.h, which is private to hall" "" "" ""
tells "" "hall/stairs.h" "" ""
tells "" "" "attic:hall/stairs.h" ""
house; tells "walls: hall/stairs.h is listed, but no other room includes it" "hall/stairs.h" "" ""
tells "walls: attic:hall/stairs.h is listed, but no other room includes it" "" "attic:hall/stairs.h" ""
house; rm "$work/solver/attic/attic.h"; echo >"$work/solver/attic/attic.c"
tells "walls: attic has no face attic.h" "" "" ""
tells "" "" "" "attic"
house; echo '#include "attic/attic.h"' >>"$work/solver/hall/hall.c"
circles
house; echo '#include "ballastry/cellar.h"' >"$work/include/ballastry/hall.h"; echo '#include "ballastry/hall.h"' >>"$work/include/ballastry/cellar.h"
circles
echo "walls: $passed passed, $failed failed"
[ $failed = 0 ]
