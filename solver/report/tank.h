/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, as text and as JSON. */
#ifndef BALLASTRY_REPORT_TANK_H
#define BALLASTRY_REPORT_TANK_H

#include "report/report.h"
#include "ballastry/tank.h"

typedef struct TankReport {
    const BlyBuild *build;
    const BlyReading *readings;
    const BlyWaterFacts *water;
    const BlyTankResult *result;
    const BlyForecast *before, *after;
} TankReport;

void text_tank(const Report *report, const TankReport *tank);
cJSON *json_tank(const TankReport *tank);

/* "belly hook treble-6-medium", "coat 1 thickness", "body density". */
void correction_words(const BlyBuild *build, const BlyCorrection *correction, char out[WORDS_MAX]);

#endif
