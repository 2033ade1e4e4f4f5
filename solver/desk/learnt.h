/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, written into a build. */
#ifndef BALLASTRY_DESK_LEARNT_H
#define BALLASTRY_DESK_LEARNT_H

#include "ballastry/tank.h"
#include "build/build.h"

/* Whether a correction is worth writing: something was learnt of it, or it moved. */
bool learnt_worth(const BlyCorrection *correction);

/* What the build is to keep of the readings themselves, behind those that it has. */
typedef struct LearntNotes {
    const BlyReading *readings;
    size_t count;
    const BlyWaterFacts *water;
    const char *on; /* the day; NULL: none */
} LearntNotes;

/* The build's text with the corrections in it, all else as it was; notes may be NULL. What was not
 * on the lure yet by the last of their stages is left as the catalog has it. free(*text) by the
 * caller. */
bool learnt_text(const BlyBuild *build, const BlyTankResult *result, const LearntNotes *notes,
                 char **text, BlyError *err) BLY_MUST_CHECK;
/* And with the lure's name in the maker's book; NULL or "": none. */
bool learnt_text_named(const BlyBuild *build, const BlyTankResult *result, const LearntNotes *notes,
                       const char *lure, char **text, BlyError *err) BLY_MUST_CHECK;

#endif
