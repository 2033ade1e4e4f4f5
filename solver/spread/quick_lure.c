/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stand-in: a whole lure as a fast function of its inputs: sums by polynomial, water and swelling
 * by formula, attitude and speed from the table of what the water does. Held to the full physics,
 * lure by lure, in tests/spread/test_sampling.c (test_fast_is_full). */
#include "spread/quick.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

static void find_inputs(QuickLure *quick) {
    for (int k = 0; k < BLY_INPUT_KINDS; k++)
        quick->input_of[k] = -1;
    for (size_t i = 0; i < quick->set.input_count; i++)
        quick->input_of[quick->inputs[i].kind] = (int)i;
}

static void find_limits(QuickLure *quick) {
    for (size_t i = 0; i < quick->set.input_count; i++)
        uncertain_reach(&quick->inputs[i], &quick->low[i], &quick->high[i]);
}

void quick_lure_clamp(const QuickLure *quick, double *u) {
    for (size_t i = 0; i < quick->set.input_count; i++)
        u[i] = fmin(fmax(u[i], quick->low[i]), quick->high[i]);
}

/* One sigma of mass and of the place of gravity. */
static void steps_of(const QuickSums *sums, double steps[3]) {
    const double *zero = sums->at_zero;
    double square[3] = {0};
    for (size_t i = 0; i < sums->count; i++) {
        const double *slope = sums->slope[i];
        double m = slope[SUM_M], x = zero[SUM_MX] / zero[SUM_M], z = zero[SUM_MZ] / zero[SUM_M];
        square[0] += m * m;
        square[1] += pow((slope[SUM_MX] - x * m) / zero[SUM_M], 2);
        square[2] += pow((slope[SUM_MZ] - z * m) / zero[SUM_M], 2);
    }
    for (int k = 0; k < 3; k++)
        steps[k] = fmax(sqrt(square[k]), 1e-5);
}

static bool rest_in(const QuickLure *quick, const BlyLure *lure, size_t w, BlyOutcome *out,
                    BlyError *err) {
    BlyWater water;
    const BlyWaterFacts *facts = &quick->facts[w];
    return bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
           bly_rest(lure, &water, out, err);
}

static bool make_tables(QuickLure *quick, const BlyLure *lure, BlyOutcome *nominal, BlyError *err) {
    double steps[3];
    if (!rest_in(quick, lure, 0, &nominal[0], err) ||
        !quick_sums_make(&quick->set, &nominal[0], &quick->sums, err) ||
        !quick_grip_make(lure, &nominal[0].water, &quick->grip, err))
        return false;
    quick->at_surface =
        quick->target ? quick->target->state == BLY_FLOATS : nominal[0].state == BLY_FLOATS;
    steps_of(&quick->sums, steps);
    for (size_t w = 0; w < quick->water_count; w++) {
        if ((w > 0 && !rest_in(quick, lure, w, &nominal[w], err)) ||
            !quick_water_make(&quick->facts[w], &quick->water[w], err) ||
            !quick_afloat_make(lure, &nominal[w].water, &nominal[w], steps, !quick->at_surface,
                               &quick->afloat[w], err))
            return false;
        quick->by_afloat[w] = quick->at_surface && nominal[w].has_surface;
    }
    return true;
}

/* Temperature and salinity as inputs: those of the first water in which they are uncertain. */
static BlyWaterFacts water_inputs(const QuickLure *quick) {
    BlyWaterFacts facts = quick->facts[0];
    for (size_t w = 1; w < quick->water_count; w++) {
        if (!(facts.temperature.give > 0.0))
            facts.temperature = quick->facts[w].temperature;
        if (!(facts.salinity.give > 0.0))
            facts.salinity = quick->facts[w].salinity;
    }
    return facts;
}

void quick_lure_tie(const QuickLure *quick, double *u) {
    if (quick->tied)
        uncertain_tie(quick->factor, quick->set.input_count, u);
}

static bool fill(QuickLure *quick, BlyOutcome *nominal, BlyError *err) {
    BlyLure lure;
    BlyWaterFacts water = water_inputs(quick);
    if (!bly_inputs_list(quick->set.build, quick->set.rig, &water, quick->inputs,
                         &quick->set.input_count, err))
        return false;
    find_inputs(quick);
    find_limits(quick);
    if (!uncertain_ties(quick->set.build, quick->inputs, quick->set.input_count, quick->factor,
                        &quick->tied, err) ||
        !bly_lure_make(&quick->set.build->blank, quick->set.build->seats, quick->set.rig, &lure,
                       err))
        return false;
    bool good = make_tables(quick, &lure, nominal, err);
    bly_lure_release(&lure);
    return good;
}

QuickLure *quick_lure_make(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *waters,
                           size_t count, const BlyTarget *target, BlyOutcome *nominal,
                           BlyError *err) {
    QuickLure *quick = calloc(1, sizeof *quick);
    if (!quick) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
        return NULL;
    }
    quick->set = (UncertainCase){build, rig, quick->inputs, 0, &build->blank};
    quick->target = target;
    quick->water_count = count;
    for (size_t w = 0; w < count; w++)
        quick->facts[w] = waters[w];
    if (fill(quick, nominal, err))
        return quick;
    free(quick);
    return NULL;
}

static double factor(const QuickLure *quick, BlyInputKind kind, double nominal, const double *u) {
    int i = quick->input_of[kind];
    return i < 0 ? nominal : nominal + u[i] * quick->inputs[i].give / BLY_SIGMAS_95;
}

static double normal_of(const QuickLure *quick, BlyInputKind kind, const double *u) {
    int i = quick->input_of[kind];
    return i < 0 ? 0.0 : u[i];
}

static double known(double value, double otherwise) {
    return isfinite(value) ? value : otherwise;
}

void quick_lure_load(const QuickLure *quick, const double *u, const double sums[SUMS], size_t water,
                     GripLoad *out, double *hull) {
    const BlyBodyFacts *facts = &quick->set.build->facts;
    double temperature, density, nu;
    quick_water_at(&quick->water[water], normal_of(quick, BLY_IN_TEMPERATURE, u),
                   normal_of(quick, BLY_IN_SALINITY, u), &temperature, &density, &nu);
    double alpha = known(factor(quick, BLY_IN_EXPANSION, facts->expansion.value, u), 0.0);
    double swelling = 1.0 + 3.0 * alpha * (temperature - facts->reference_t);
    Moments hull_only = {.v = sums[SUM_H], .vx = sums[SUM_HX], .vz = sums[SUM_HZ]};
    Moments swollen = moments_scaled(hull_only, swelling);
    Moments all = moments_sum(swollen, quick_sums_moments(sums));
    WeightInWater weight = moments_weight(&all, density);
    *hull = swollen.v;
    *out = (GripLoad){
        .net_weight = weight.net,
        .wx = weight.x,
        .wz = weight.z,
        .drag = factor(quick, BLY_IN_DRAG, known(facts->drag_factor.value, 1.0), u) *
                exp(sums[SUM_HOLD_AREA]),
        .munk = factor(quick, BLY_IN_MUNK, known(facts->munk_factor.value, 1.0), u),
        .density = density,
        .nu = nu,
    };
    /* Drag that acts elsewhere than in the table. */
    out->wx -= out->net_weight * sums[SUM_HOLD_X];
    out->wz -= out->net_weight * sums[SUM_HOLD_Z];
}

void quick_lure_sample(const QuickLure *quick, const double *u, const double sums[SUMS],
                       size_t water, BlyOutcome *out) {
    GripLoad load;
    double hull;
    quick_lure_load(quick, u, sums, water, &load, &hull);
    GripRest rest = quick_grip_rest(&quick->grip, &load);
    out->sums.mass = sums[SUM_M];
    out->sums.net_weight = load.net_weight;
    out->nose_down = rest.nose_down;
    out->drift = rest.drift;
    out->state = bly_state_of(rest.drift);
    out->roll_arm = (load.net_weight * rest.drag_z - load.wz) / sums[SUM_M];
    out->has_surface = out->state == BLY_FLOATS;
    BlyFloat *lies = &out->surface;
    const QuickAfloat *afloat = &quick->afloat[water];
    lies->shows = lies->nose_down = lies->roll_height = NAN;
    if (!out->has_surface || !quick->at_surface)
        return;
    quick_afloat_at(afloat, sums, load.density, hull, &lies->shows, &lies->nose_down);
    lies->roll_height = quick_afloat_roll(afloat, sums, load.density, lies->shows);
}
