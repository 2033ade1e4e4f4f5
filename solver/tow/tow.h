/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The room tow for the other rooms: a change made on a lure that is not drawn, too. */
#ifndef BALLASTRY_TOW_TOW_H
#define BALLASTRY_TOW_TOW_H

#include "ballastry/tow_range.h"

/* What a change works on. All owned by the caller. */
typedef struct TowRigged {
    BlySeat *seats; /* a copy of the build's */
    BlyRig *rig;    /* a copy */
    BlyVec3 tie_moved;
    BlyTowLine line;
    BlyPart *parts; /* room for changed copies, one a seat */
} TowRigged;

/* Changes rig, seats, tie and line as the lever does; false where there is nothing to change.
 * `plain`: the rig as it was. */
bool tow_lever_pull(BlyTowLever lever, const BlyBuild *build, const BlyRig *plain, TowRigged *on);

/* line_drawn.c: the line from the lure up to the rod's tip, m: from the rod, above the water; of
 * the part in the water a band, the range of the depth as it is said. The rest is straight. */
typedef struct TowLineDrawn {
    double x[BLY_TOW_POINTS + 1], y[BLY_TOW_POINTS + 1]; /* wet + 1 of them, the tip last */
    double low[BLY_TOW_POINTS], high[BLY_TOW_POINTS];
    size_t wet;
} TowLineDrawn;
TowLineDrawn tow_line_drawn(const BlyTowed *towed, size_t speed);

/* How far inside a wish with one end a lure is aimed, in the unit of that end (m, m/s): a third of
 * it, which is what 90 of 100 draws keep (docs/tow.md), 0.05 at least. */
double tow_wish_room(double edge);

#endif
