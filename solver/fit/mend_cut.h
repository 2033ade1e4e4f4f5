/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Wire is cut to its length: what lies between the turns that are listed. */
#ifndef BALLASTRY_FIT_MEND_CUT_H
#define BALLASTRY_FIT_MEND_CUT_H

#include "fit/mend_sample.h"

/* The wires of a mix cut so that the lure, `fitted` as it is, lies nearest to the middle of the
 * bands by the linear rows. New lengths are put into the list. A wire that goes with a new hook on
 * its shank is left alone: that is wound by the scale. */
bool mend_cut_near(const Bench *bench, const Problem *problem, const Lump *fitted, MendList *mends,
                   Mix *mix, BlyError *err) BLY_MUST_CHECK;

/* `mix` with its first wire so many half millimetres longer; the same mix where that cannot be or
 * there is none. */
bool mend_cut_longer(const Bench *bench, int halves, MendList *mends, const Mix *mix, Mix *out,
                     BlyError *err) BLY_MUST_CHECK;

#endif
