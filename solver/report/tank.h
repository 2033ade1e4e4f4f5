/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, as text and as JSON. */
#ifndef BALLASTRY_REPORT_TANK_H
#define BALLASTRY_REPORT_TANK_H

#include "report/result.h"
#include "ballastry/tank.h"
#include "build/build.h"
#include "report/worth.h"

typedef struct TankReport {
    const BlyBuild *build;
    const BlyReading *readings;
    const BlyWaterFacts *water;
    const BlyTankResult *result;
    const BlyForecast *before, *after;
    const BlySlips *slips;     /* told last */
    const char *file;          /* of the build, to say what to type next; NULL: not said */
    bool anyway;               /* told as if nothing contradicted */
    const Worth *worth;        /* what to measure next; NULL: not told */
    const BlyReserve *reserve; /* the chance that it starts from */
} TankReport;

/* What a maker must know before any figure, a sentence each: that the build is unfinished, which
 * readings contradict and what they should have been, that the search did not settle. */
enum { TANK_SAID_MAX = 2 * BLY_READINGS_MAX + 5, TANK_SENTENCE_MAX = 4 * WORDS_MAX };
size_t tank_said(const Report *report, const TankReport *tank,
                 char said[TANK_SAID_MAX][TANK_SENTENCE_MAX]);
/* Which stage a scale's reading that contradicts would agree with; false: none. tank_stages.c. */
bool tank_other_stage(const Report *report, const TankReport *tank, size_t reading,
                      char out[TANK_SENTENCE_MAX]);
/* Of a single one, which of the stages read so far is the odd one; false: none were. */
bool tank_odd_stage(const Report *report, const TankReport *tank, char out[TANK_SENTENCE_MAX]);
/* What to type when it is unfinished; nothing without a file, or when it is not. */
void text_tank_unfinished(const Report *report, const TankReport *tank);

void text_tank(const Report *report, const TankReport *tank);
cJSON *json_tank(const Report *report, const TankReport *tank); /* units of its sentences */

/* A reading's figure with its unit, in sensible digits. */
void tank_reading_figure(const Report *report, BlyReadingKind kind, double value,
                         char out[BLY_QUANTITY_MAX]);

/* "belly hook treble-6-medium", "coat 1 thickness", "body density". */
void correction_words(const BlyBuild *build, const BlyCorrection *correction, char out[WORDS_MAX]);

#endif
