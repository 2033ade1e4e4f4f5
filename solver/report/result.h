/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lure does and what was chosen for it, as text and as JSON. */
#ifndef BALLASTRY_REPORT_RESULT_H
#define BALLASTRY_REPORT_RESULT_H

#include <stdio.h>

#include "ballastry/fit.h"
#include "ballastry/ladder.h"
#include "ballastry/practice.h"
#include "ballastry/tow_wish.h"
#include "ballastry/trim.h"
#include "build/build.h"
#include "ballastry/units.h"
#include "json/json.h"
#include "words/words.h"

typedef struct Report {
    FILE *out;
    BlySystem system;
} Report;

/* A stream that appends to a text, which remembers when there was no memory; NULL without any. */
FILE *report_collect(BlyText *into);

/* One sentence, broken at blanks so that no line is longer than 80 columns (a word that is longer
 * by itself stands alone, and what is beyond 4000 bytes left out); `indent` blanks before what
 * follows the first line. Characters are counted, not bytes. */
void text_wrapped(const Report *report, int indent, const char *fmt, ...) BLY_PRINTF(3, 4);

/* What to type where seats are open and empty (bly_tank_unfinished): to say what hangs there, to
 * have it chosen, and then `command`. */
void text_finish_first(const Report *report, const BlyBuild *build, const char *file,
                       const char *command);

/* As fprintf, with points in numbers whatever the locale. */
void report_print(FILE *out, const char *fmt, ...) BLY_PRINTF(2, 3);

/* Text. Every function ends with a whole line. */
void text_outcome(const Report *report, const BlyOutcome *outcome);
/* margin: blanks before each line. */
void text_notes(const Report *report, const char *margin, unsigned notes);
void text_judgement(const Report *report, const char *margin, const BlyTarget *target,
                    const BlyOutcome *outcome, const BlyJudgement *judgement);
/* From the last of the scale's readings that the build (may be NULL) keeps. */
void text_ladder(const Report *report, const BlyBuild *build, const BlyLure *lure);
/* What a fit keeps for the readings that the build has; nothing without any. */
void text_stage(const Report *report, const BlyBuild *build);

/* A step of the ladder as it is told. text_ladder.c. */
typedef struct LadderRow {
    BlyStep step;
    const char *stage; /* the word for a reading after it; NULL: none */
    BlyRung rung;
    const BuildReading *read; /* what the scale said, the latest; NULL: not read */
    bool passed;              /* before the last reading */
} LadderRow;
size_t ladder_rows(const BlyBuild *build, const BlyLure *lure, LadderRow out[BLY_STEPS]);
/* The same in two columns, without what each step adds. */
void text_ladder_short(const Report *report, const char *margin, const BlyBuild *build,
                       const BlyLure *lure);
void text_influence(const Report *report, const BlyBuild *build, const BlyInfluence *influence,
                    size_t count, double extra);
/* One line, nothing when no leader hangs from the tie. */
void text_leader(const Report *report, const BlyBuild *build, const BlyInfluence *leader);
/* What reading the body found or assumed; nothing for a body that was written out. */
void text_said(const Report *report, const BlyBuild *build);
/* What is seldom meant, a line each; nothing where there is none. */
void text_slips(const Report *report, const BlySlips *slips);
/* Rules of the craft that a rig breaks, each once; nothing where there is none. */
void text_craft(const Report *report, const BlyBuild *build, const BlyBreaches *breaches);
/* How much of a lure of mass `whole` (kg) its hooks are; NAN where a mass is not known. */
double hook_share(const BlyRig *rig, double whole);
/* What to mount where; `old` (may be NULL) marks what changed. */
void text_rig(const Report *report, const BlyBuild *build, const BlyRig *rig, const BlyRig *old);
/* reserves, wished: one a rig, or NULL. first: the lure with the first rig, for its ladder, or
 * NULL. Without `full` the first rig alone is told in full: one screen of 40 lines. */
void text_fit(const Report *report, const BlyBuild *build, const BlyFitResult *result,
              const BlyReserve *reserves, const BlyTowWished *wished, const BlyLure *first,
              bool full);
void text_swap(const Report *report, const BlyBuild *build, const BlyRig *before,
               const BlyRig *after, const BlyOutcome *old_outcome, const BlyOutcome *new_outcome);

/* What to do to a finished lure to make this rig of it, a sentence each, in a maker's order; how
 * many. mend_words.c. */
enum { MEND_STEPS_MAX = 16, MEND_WORDS_MAX = 256 };
/* A length of wire, to half a millimetre. */
void mend_wire_length(double si, BlySystem system, char out[BLY_QUANTITY_MAX]);
size_t mend_steps(const BlyBuild *build, const BlyRig *rig, BlySystem system,
                  char out[MEND_STEPS_MAX][MEND_WORDS_MAX]);

/* JSON. Each returns a new tree that the caller owns, or NULL without memory. Not-known numbers
 * become null. Keys are listed in docs/output.md. */
cJSON *json_outcome(const BlyOutcome *outcome);
bool put_said(cJSON *object, const BlyBuild *build);  /* "body_said", where there is anything */
bool put_slips(cJSON *object, const BlySlips *slips); /* "slips", the same */
bool put_craft(cJSON *object, const BlyBuild *build, const BlyBreaches *breaches); /* "craft" */
cJSON *json_judgement(const BlyTarget *target, const BlyOutcome *outcome,
                      const BlyJudgement *judgement);
cJSON *json_rig(const BlyBuild *build, const BlyRig *rig);
cJSON *json_ladder(const BlyBuild *build, const BlyLure *lure); /* build: as text_ladder */
bool put_stage(cJSON *object, const BlyBuild *build);           /* "stage", once read */
cJSON *json_influence(const BlyBuild *build, const BlyInfluence *influence, size_t count);
cJSON *json_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves);

#endif
