/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rests that were found with a stand-in for the hull, worked out anew with the hull itself in as
 * few cuts of it as will do. */
#ifndef BALLASTRY_BALANCE_REFINE_H
#define BALLASTRY_BALANCE_REFINE_H

#include "balance/trim.h"

/* Newton's method in attitude and draft at once, a cut a step: the first step is as long as the
 * stand-in is off, each later one about its square. The pose's plane and energy are those at the
 * end of the last step, all else in it is from the cut before (pose->moved tells how far). False,
 * with nothing of use given, when there is no rest within about a degree of the stand-in's. */

/* `closely`: until a step is so short that its square is below 1e-11 rad, with the weight balanced
 * to 1e-5 before it, so that what is left is no more than what a search with the hull itself
 * leaves. Else to 1e-3: attitudes are good to about 1e-6 then, energies to 1e-8, stiffnesses to
 * 1e-3. */
bool refine_trim(const BlyAfloat *afloat, const BlyTrim *near, bool closely, BlyTrim *out);
bool refine_lean(const BlyAfloat *afloat, const BlyPose *near, bool closely, BlyPose *out);

#endif
