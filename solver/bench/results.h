/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the desk worked out, as the trees that the page gets. All belong to the caller; NULL without
 * memory. */
#ifndef BALLASTRY_BENCH_RESULTS_H
#define BALLASTRY_BENCH_RESULTS_H

#include "desk/desk.h"

/* What rest_tree tells of; for the build as it is fitted or with another rig. */
enum { REST_PARTS = REST_INFLUENCE | REST_SLIPS };

/* What the rig does in the build's own water, and how it lies. */
cJSON *rest_tree(const BlyBuild *build, const BlyRig *rig, const RestWork *work, BlySystem system);

/* json_fit's, with the build as each rig would leave it; err is filled where that fails. */
cJSON *fit_tree(const BlyBuild *build, const FitWork *work, BlyError *err);

/* How sure it is, also as text; with a target what was wanted, and what to measure next (NULL: not
 * asked for). */
cJSON *sure_tree(const BlyBuild *build, const SureWork *work, const Worth *worth, BlySystem system);

/* The build's text with this rig, as the member "build". */
bool put_rig_text(cJSON *object, const BlyBuild *build, const BlyRig *rig, BlyError *err);

/* The lure as it lies, for drawing: mm, x to the right and y down, turned to its rest attitude. */
cJSON *draw_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                 const BlyOutcome *outcome);
/* The same as it runs on a line, without what trails; null where it lies nowhere. y = 0 is the
 * height of the tie. */
cJSON *draw_towed(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                  const BlyTowRun *run);
/* The bare body level and upright, for dragging: mm, its own axes. `doc` is the build's file. */
cJSON *draw_body(const BlyBuild *build, const cJSON *doc);

#endif
