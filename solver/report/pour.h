/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to weigh out for a cast blank, and what that blank will do, as text and as JSON. */
#ifndef BALLASTRY_REPORT_POUR_H
#define BALLASTRY_REPORT_POUR_H

#include "ballastry/pour.h"
#include "report/sure.h"

/* known (NULL: none) is the material whose density stands for the cured resin's; of_build: resin
 * and filler are the build's own mix; made (NULL: none was asked for) is the build with such a
 * blank. */
void text_pour(const Report *report, const BlyPourPlan *plan, const BlyMaterial *known,
               bool of_build, const BlyBuild *made, const BlyOutcome *outcome,
               const BlySpread *spread);
cJSON *json_pour(const BlyPourPlan *plan, const BlyMaterial *known, const BlyBuild *made,
                 const BlyOutcome *outcome, const BlySpread *spread);

#endif
