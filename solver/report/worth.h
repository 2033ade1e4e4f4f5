/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure next, as text and JSON. */
#ifndef BALLASTRY_REPORT_WORTH_H
#define BALLASTRY_REPORT_WORTH_H

#include "report/result.h"
#include "worth/worth.h"

/* "weigh the belly hook" */
void act_words(const BlyBuild *build, const WorthAct *act, char out[WORDS_MAX]);
/* One line: the act that buys most, or that the tank test is next. `reserve` of the same rig: its
 * chance is the one told, and the gain by the acts' lures is added to it. */
void text_worth(const Report *report, const BlyBuild *build, const Worth *worth,
                const BlyReserve *reserve);
cJSON *json_worth(const BlyBuild *build, const Worth *worth, const BlyReserve *reserve);

#endif
