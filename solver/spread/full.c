/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lure of the spread by the full physics, and what is looked at of an outcome. */
#include "spread/ranges.h"

#include <gsl/gsl_math.h>

bool spread_full(const QuickLure *quick, const double *u, size_t water, BlyOutcome *out,
                 BlyError *err) {
    MovedLure lure;
    BlyWater at;
    bool good = moved_lure_make(&quick->set, u, &lure, err) &&
                uncertain_water(&quick->set, &quick->facts[water], u, &at, err);
    good = good && (quick->at_surface ? bly_rest(&lure.lure, &at, out, err)
                                      : bly_rest_under_water(&lure.lure, &at, out, err));
    if (good && !quick->at_surface)
        out->surface.shows = out->surface.nose_down = NAN;
    moved_lure_release(&lure);
    return good;
}

static double attitude(const BlyOutcome *outcome, bool afloat) {
    if (!afloat)
        return outcome->nose_down;
    return outcome->has_surface ? outcome->surface.nose_down : NAN;
}

double spread_quantity(const QuickLure *quick, size_t water, const BlyOutcome *outcome,
                       BlyQuantity quantity) {
    bool surface = quick->at_surface && outcome->has_surface;
    switch (quantity) {
    case BLY_Q_NET_WEIGHT:
        return outcome->sums.net_weight;
    case BLY_Q_DRIFT:
        return outcome->drift;
    case BLY_Q_NOSE_DOWN:
        return attitude(outcome, quick->by_afloat[water]);
    case BLY_Q_SHOWS:
        return surface ? outcome->surface.shows : NAN;
    case BLY_QUANTITIES:
        break;
    }
    return NAN;
}

double spread_moved(const QuickLure *quick, size_t water, const BlyOutcome *to,
                    const BlyOutcome *from, BlyQuantity quantity) {
    double d =
        spread_quantity(quick, water, to, quantity) - spread_quantity(quick, water, from, quantity);
    return quantity == BLY_Q_NOSE_DOWN ? remainder(d, 2.0 * M_PI) : d;
}
