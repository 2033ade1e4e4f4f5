/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results as text for people and as JSON for programs, both from the same structs. Nothing is
 * worked out here but the choice of words and digits. */
#ifndef BALLASTRY_REPORT_H
#define BALLASTRY_REPORT_H

#include <stdio.h>
#include <cjson/cJSON.h>

#include "ballastry/fit.h"
#include "ballastry/ladder.h"
#include "ballastry/reserve.h"
#include "ballastry/units.h"
#include "text/text.h"

typedef struct Report {
    FILE *out;
    BlySystem system;
} Report;

/* A stream that appends to a text, which remembers when there was no memory; NULL without any. */
FILE *report_collect(BlyText *into);

/* As fprintf, with points in numbers whatever the locale. */
void report_print(FILE *out, const char *fmt, ...) BLY_PRINTF(2, 3);

enum { WORDS_MAX = 160 };

/* "suspends", "rises slowly" .. for a drift in m/s; the bands are docs/rest.md's. */
const char *drift_words(double drift);
/* "1.2 cm/s down, 25 s a foot"; in the inch system the foot comes first. */
void speed_words(double drift, BlySystem system, char out[WORDS_MAX]);
/* The same as a bare figure, "1.2 cm/s" or "0.47 in/s", with a plus sign if asked. */
void small_speed_words(double drift, BlySystem system, bool sign, char out[WORDS_MAX]);
/* "nose-down 8.9 deg", "level", "nose-up 3.0 deg", "belly up". */
void attitude_words(double nose_down, char out[WORDS_MAX]);
/* "0.4 cm/s up to 0.6 cm/s down", "3.1 cm/s to 3.8 cm/s up"; one figure where both ends read alike.
 * An infinite end is any speed that way; m/s. finer: digits more than sensible. ranges.c. */
void drift_range_words(double low, double high, BlySystem system, int finer, char out[WORDS_MAX]);
/* "nose-up 4 deg to nose-down 18 deg", with so many places after the point; rad. */
void attitude_range_words(double low, double high, int places, char out[WORDS_MAX]);
/* Grams with sensible digits, milligrams below a gram in the metric system; signed if asked. */
void small_mass_words(double kg, BlySystem system, bool sign, char out[WORDS_MAX]);
/* "fresh water at 10 C", "water of 18 g/kg salt at 15 C". */
void water_words(const BlyWater *water, BlySystem system, char out[WORDS_MAX]);

/* Text. Every function ends with a whole line. */
void text_outcome(const Report *report, const BlyOutcome *outcome);
/* margin: blanks before each line. */
void text_notes(const Report *report, const char *margin, unsigned notes);
void text_judgement(const Report *report, const char *margin, const BlyTarget *target,
                    const BlyOutcome *outcome, const BlyJudgement *judgement);
void text_ladder(const Report *report, const BlyLure *lure);
void text_influence(const Report *report, const BlyBuild *build, const BlyInfluence *influence,
                    size_t count, double extra);
/* One line, nothing when no leader hangs from the tie. */
void text_leader(const Report *report, const BlyBuild *build, const BlyInfluence *leader);
/* What reading the body found or assumed; nothing for a body that was written out. */
void text_said(const Report *report, const BlyBuild *build);
/* What to mount where; `old` (may be NULL) marks what changed. */
void text_rig(const Report *report, const BlyBuild *build, const BlyRig *rig, const BlyRig *old);
/* reserves: one a rig, or NULL. */
void text_fit(const Report *report, const BlyBuild *build, const BlyFitResult *result,
              const BlyReserve *reserves);
void text_swap(const Report *report, const BlyBuild *build, const BlyRig *before,
               const BlyRig *after, const BlyOutcome *old_outcome, const BlyOutcome *new_outcome);

/* JSON. Each returns a new tree that the caller owns, or NULL without memory. Not-known numbers
 * become null. Keys are listed in docs/json.md. */
cJSON *json_outcome(const BlyOutcome *outcome);
bool put_said(cJSON *object, const BlyBuild *build); /* "body_said", where there is anything */
cJSON *json_judgement(const BlyTarget *target, const BlyJudgement *judgement);
cJSON *json_rig(const BlyBuild *build, const BlyRig *rig);
cJSON *json_ladder(const BlyLure *lure);
cJSON *json_influence(const BlyBuild *build, const BlyInfluence *influence, size_t count);
cJSON *json_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves);

/* Small helpers for building trees: each returns false when memory ran out; NULL values count as
 * that, so calls can be chained with &&. */
bool put_number(cJSON *object, const char *key, double value); /* rounded to 9 digits */
bool put_text(cJSON *object, const char *key, const char *value);
bool put_bool(cJSON *object, const char *key, bool value);
bool put_tree(cJSON *object, const char *key, cJSON *tree); /* takes the tree in every case */
bool put_last(cJSON *list, cJSON *tree);                    /* so does this */

#endif
