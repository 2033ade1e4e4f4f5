/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now to a finished lure, as text and as JSON. */
#ifndef BALLASTRY_REPORT_MEND_H
#define BALLASTRY_REPORT_MEND_H

#include "ballastry/mend.h"
#include "report/result.h"

/* How it is done, a sentence each: how wire is cut, and what the scale should say before and after;
 * how many. */
enum { MEND_HOW_MAX = 4 };
size_t mend_how(const Report *report, const BlyBuild *build, const BlyMendPlan *plan,
                char out[MEND_HOW_MAX][2 * WORDS_MAX]);
/* written: the file that holds the build as mended, NULL: none; file: the build's own, NULL: not
 * said. */
void text_mend(const Report *report, const BlyBuild *build, const BlyMendPlan *plan,
               const char *file, const char *written);
/* Parts of it: what the next test should show, and what to do where it comes out on either side. */
void text_mend_expected(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);
void text_mend_otherwise(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);
cJSON *json_mend(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);

#endif
