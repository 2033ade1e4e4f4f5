/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cup, a mould or a piece of stock by its sizes. */
#ifndef BALLASTRY_DESK_VESSEL_H
#define BALLASTRY_DESK_VESSEL_H

#include "ballastry/parts.h"

/* Whether it is sizes at all: "40 x 120 mm" rather than "240 ml". */
bool vessel_is_sizes(const char *text);

/* "40 mm x 120 mm": a cylinder by diameter and depth; "80 x 30 x 25 mm": a block by length, width
 * and height; a size without a unit has the next one's. "+- 0.5 mm" behind them is each size's
 * give; without it the volume's is `share` of it. m3. Errors name `option`. */
bool vessel_parse(const char *text, const char *option, double share, BlyFigure *out,
                  BlyError *err) BLY_MUST_CHECK;

#endif
