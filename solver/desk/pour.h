/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pour as a maker asks for it: words in, what to mix and what such a blank will do out. */
#ifndef BALLASTRY_DESK_POUR_H
#define BALLASTRY_DESK_POUR_H

#include "ballastry/catalog.h"
#include "ballastry/pour.h"
#include "ballastry/spread.h"
#include "build/build.h"

/* What was said, NULL where nothing was; docs/commands/pour.md. */
typedef struct PourWords {
    const char *mould, *filler, *packed, *gap_water, *gap_vessel, *gap_temperature;
    const char *filler_mass, *target;
    const char *resin, *by_weight, *by_volume, *a_density, *b_density, *cured, *shrinkage;
    const char *allowance, *scale_give;
    bool stirred;
} PourWords;

typedef struct PourWork {
    BlyPour pour;
    BlyEmbedded pieces[BLY_INSETS_MAX]; /* pour borrows them */
    BlyPourPlan plan;
    /* Of the catalog: whose density stands for the cured resin's, where only its kind was said
     * ("--resin epoxy"); NULL: none. */
    const BlyMaterial *known;
    bool of_build;      /* resin and filler are those of the build's own mix, stirred */
    BlyBuild *made;     /* the build with such a blank, as it is fitted; NULL: no build was named */
    BlyOutcome outcome; /* of that in its own water */
    BlySpread *spread;
} PourWork;

/* What to mix and what that blank will do in the build (may be NULL), all of which is the work's
 * own. The build gives the volume where no mould is named, its pieces lie in the mould, and a body
 * of a mix is poured of that mix where nothing is said of a filler.
 * `catalog` gives the density of a filler that is named by a material's id. err->where or its first
 * word is the option, "--filler", or it is a place in the build. Release it in every case. */
bool pour_work(const PourWords *words, const BlyBuild *build, const BlyCatalog *catalog,
               const BlyBuildFiles *files, PourWork *out, BlyError *err) BLY_MUST_CHECK;
void pour_work_release(PourWork *work);

#endif
