/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pour as a maker asks for it: words in, what to mix and what such a blank will do out. */
#ifndef BALLASTRY_DESK_POUR_H
#define BALLASTRY_DESK_POUR_H

#include "ballastry/build.h"
#include "ballastry/catalog.h"
#include "ballastry/pour.h"
#include "ballastry/spread.h"

/* What was said, NULL where nothing was; docs/commands/pour.md. */
typedef struct PourWords {
    const char *mould, *filler, *packed, *gap_water, *gap_vessel, *gap_temperature;
    const char *filler_mass, *target;
    const char *resin, *by_weight, *by_volume, *a_density, *b_density, *cured, *shrinkage;
    const char *allowance, *scale_give;
    bool stirred;
} PourWords;

/* `build` (may be NULL) gives the volume where no mould is named, and its pieces lie in the mould:
 * they are put into `pieces`, which *out borrows. `catalog` gives the density of a filler that is
 * named by a material's id. err->where or its first word is the option, "--filler". */
bool pour_read(const PourWords *words, const BlyBuild *build, const BlyCatalog *catalog,
               BlyEmbedded pieces[BLY_INSETS_MAX], BlyPour *out, BlyError *err) BLY_MUST_CHECK;

/* bly_pour_plan, with errors at the option that was said, or in the build's body. */
bool pour_plan(const PourWords *words, const BlyPour *pour, BlyPourPlan *out,
               BlyError *err) BLY_MUST_CHECK;

/* What a blank of this mix will do in a build, as it is fitted. */
typedef struct PourForecast {
    BlyBuild *made; /* owned: the build with such a blank */
    BlyOutcome outcome;
    BlySpread *spread; /* owned */
} PourForecast;
bool pour_foretell(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files,
                   const BlyPourPlan *plan, PourForecast *out, BlyError *err) BLY_MUST_CHECK;
void pour_forecast_release(PourForecast *forecast);

#endif
