/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawn outlines that a build names: "minnow.svg", "minnow.svg#side", "minnow.csv", or a list of
 * these that together are one outline. */
#ifndef BALLASTRY_BUILD_DRAWING_H
#define BALLASTRY_BUILD_DRAWING_H

#include "build/sections.h"
#include "ballastry/outline.h"

/* Points of a table, metres. */
bool build_read_points(const char *text, size_t size, BlyTrace *out, BlyError *err) BLY_MUST_CHECK;

typedef struct Drawn {
    BlyTrace trace; /* metres when `sized`; y upward */
    bool sized;
    bool in_px; /* a drawing without a width or height in mm, in or the like */
} Drawn;

/* Reads what stands at `place`. Release drawn->trace, also after a failure. */
bool build_read_drawing(const BlyJson *place, const BlyBuildFiles *files, Drawn *drawn,
                        BlyError *err) BLY_MUST_CHECK;

#endif
