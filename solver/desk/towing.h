/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A draw on the line in a maker's words. */
#ifndef BALLASTRY_DESK_TOWING_H
#define BALLASTRY_DESK_TOWING_H

#include "ballastry/tow_wish.h"

/* NULL or none: as usual (bly_tow_usual). */
typedef struct TowWords {
    const char *const *speeds; /* "1 m/s" */
    size_t speed_count;
    const char *line; /* "30 m of 0.30 mm", or its length alone */
    const char *rod;  /* "1 m", the tip above the water */
} TowWords;

/* err->where names the option ("--speed"). Changes are looked at at the middle speed. */
bool tow_words_read(const TowWords *words, BlyTowAsk *out, BlyError *err) BLY_MUST_CHECK;

/* Where nothing was said and the target asks for the line: at its speed, on its line. */
void tow_ask_of(const BlyBuild *build, BlyTowAsk *ask);

/* All that the command tells of a build with a rig. */
typedef struct TowFound {
    BlyTowed towed;
    BlyTowEffect levers[BLY_TOW_LEVERS];
    BlyTowAsk ask;
    BlyWater water;
    bool asked; /* the target asks for the line: */
    BlyTowWished wished;
} TowFound;
bool tow_find(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask, TowFound *out,
              BlyError *err) BLY_MUST_CHECK;

/* Whether the build has a tie to be drawn by. */
bool tow_has_tie(const BlyBuild *build);

#endif
