/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to weigh out for a cast blank, and what that blank will do, as text and as JSON. */
#ifndef BALLASTRY_REPORT_POUR_H
#define BALLASTRY_REPORT_POUR_H

#include "ballastry/pour.h"
#include "report/sure.h"

void text_pour(const Report *report, const BlyPourPlan *plan);
void text_pour_forecast(const Report *report, const BlyBuild *made, const BlyOutcome *outcome,
                        const BlySpread *spread);
/* made (NULL: none was asked for) is the build with such a blank. */
cJSON *json_pour(const BlyPourPlan *plan, const BlyBuild *made, const BlyOutcome *outcome,
                 const BlySpread *spread);

#endif
