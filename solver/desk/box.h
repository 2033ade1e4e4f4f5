/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maker's box as a file: box.csv beside the build, else in the user's configuration folder. */
#ifndef BALLASTRY_DESK_BOX_H
#define BALLASTRY_DESK_BOX_H

#include "ballastry/catalog.h"
#include "ballastry/rig.h"

enum { BOX_PATH_MAX = 4096 };

/* Where the box of a build is: "box.csv" in the folder of `beside` (a file, or a folder; NULL:
 * where we stand), else $XDG_CONFIG_HOME/ballastry/box.csv, $HOME/.config where that is not set or
 * not absolute (XDG Base Directory Specification 0.8). False, and "" in path, where there is none.
 */
bool box_find(const char *beside, char path[BOX_PATH_MAX]);

/* Reads that file into the catalog; errors name it. */
bool box_read(const char *path, BlyCatalog *into, BlyError *err) BLY_MUST_CHECK;

/* What a rig takes: pieces by part, in the order of the catalog. What is fitted in `fitted` (NULL:
 * nothing) takes none. `takes` has part_count numbers, in m for wire and strip. */
void box_used(const BlyCatalog *catalog, const BlyRig *rig, const BlyRig *fitted, double *takes);

#endif
