/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The spread of a build: first order where it holds, samples elsewhere and for the chance. */
#include "spread/ranges.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const BlySpreadOptions usual = {.samples = 16384};

static bool check(size_t count, BlySpreadOptions *options, BlyError *err) {
    if (count < 1 || count > BLY_SPREAD_WATERS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "the spread takes 1 to %d waters",
                        BLY_SPREAD_WATERS_MAX);
    if (options->samples == 0)
        options->samples = usual.samples;
    if (options->samples < 100 || options->samples > 10000000)
        return bly_fail(err, BLY_E_RANGE, NULL, "the spread takes 100 to 10000000 samples");
    return true;
}

static void take_first_order(const FirstOrder *first, size_t water, size_t inputs, BlySpread *out) {
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        double sigma = first->sigma[q], half = BLY_SIGMAS_90 * sigma;
        bool other = q == BLY_Q_NOSE_DOWN && out->water[water].turned > 0.0;
        if (!first->holds[q] || other)
            continue;
        out->water[water].range[q] =
            (BlyRange){first->nominal[q], first->nominal[q] - half, first->nominal[q] + half, sigma,
                       BLY_BY_FIRST_ORDER};
        if (q == BLY_Q_NOSE_DOWN)
            out->water[water].no_attitude = false;
        for (size_t i = 0; water == 0 && i < inputs; i++)
            out->share[q][i] = sigma > 0.0 ? pow(first->slope[q][i] / sigma, 2) : 0.0;
    }
}

static BlyQuantity what_matters(const BlySpread *spread) {
    static const BlyQuantity of_miss[BLY_MISSES] = {
        [BLY_MISS_DRIFT] = BLY_Q_NET_WEIGHT, /* drift follows from it, by a root that only blurs */
        [BLY_MISS_SHOWS] = BLY_Q_SHOWS,
        [BLY_MISS_NOSE] = BLY_Q_NOSE_DOWN,
        [BLY_MISS_ROLL] = BLY_Q_NOSE_DOWN,
    };
    int worst = BLY_MISS_DRIFT;
    for (int m = 0; spread->has_target && m < BLY_MISSES; m++) {
        if (spread->miss[m] > spread->miss[worst])
            worst = m;
    }
    return of_miss[worst];
}

/* Insertion keeps the list's order among equals. */
static void put_in_order(BlySpread *spread) {
    const double *share = spread->share[spread->matters];
    for (size_t i = 0; i < spread->input_count; i++) {
        size_t at = i;
        for (; at > 0 && share[spread->order[at - 1]] < share[i]; at--)
            spread->order[at] = spread->order[at - 1];
        spread->order[at] = i;
    }
}

static bool work_out(const QuickLure *quick, const BlySpreadOptions *options, BlySpread *out,
                     BlyError *err) {
    if (!spread_sample(quick, options, out, err))
        return false;
    for (size_t w = 0; !options->sample_all && w < quick->water_count; w++) {
        FirstOrder first;
        if (!spread_first_order(quick, w, &out->water[w].nominal, &first, err))
            return false;
        take_first_order(&first, w, quick->set.input_count, out);
        if (!first.holds[BLY_Q_NOSE_DOWN] && out->water[w].afloat &&
            !spread_full_afloat(quick, w, options, &out->water[w], err))
            return false;
    }
    out->matters = what_matters(out);
    put_in_order(out);
    return true;
}

bool bly_spread(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *waters, size_t count,
                const BlyTarget *target, const BlySpreadOptions *options, BlySpread *out,
                BlyError *err) {
    BlySpreadOptions asked = options ? *options : usual;
    BlyOutcome nominal[BLY_SPREAD_WATERS_MAX];
    memset(out, 0, sizeof *out);
    if (!check(count, &asked, err))
        return false;
    QuickLure *quick = quick_lure_make(build, rig, waters, count, target, nominal, err);
    if (!quick)
        return false;
    out->water_count = count;
    out->has_target = target != NULL;
    out->input_count = quick->set.input_count;
    memcpy(out->inputs, quick->inputs, sizeof out->inputs);
    for (size_t w = 0; w < count; w++) {
        out->water[w].nominal = nominal[w];
        out->water[w].water = nominal[w].water;
    }
    bool good = work_out(quick, &asked, out, err);
    free(quick);
    return good;
}

bool spread_chance(const BlyBuild *build, const BlyRig *rig, const BlySpreadOptions *options,
                   double *out, BlyError *err) {
    BlySpreadOptions asked = options ? *options : usual;
    asked.sample_all = true;
    *out = NAN;
    if (!build->has_target)
        return true;
    BlySpread *spread = malloc(sizeof *spread);
    if (!spread)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    bool good = bly_spread(build, rig, build->target_waters, build->target_water_count,
                           &build->target, &asked, spread, err);
    *out = good ? spread->chance : NAN;
    free(spread);
    return good;
}
