/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run on the line as text and JSON. */
#ifndef BALLASTRY_REPORT_TOW_H
#define BALLASTRY_REPORT_TOW_H

#include "ballastry/tow_range.h"
#include "report/result.h"

/* What goes with every result: that it is an estimate, and that nothing was checked. */
extern const char *const tow_estimate_words;

void text_towed(const Report *report, const BlyTowed *towed);
/* What a change does, a row each; speed m/s. */
void text_tow_levers(const Report *report, const BlyTowEffect levers[BLY_TOW_LEVERS], double speed);
/* Two or three lines at one speed, for rest. */
void text_tow_short(const Report *report, const BlyTowed *towed);
/* One line: what the second rig is to the first. */
void text_tow_compare(const Report *report, const BlyTowEffect *effect, const BlyTowAsk *ask);

cJSON *json_towed(const BlyTowed *towed);
cJSON *json_tow_effect(const BlyTowEffect *effect);
cJSON *json_tow_levers(const BlyTowEffect levers[BLY_TOW_LEVERS], double speed);

#endif
