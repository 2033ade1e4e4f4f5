/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room spread: how the parts of a QuickLure are made. */
#ifndef BALLASTRY_SPREAD_QUICK_H
#define BALLASTRY_SPREAD_QUICK_H

#include "spread/spread.h"

bool quick_sums_make(const UncertainCase *set, const BlyOutcome *nominal, QuickSums *out,
                     BlyError *err) BLY_MUST_CHECK;

bool quick_grip_make(const BlyLure *lure, const BlyWater *water, QuickGrip *out,
                     BlyError *err) BLY_MUST_CHECK;

bool quick_water_make(const BlyWaterFacts *facts, QuickWater *out, BlyError *err) BLY_MUST_CHECK;
/* u of temperature and of salinity. */
void quick_water_at(const QuickWater *near, double u_temperature, double u_salt,
                    double *temperature, double *density, double *nu);

/* By the full physics with a little more mass, and with the load moved by a little; `steps`: mass
 * (kg), x and z (m). without_angle: leaves slope and bend 0. */
bool quick_afloat_make(const BlyLure *lure, const BlyWater *water, const BlyOutcome *nominal,
                       const double steps[3], bool without_angle, QuickAfloat *out,
                       BlyError *err) BLY_MUST_CHECK;

#endif
