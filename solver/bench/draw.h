/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files that draw for the page share. Trees belong to the caller; NULL without memory. */
#ifndef BALLASTRY_BENCH_DRAW_H
#define BALLASTRY_BENCH_DRAW_H

#include "json/json.h"
#include "figure/figure.h"

/* From where the lure is seen, and the height (m) that is y = 0. */
typedef struct Lie {
    Aspect aspect;
    double level;
} Lie;

double draw_length(double metres);                 /* in mm, as fine as a screen */
cJSON *draw_spot(const Lie *lie, BlyVec3 of_body); /* a point of the body as it is seen */

/* ---- draw_marks.c: what the page lays over the lure ---- */

/* By seat: where what sits there is, and from where to where it may be moved (mm from the nose). */
cJSON *draw_sits(const BlyBuild *build, const BlyRig *rig);
/* How far each hook swings, and what room it has to the nearest other (bly_swings_room). */
cJSON *draw_swings(const BlyBuild *build, const BlyLure *lure, const Lie *lie);
/* The wanted band of nose-down angles (deg), null where it is open, and the angle that is judged by
 * it: under water, but at the surface of a lure that shall float. Nothing without a target. */
bool put_wanted(cJSON *drawing, const BlyBuild *build, const BlyOutcome *outcome);

#endif
