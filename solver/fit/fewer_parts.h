/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of one kind that a seat may choose from. */
#ifndef BALLASTRY_FIT_FEWER_PARTS_H
#define BALLASTRY_FIT_FEWER_PARTS_H

#include "build/build.h"

/* With more parts of a kind than this, those alike are taken as one. */
enum { FIT_PARTS_MOST = 400 };

/* What the build's limits leave of a kind, in the catalog's order. Of more than FIT_PARTS_MOST,
 * only the cheapest (then the first) of those that agree to what a maker can tell: 0.01 g, 0.1 mm
 * of what must pass, 0.01 mm of thickness, 0.2 mm of width, a millimetre of length. `stays` (may be
 * NULL) is never left out. free(*out). */
bool fit_fewer_parts(const BlyBuild *build, const BlyCatalog *catalog, BlyPartKind kind,
                     const BlyPart *stays, const BlyPart ***out, size_t *count,
                     BlyError *err) BLY_MUST_CHECK;

#endif
