/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now to a finished lure, as text and as JSON. */
#ifndef BALLASTRY_REPORT_MEND_H
#define BALLASTRY_REPORT_MEND_H

#include "ballastry/mend.h"
#include "report/result.h"

/* written: the file that holds the build as mended, NULL: none; file: the build's own, NULL: not
 * said. */
void text_mend(const Report *report, const BlyBuild *build, const BlyMendPlan *plan,
               const char *file, const char *written);
/* Parts of it: what the next test should show, and what to do where it comes out on either side. */
void text_mend_expected(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);
void text_mend_otherwise(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);
cJSON *json_mend(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);

#endif
