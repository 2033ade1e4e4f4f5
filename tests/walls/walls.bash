#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The walls between the rooms. A room's faces are include/ballastry/*.h, solver/ROOM/ROOM.h, and the headers
# that the Makefile lists in FACES; every other header below solver/ is private to its room. Told, and the
# status is 1: a room that includes another's private header and is not in KNOWN ("room:other/header.h"); a
# room without a face of its name; rooms that include each other in a circle (error and text count as one); an entry of
# either list that is not needed. Called by make purity: walls.bash "FACES" "KNOWN" [FOLDER with solver and include]
set -eu
faces=" $1 " known=" $2 " faceless=" ${3:-} "
cd "${4:-$(dirname "$0")/../..}"
said=0
say() { echo "walls: $*"; said=1; }

# room, other room, header
includes() {
    grep -rEo --include='*.[ch]' '^#include "[a-z_]+/[a-z_0-9]+\.h"' solver |
        sed -E 's|^solver/([a-z_]+)/[^:]*:#include "([a-z_]+)/([a-z_0-9]+)\.h"|\1 \2 \3|' | sort -u
}
used=" "
while read -r room other header; do
    if [ "$other" = ballastry ] || [ "$other" = "$room" ] || [ "$header" = "$other" ]; then continue; fi
    used+="$other/$header.h $room:$other/$header.h "
    case $faces in *" $other/$header.h "*) continue ;; esac
    case $known in *" $room:$other/$header.h "*) continue ;; esac
    say "$room includes $other/$header.h, which is private to $other"
done < <(includes)
for entry in $1 $2; do
    case $used in *" $entry "*) ;; *) say "$entry is listed, but no other room includes it" ;; esac
done

for room in solver/*/; do
    room=$(basename "$room")
    if [ -e "solver/$room/$room.h" ] || [ -e "include/ballastry/$room.h" ]; then continue; fi
    case $faceless in *" $room "*) ;; *) say "$room has no face $room.h" ;; esac
done

pairs() {
    { includes; grep -Eo '^#include "ballastry/[a-z]+\.h"' include/ballastry/*.h |
        sed -E 's|^include/ballastry/([a-z]+)\.h:#include "ballastry/([a-z]+)\.h"|\1 ballastry \2|'; } |
        while read -r room other header; do
        if [ "$other" = ballastry ]; then other=$header; fi
        if [ -d "solver/$room" ] && [ -d "solver/$other" ]; then echo "$room $other"; fi
    done | sed 's/\btext\b/error/g' | awk '$1 != $2'
}
circle=$(pairs | tsort 2>&1 >/dev/null | sed -n 's/^tsort: \([a-z_]*\)$/\1/p' | tr '\n' ' ')
[ -z "$circle" ] || say "these include each other in a circle: $circle"
exit $said
