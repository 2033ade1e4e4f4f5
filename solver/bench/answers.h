/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the routes answer, as trees. All belong to the caller; NULL with err filled, or without
 * memory. */
#ifndef BALLASTRY_BENCH_ANSWERS_H
#define BALLASTRY_BENCH_ANSWERS_H

#include "ballastry/build.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "ballastry/units.h"

#include <cjson/cJSON.h>

/* One rig in the build's own water: what it does, and how it lies. */
cJSON *answer_rest(const BlyBuild *build, const BlyRig *rig, BlySystem system, BlyError *err);

/* json_fit's answer, with the build as each rig would leave it. reserves may be NULL. */
cJSON *answer_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves,
                  BlyError *err);

/* The trim reserve of each rig, none where no rig meets the target; free(*out). */
bool answer_reserves(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitResult *result,
                     BlyReserve **out, BlyError *err) BLY_MUST_CHECK;

/* How sure one rig is: spread, and with a target the trim reserve; as trees and as text. */
cJSON *answer_sure(const BlyBuild *build, const BlyCatalog *catalog, BlySystem system,
                   BlyError *err);

/* The build's text with this rig, as the member "build". */
bool put_rig_text(cJSON *object, const BlyBuild *build, const BlyRig *rig, BlyError *err);

/* The lure as it lies, for drawing: mm, x to the right and y down, turned to its rest attitude. */
cJSON *draw_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                 const BlyOutcome *outcome);
/* The bare body level and upright, for dragging: mm, its own axes. `doc` is the build's file. */
cJSON *draw_body(const BlyBuild *build, const cJSON *doc);

#endif
