/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a result is, in which waters it holds and how it is trimmed, as text and JSON. */
#ifndef BALLASTRY_REPORT_SURE_H
#define BALLASTRY_REPORT_SURE_H

#include "ballastry/trim.h"
#include "ballastry/spread.h"
#include "ballastry/window.h"
#include "build/build.h"
#include "report/result.h"

/* Ranges in the spread's first water, states, chance and the inputs that matter most. `in_target`
 * (may be NULL) is the spread in the target's waters, whose chance is then the one told;
 * chance_below: text_reserve tells it. */
void text_spread(const Report *report, const BlyBuild *build, const BlySpread *spread,
                 const BlySpread *in_target, bool chance_below);
/* A range in words, "rising 3.1 to 3.8 cm/s", and what it is of. */
void band_words(const Report *report, BlyQuantity quantity, const BlyRange *range,
                char out[WORDS_MAX]);
const char *quantity_label(BlyQuantity quantity, bool afloat);
void text_window(const Report *report, const BlyWindow *window);

/* The plan for after the build: what to expect in the tank, and the trims that are likely then. */
void text_reserve(const Report *report, const char *margin, const BlyBuild *build,
                  const BlyRig *rig, const BlyReserve *reserve);
/* The chances alone, one line; and what a tank test may show, with what to do then. */
void text_chances(const Report *report, const char *margin, const BlyReserve *reserve);
void text_test(const Report *report, const char *margin, const BlyBuild *build, const BlyRig *rig,
               const BlyReserve *reserve, bool brief);
const char *tests_words(int tests);              /* " after two tank tests"; of none nothing */
bool trims_hold_lead(const BlyReserve *reserve); /* one of the trims that the text tells */
cJSON *json_reserve(const BlyBuild *build, const BlyReserve *reserve);

cJSON *json_spread(const BlyBuild *build, const BlySpread *spread, const BlySpread *in_target);
/* What a swap changes, by draws that both rigs share. */
void text_swap_sure(const Report *report, const BlySwapSpread *spread);
cJSON *json_swap_sure(const BlySwapSpread *spread);

cJSON *json_window(const BlyWindow *window);

#endif
