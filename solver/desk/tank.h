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
    /* What to measure next of the lure as corrected, and the reserve that it is told by; owned,
     * NULL: not worked out, or no target, or an unfinished lure. */
    Worth *worth;
    BlyReserve *reserve;
} TankWork;

/* Fails as bly_tank_learn and bly_tank_forecast do. Release it in every case. */
bool tank_work(const BlyBuild *build, TankWork *work, BlyError *err) BLY_MUST_CHECK;
void tank_work_release(TankWork *work);

/* What to measure next, of a lure with all its parts: as `rest` says of the build that is written.
 * `files`: what the build names beside it. */
bool tank_next(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files,
               TankWork *work, BlyError *err) BLY_MUST_CHECK;

/* Its results to be told; file and anyway as in TankReport. Borrows both. */
TankReport tank_report(const BlyBuild *build, const TankWork *work, const char *file, bool anyway);

/* Readings that contradict teach nothing, unless they are taken all the same. */
bool tank_refused(const TankWork *work, bool anyway);

#endif
