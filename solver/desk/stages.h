/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings on the way, stage by stage, as the build keeps them. */
#ifndef BALLASTRY_DESK_STAGES_H
#define BALLASTRY_DESK_STAGES_H

#include "desk/tank.h"
#include "text/text.h"

/* Refuses (BLY_E_CONFLICT) a reading of a stage that the lure has passed by what the build keeps.
 */
bool stages_passed(const BlyBuild *build, const TankWork *work, BlyError *err) BLY_MUST_CHECK;

/* The entry of one reading for the build's "readings", as JSON. `on`: the day, NULL or "": none.
 * planned (value NAN: not told): what the build said of it before. */
void stages_entry(const BlyReading *reading, const BlyFigure *planned, const char *on,
                  BlyText *out);

/* What the build says of a reading and how sure that is, from its tolerances alone. */
bool stages_planned(const BlyBuild *build, const BlyReading *reading, const BlyWaterFacts *water,
                    BlyFigure *out, BlyError *err) BLY_MUST_CHECK;

/* "2031-04-30", as words of a maker. */
bool stages_date(const char *text, const char *option, BlyError *err) BLY_MUST_CHECK;

#endif
