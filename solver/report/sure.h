/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a result is, in which waters it holds and how it is trimmed, as text and JSON. */
#ifndef BALLASTRY_REPORT_SURE_H
#define BALLASTRY_REPORT_SURE_H

#include "ballastry/reserve.h"
#include "ballastry/spread.h"
#include "ballastry/window.h"
#include "report/report.h"

/* Ranges in the spread's first water, states, chance and the inputs that matter most. `in_target`
 * (may be NULL) is the spread in the target's waters, whose chance is then the one told. */
void text_spread(const Report *report, const BlyBuild *build, const BlySpread *spread,
                 const BlySpread *in_target);
void text_window(const Report *report, const BlyWindow *window);

/* The plan for after the build: what to expect in the tank, and the trims that are likely then. */
void text_reserve(const Report *report, const BlyBuild *build, const BlyRig *rig,
                  const BlyReserve *reserve);
bool trims_hold_lead(const BlyReserve *reserve); /* one of the trims that the text tells */
cJSON *json_reserve(const BlyBuild *build, const BlyReserve *reserve);

cJSON *json_spread(const BlyBuild *build, const BlySpread *spread, const BlySpread *in_target);
cJSON *json_window(const BlyWindow *window);

#endif
