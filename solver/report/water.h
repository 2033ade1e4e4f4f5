/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the water taught, as text and JSON. */
#ifndef BALLASTRY_REPORT_WATER_H
#define BALLASTRY_REPORT_WATER_H

#include "ballastry/tow_learn.h"
#include "report/result.h"

/* A reading against the model: "trolled depth", at "1.0 m/s" ("" where the reading is a speed). */
typedef struct WaterReadSaid {
    char at[WORDS_MAX], read[WORDS_MAX], before[WORDS_MAX], after[WORDS_MAX];
} WaterReadSaid;
void water_read_said(const BlyTowReading *reading, double before, double after, BlySystem system,
                     WaterReadSaid *out);
/* "0.75 times the published force (0.60 to 0.90), was 1.00 (0.72 to 1.28)", or "nothing". */
void water_taught_said(const BlyTowCorrection *correction, char out[2 * WORDS_MAX]);
extern const char *const water_beyond_words; /* of a correction beyond its bounds */

void text_water(const Report *report, const BlyTowReading *readings, const BlyTowLesson *lesson);
cJSON *json_water(const BlyTowReading *readings, const BlyTowLesson *lesson);

#endif
