/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the water taught, as text and JSON. */
#ifndef BALLASTRY_REPORT_WATER_H
#define BALLASTRY_REPORT_WATER_H

#include "ballastry/tow_learn.h"
#include "report/result.h"

void text_water(const Report *report, const BlyTowReading *readings, const BlyTowLesson *lesson);
cJSON *json_water(const BlyTowReading *readings, const BlyTowLesson *lesson);

#endif
