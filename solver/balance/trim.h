/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Attitudes in which a lure at the surface rests: with its belly or back straight down (trim),
 * and leaning or rolled over (lean). */
#ifndef BALLASTRY_BALANCE_TRIM_H
#define BALLASTRY_BALANCE_TRIM_H

#include "balance/afloat.h"
#include "balance/circle.h"

typedef struct BlyTrim {
    double angle; /* rad nose-down, -pi to pi; past +-90 degrees the back is down */
    BlyPose pose; /* settled */
} BlyTrim;

typedef struct BlyTrims {
    BlyTrim at[BLY_CIRCLE_MAX];
    size_t count;
} BlyTrims;

/* rad: farther from level than that the back is down. */
extern const double bly_trim_upright;

/* All attitudes at heel 0 that are stable in pitch, nearest to level first. A lure that stays as
 * it is put at any trim (a ball of one material) gives level alone. Of a hull with a stand-in those
 * with the back down are good to 1e-6 rad only. */
bool trim_all(const BlyAfloat *afloat, BlyTrims *out, BlyError *err);

/* The one trim that is stable in pitch within `reach` (rad) of a guess; false when it is not plain
 * to see. */
bool trim_near(const BlyAfloat *afloat, double guess, double reach, BlyTrim *out);

/* The moment (kg m) and the energy (kg m) that are rounding. */
double trim_moment_floor(const BlyAfloat *afloat);
double trim_energy_floor(const BlyAfloat *afloat);

/* Where the lure comes to rest from `start`, downhill in pitch and roll at once. */
bool lean_from(const BlyAfloat *afloat, const BlyPose *start, BlyPose *out, BlyError *err);

/* The rest of least energy among what lies downhill from a lure that leans at any heel, with the
 * trims found for heel 0 and some steep ones. */
bool lean_lowest(const BlyAfloat *afloat, const BlyTrims *trims, BlyPose *out, BlyError *err);

#endif
