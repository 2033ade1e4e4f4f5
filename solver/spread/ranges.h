/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room spread: ranges by first order, by samples and, at the surface, by lures of
 * the full physics. */
#ifndef BALLASTRY_SPREAD_RANGES_H
#define BALLASTRY_SPREAD_RANGES_H

#include "spread/spread.h"

/* One lure in one water by the full physics. */
bool spread_full(const QuickLure *quick, const double *u, size_t water, BlyOutcome *out,
                 BlyError *err) BLY_MUST_CHECK;

/* ---- first_order.c, sample.c, full_afloat.c ---- */

/* Ranges and shares of one water by slopes of the full physics; `holds` says whether first order
 * is enough for each quantity. */
typedef struct FirstOrder {
    double nominal[BLY_QUANTITIES], sigma[BLY_QUANTITIES];
    double slope[BLY_QUANTITIES][BLY_INPUTS_MAX]; /* a unit of u */
    bool holds[BLY_QUANTITIES];
} FirstOrder;
bool spread_first_order(const QuickLure *quick, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, BlyError *err) BLY_MUST_CHECK;

/* Everything that samples say; fills ranges (all by sampling), state, chance, miss and the first
 * water's shares of `out`, whose nominal outcomes are there. */
bool spread_sample(const QuickLure *quick, const BlySpreadOptions *options, BlySpread *out,
                   BlyError *err) BLY_MUST_CHECK;
/* What is said of the attitude, from how far off the nominal one (rad) so many lures lie, which are
 * put out of order, and how many are turned: range, turned, no_attitude. */
void spread_conclude_attitude(double *off, size_t count, size_t turned, BlySpreadWater *out);

/* The same for the attitude afloat, from some lures by the full physics. */
bool spread_full_afloat(const QuickLure *quick, size_t water, const BlySpreadOptions *options,
                        BlySpreadWater *out, BlyError *err) BLY_MUST_CHECK;

#endif
