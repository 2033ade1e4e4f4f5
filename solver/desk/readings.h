/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings as a maker says them, on the command line or on the page. */
#ifndef BALLASTRY_DESK_READINGS_H
#define BALLASTRY_DESK_READINGS_H

#include "ballastry/tank.h"
#include "ballastry/units.h"
#include "build/build.h"

/* What an option stands for. */
typedef struct ReadingOption {
    const char *name; /* "--scale", for errors */
    BlyReadingKind kind;
    bool rises; /* DRIFT: up */
} ReadingOption;

/* The ways to give a reading, in the order in which they are told. */
enum { READING_WAYS = 8 };
extern const ReadingOption reading_options[READING_WAYS];

/* Reads "14.2 g", "14.2 g +- 0.05 g", "14.2 g at coated"; a drift is "60 cm in 5.2 s", its give the
 * stopwatch's. Without "at" the stage is the one given; without a give it is the tool's usual one
 * or what the last digit that was written is good for, whichever is more: half a unit of a mass
 * (bly_mass_give_least), else one unit. */
bool reading_parse(const char *text, const ReadingOption *option, BlyStage stage, BlyReading *out,
                   BlyError *err) BLY_MUST_CHECK;

/* One of the build file's stages. */
bool stage_parse(const char *text, const char *option, BlyStage *out, BlyError *err) BLY_MUST_CHECK;

/* The tank's water: each text (may be NULL: as in *out) is a quantity, maybe with "+- give". */
bool tank_water_parse(const char *temperature, const char *salt, BlyWaterFacts *out,
                      BlyError *err) BLY_MUST_CHECK;

/* A quantity that a maker wrote behind an option; err->where is the option. `bare`: the unit that
 * may be left out, or NULL. */
bool option_quantity(const char *text, BlyDimension dim, const char *bare, const char *option,
                     double *out, BlyError *err) BLY_MUST_CHECK;

#endif
