/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First order: slopes of the full physics, and whether they tell the truth. Stand-in for the
 * samples, held to 100,000 of them in tests/spread/test_sampling.c (test_first_order_and_sources).
 */
#include "spread/ranges.h"

#include <gsl/gsl_math.h>
#include <string.h>

/* Slopes are taken this many sigma off either way. */
static const double off = 0.5;
/* An end of the range, or its middle, may be off by this share of its half-width. */
static const double honest = 0.1;

/* The full physics so far off along one independent way. */
static bool full_along(const QuickLure *quick, size_t way, double by, size_t water, BlyOutcome *out,
                       BlyError *err) {
    double u[BLY_INPUTS_MAX] = {0};
    u[way] = by;
    quick_lure_tie(quick, u);
    return spread_full(quick, u, water, out, err);
}

static bool find_slopes(const QuickLure *quick, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, double shift[BLY_QUANTITIES], BlyError *err) {
    for (size_t i = 0; i < quick->set.input_count; i++) {
        BlyOutcome more, less;
        if (!full_along(quick, i, off, water, &more, err) ||
            !full_along(quick, i, -off, water, &less, err))
            return false;
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            double up = spread_moved(quick, water, &more, nominal, (BlyQuantity)q);
            double down = spread_moved(quick, water, &less, nominal, (BlyQuantity)q);
            out->slope[q][i] = (up - down) / (2.0 * off);
            shift[q] += (up + down) / (2.0 * off * off);
        }
    }
    return true;
}

/* The full physics at both ends of the range, along the direction in which the quantity changes
 * most. NAN fails. */
static bool check_ends(const QuickLure *quick, size_t water, const BlyOutcome *nominal,
                       BlyQuantity q, FirstOrder *out, BlyError *err) {
    double u[BLY_INPUTS_MAX], half = BLY_SIGMAS_90 * out->sigma[q];
    for (int way = -1; way <= 1; way += 2) {
        BlyOutcome end;
        for (size_t i = 0; i < quick->set.input_count; i++)
            u[i] = way * BLY_SIGMAS_90 * out->slope[q][i] / out->sigma[q];
        quick_lure_tie(quick, u);
        if (!spread_full(quick, u, water, &end, err))
            return false;
        double miss = fabs(spread_moved(quick, water, &end, nominal, q) - way * half);
        out->holds[q] = out->holds[q] && miss <= honest * half;
    }
    return true;
}

bool spread_first_order(const QuickLure *quick, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, BlyError *err) {
    double shift[BLY_QUANTITIES] = {0};
    memset(out, 0, sizeof *out);
    if (!find_slopes(quick, water, nominal, out, shift, err))
        return false;
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        double square = 0.0;
        for (size_t i = 0; i < quick->set.input_count; i++)
            square += out->slope[q][i] * out->slope[q][i];
        out->sigma[q] = sqrt(square);
        out->nominal[q] = spread_quantity(quick, water, nominal, (BlyQuantity)q);
        out->holds[q] = fabs(shift[q]) <= honest * BLY_SIGMAS_90 * out->sigma[q];
        if (out->holds[q] && out->sigma[q] > 0.0 &&
            !check_ends(quick, water, nominal, (BlyQuantity)q, out, err))
            return false;
    }
    /* Speed goes with attitude: where that jumps, so may speed, at corners not looked at. */
    out->holds[BLY_Q_DRIFT] = out->holds[BLY_Q_DRIFT] && out->holds[BLY_Q_NOSE_DOWN];
    return true;
}
