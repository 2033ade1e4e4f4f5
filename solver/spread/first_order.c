/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First order: slopes of the full physics, and whether they tell the truth. */
#include "spread/spread.h"

#include <gsl/gsl_math.h>
#include <string.h>

/* Slopes are taken this many sigma off either way. */
static const double off = 0.5;
/* An end of the range, or its middle, may be off by this share of its half-width. */
static const double honest = 0.1;

/* How far a quantity has moved; angles the short way round. */
static double moved(const SpreadModel *model, const BlyOutcome *to, const BlyOutcome *from,
                    BlyQuantity q) {
    double d = spread_quantity(model, to, q) - spread_quantity(model, from, q);
    return q == BLY_Q_NOSE_DOWN ? remainder(d, 2.0 * M_PI) : d;
}

/* The full physics so far off along one independent way. */
static bool full_along(const SpreadModel *model, size_t way, double by, size_t water,
                       BlyOutcome *out, BlyError *err) {
    double u[BLY_INPUTS_MAX] = {0};
    u[way] = by;
    spread_model_tie(model, u);
    return spread_model_full(model, u, water, out, err);
}

static bool find_slopes(const SpreadModel *model, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, double shift[BLY_QUANTITIES], BlyError *err) {
    for (size_t i = 0; i < model->set.input_count; i++) {
        BlyOutcome more, less;
        if (!full_along(model, i, off, water, &more, err) ||
            !full_along(model, i, -off, water, &less, err))
            return false;
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            double up = moved(model, &more, nominal, (BlyQuantity)q);
            double down = moved(model, &less, nominal, (BlyQuantity)q);
            out->slope[q][i] = (up - down) / (2.0 * off);
            shift[q] += (up + down) / (2.0 * off * off);
        }
    }
    return true;
}

/* The full physics at both ends of the range, along the direction in which the quantity changes
 * most. NAN fails. */
static bool check_ends(const SpreadModel *model, size_t water, const BlyOutcome *nominal,
                       BlyQuantity q, FirstOrder *out, BlyError *err) {
    double u[BLY_INPUTS_MAX], half = SPREAD_RANGE_SIGMA * out->sigma[q];
    for (int way = -1; way <= 1; way += 2) {
        BlyOutcome end;
        for (size_t i = 0; i < model->set.input_count; i++)
            u[i] = way * SPREAD_RANGE_SIGMA * out->slope[q][i] / out->sigma[q];
        spread_model_tie(model, u);
        if (!spread_model_full(model, u, water, &end, err))
            return false;
        double miss = fabs(moved(model, &end, nominal, q) - way * half);
        out->holds[q] = out->holds[q] && miss <= honest * half;
    }
    return true;
}

bool spread_first_order(const SpreadModel *model, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, BlyError *err) {
    double shift[BLY_QUANTITIES] = {0};
    memset(out, 0, sizeof *out);
    if (!find_slopes(model, water, nominal, out, shift, err))
        return false;
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        double square = 0.0;
        for (size_t i = 0; i < model->set.input_count; i++)
            square += out->slope[q][i] * out->slope[q][i];
        out->sigma[q] = sqrt(square);
        out->nominal[q] = spread_quantity(model, nominal, (BlyQuantity)q);
        out->holds[q] = fabs(shift[q]) <= honest * SPREAD_RANGE_SIGMA * out->sigma[q];
        if (out->holds[q] && out->sigma[q] > 0.0 &&
            !check_ends(model, water, nominal, (BlyQuantity)q, out, err))
            return false;
    }
    /* Speed goes with attitude: where that jumps, so may speed, at corners not looked at. */
    out->holds[BLY_Q_DRIFT] = out->holds[BLY_Q_DRIFT] && out->holds[BLY_Q_NOSE_DOWN];
    return true;
}
