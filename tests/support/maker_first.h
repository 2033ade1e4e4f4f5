/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker reads before the glue, as `fit` ends in saying: the blank on the scale, or a piece
 * that is to hang; and what is then chosen. */
#ifndef BALLASTRY_TESTS_SUPPORT_MAKER_FIRST_H
#define BALLASTRY_TESTS_SUPPORT_MAKER_FIRST_H

#include "support/real_lure.h"

/* `open`: the build before any rig is chosen. The lure, whose body is drawn, takes the rig that
 * comes of it; *file what the program then knows, bly_build_free. NULL where the program then says
 * that no rig meets the target: such a blank is left. `read` counts the readings. */
bool maker_first(const BlyBuild *open, const BlyCatalog *catalog, bool sharp, RealLure *lure,
                 BlyBuild **file, int *read, BlyError *err) BLY_MUST_CHECK;

#endif
