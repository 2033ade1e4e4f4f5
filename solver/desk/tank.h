/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings teach of a build, and what it will then do. */
#ifndef BALLASTRY_DESK_TANK_H
#define BALLASTRY_DESK_TANK_H

#include "report/report.h"

typedef struct TankWork {
    BlyReading readings[BLY_READINGS_MAX]; /* set by the caller, as count and water */
    size_t count;
    BlyWaterFacts water;
    BlyTankResult result;
    BlyForecast before, after;
    BlySlips slips;
} TankWork;

/* Fails as bly_tank_learn and bly_tank_forecast do. Release it in every case. */
bool tank_work(const BlyBuild *build, TankWork *work, BlyError *err) BLY_MUST_CHECK;
void tank_work_release(TankWork *work);

/* Its results to be told; file and anyway as in TankReport. Borrows both. */
TankReport tank_report(const BlyBuild *build, const TankWork *work, const char *file, bool anyway);

/* Readings that contradict teach nothing, unless they are taken all the same. */
bool tank_refused(const TankWork *work, bool anyway);

#endif
