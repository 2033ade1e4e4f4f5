/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BALLASTRY_DESK_CURES_SAID_H
#define BALLASTRY_DESK_CURES_SAID_H

#include "desk/cures.h"
#include "report/report.h"

/* What one of them does, "" where there is nothing to say. */
typedef struct CureSaid {
    char rests[WORDS_MAX];  /* "nose-down 4.1 deg, -210 mg in water, roll arm 1.3 mm" */
    char chance[WORDS_MAX]; /* "76 in 100"; "" without a target */
    char runs[WORDS_MAX];   /* "shallower, pulls less, nose 3 deg higher" */
} CureSaid;
void cure_said(const CureDone *cure, BlySystem system, CureSaid *out);
const char *cure_why_not(BlyTowLever change); /* of one that is not possible */
/* The lure as it is, of which `runs` says nothing. */
void cures_before_said(const CuresWork *work, BlySystem system, CureSaid *out);
extern const char *const cures_words; /* that none is promised, and whose practice it is */

void text_cures(const Report *report, const CuresWork *work);
cJSON *json_cures(const CuresWork *work); /* docs/output.md */

#endif
