/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Attitudes at the surface by the full physics, lure by lure: where slopes do not tell the truth, a
 * curve of second degree about the nominal lure does not either (a tail that goes under as the lure
 * grows heavier stands it on end). */
#include "spread/ranges.h"

#include <math.h>
#include <stdlib.h>

/* Sobol points. A few tell whether the curve is as good; an end of the range by all of them is good
 * to some 8 % of its width. */
enum { FEW = 40, LURES = 200 };
/* The curve may be off by this share of the spread, in the mean square. */
static const double as_good = 0.15;

/* Off the nominal attitude, of those that float; `turned`: the others that do. */
typedef struct Found {
    double off[LURES];
    size_t count, turned;
    double square; /* sum of squares of what the curve is off by, rad */
} Found;

/* What the curve is off by: a lure that floats by one of the two alone has no say. */
static double curve_off(const QuickLure *quick, size_t water, const double *u,
                        const BlyOutcome *full) {
    double sums[SUMS];
    BlyOutcome fast;
    quick_sums_at(&quick->sums, u, sums);
    quick_lure_sample(quick, u, sums, water, &fast);
    double off = spread_moved(quick, water, &fast, full, BLY_Q_NOSE_DOWN);
    return isnan(off) ? 0.0 : off;
}

static bool one_lure(const QuickLure *quick, size_t water, const BlyOutcome *nominal, double *u,
                     Found *found, BlyError *err) {
    BlyOutcome outcome;
    quick_lure_tie(quick, u);
    quick_lure_clamp(quick, u);
    if (!spread_full(quick, u, water, &outcome, err))
        return false;
    double off = spread_moved(quick, water, &outcome, nominal, BLY_Q_NOSE_DOWN);
    found->square += pow(curve_off(quick, water, u, &outcome), 2);
    if (fabs(off) <= SPREAD_TURNED)
        found->off[found->count++] = off;
    else
        found->turned += outcome.has_surface;
    return true;
}

/* Of the few: none of them turned but by the curve's word, and the curve near enough. */
static bool curve_will_do(const Found *found, const BlySpreadWater *water) {
    double sigma = water->range[BLY_Q_NOSE_DOWN].sigma;
    return found->turned == 0 && water->turned < 0.005 && found->count > 0 &&
           found->square <= pow(as_good * sigma, 2) * (double)found->count;
}

bool spread_full_afloat(const QuickLure *quick, size_t water, const BlySpreadOptions *options,
                        BlySpreadWater *out, BlyError *err) {
    double u[BLY_INPUTS_MAX];
    Found *found = calloc(1, sizeof *found);
    if (!found)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for lures at the surface");
    SpreadDraw *draw =
        spread_draw_make(quick->set.input_count, options->source, options->seed, err);
    bool good = draw != NULL, enough = false;
    for (int i = 0; good && !enough && i < LURES; i++) {
        spread_draw_next(draw, u);
        good = one_lure(quick, water, &out->nominal, u, found, err);
        enough = i + 1 == FEW && curve_will_do(found, out);
    }
    if (good && !enough)
        spread_conclude_attitude(found->off, found->count, found->turned, out);
    spread_draw_free(draw);
    free(found);
    return good;
}
