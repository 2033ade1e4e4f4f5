/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run on the line as text and JSON. */
#ifndef BALLASTRY_REPORT_TOW_H
#define BALLASTRY_REPORT_TOW_H

#include "ballastry/tow_range.h"
#include "report/result.h"

/* What goes with every result: that it is an estimate, and that nothing was checked. */
extern const char *const tow_estimate_words;

/* What it does at one speed, each "" where there is nothing to say; a banded figure has its range
 * behind it: "1.6 m (1.1 to 2.2)". */
typedef struct TowSaid {
    char speed[WORDS_MAX], does[WORDS_MAX]; /* "dives (in 81 of 100; 19: stays on top)" */
    char lies[WORDS_MAX], pull[WORDS_MAX];  /* "" where it lies nowhere */
    char at_rod[WORDS_MAX]; /* the same with the line's drag, as a scale there reads; "": alike */
    char most[WORDS_MAX];   /* what the pull comes from: "the lip makes 56 %" */
    char depth[WORDS_MAX], cast[WORDS_MAX], near_rod[WORDS_MAX]; /* depth "": at the surface */
} TowSaid;
void tow_said(const BlyTowAt *at, BlySystem system, TowSaid *out);
/* From what speed on a floater goes under; "" for what sinks anyway. */
void tow_under_said(const BlyTowed *towed, BlySystem system, char out[2 * WORDS_MAX]);

/* "deeper x 1.21", "about the same". */
typedef struct TowChangeSaid {
    char depth[WORDS_MAX], pull[WORDS_MAX], tilt[WORDS_MAX];
} TowChangeSaid;
void tow_change_said(const BlyTowEffect *effect, TowChangeSaid *out);

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
