/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build as a fast function of its inputs: sums by polynomial, water and swelling by formula,
 * attitude and speed from the table of what the water does. */
#include "spread/spread.h"

#include <math.h>
#include <stdlib.h>

static void find_inputs(SpreadModel *model) {
    for (int k = 0; k < BLY_INPUT_KINDS; k++)
        model->input_of[k] = -1;
    for (size_t i = 0; i < model->set.input_count; i++)
        model->input_of[model->inputs[i].kind] = (int)i;
}

/* u at which the input reaches the edge of what is possible: its value at 1000 sigma. */
static void find_limits(SpreadModel *model) {
    for (size_t i = 0; i < model->set.input_count; i++) {
        const BlyInput *input = &model->inputs[i];
        double sigma = input->give / SPREAD_GIVE_SIGMA;
        model->low[i] = (spread_value(input, -1e3) - input->value) / sigma;
        model->high[i] = (spread_value(input, 1e3) - input->value) / sigma;
    }
}

void spread_model_clamp(const SpreadModel *model, double *u) {
    for (size_t i = 0; i < model->set.input_count; i++)
        u[i] = fmin(fmax(u[i], model->low[i]), model->high[i]);
}

/* One sigma of mass and of the place of gravity. */
static void steps_of(const SpreadSums *sums, double steps[3]) {
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

static bool needs_angle(const SpreadModel *model) {
    const BlyTarget *target = model->target;
    return model->at_surface &&
           (!target || isfinite(target->nose_low) || isfinite(target->nose_high));
}

static bool rest_in(const SpreadModel *model, const BlyLure *lure, size_t w, BlyOutcome *out,
                    BlyError *err) {
    BlyWater water;
    const BlyWaterFacts *facts = &model->facts[w];
    return bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
           bly_rest(lure, &water, out, err);
}

static bool make_tables(SpreadModel *model, const BlyLure *lure, BlyOutcome *nominal,
                        BlyError *err) {
    double steps[3];
    if (!rest_in(model, lure, 0, &nominal[0], err) ||
        !spread_sums_make(&model->set, &nominal[0], &model->sums, err) ||
        !spread_grip_make(lure, &nominal[0].water, &model->grip, err))
        return false;
    model->at_surface =
        model->target ? model->target->state == BLY_FLOATS : nominal[0].state == BLY_FLOATS;
    steps_of(&model->sums, steps);
    for (size_t w = 0; w < model->water_count; w++) {
        if ((w > 0 && !rest_in(model, lure, w, &nominal[w], err)) ||
            !spread_near_water(&model->facts[w], &model->water[w], err) ||
            !spread_afloat_make(lure, &nominal[w].water, &nominal[w], steps, !needs_angle(model),
                                &model->afloat[w], err))
            return false;
    }
    return true;
}

/* Temperature and salinity as inputs: those of the first water in which they are uncertain. */
static BlyWaterFacts uncertain_water(const SpreadModel *model) {
    BlyWaterFacts facts = model->facts[0];
    for (size_t w = 1; w < model->water_count; w++) {
        if (!(facts.temperature.give > 0.0))
            facts.temperature = model->facts[w].temperature;
        if (!(facts.salinity.give > 0.0))
            facts.salinity = model->facts[w].salinity;
    }
    return facts;
}

static bool find_ties(SpreadModel *model, BlyError *err) {
    char name[BLY_INPUTS_MAX][BLY_INPUT_NAME_MAX];
    const char *names[BLY_INPUTS_MAX];
    for (size_t i = 0; i < model->set.input_count; i++) {
        bly_input_name(model->set.build, &model->inputs[i], name[i]);
        names[i] = name[i];
    }
    return bly_build_ties(model->set.build, names, model->set.input_count, model->factor,
                          &model->tied, err);
}

void spread_model_tie(const SpreadModel *model, double *u) {
    size_t n = model->set.input_count;
    for (size_t i = n; model->tied && i-- > 0;) { /* from below: what it needs is still as it was */
        double sum = 0.0;
        for (size_t j = 0; j <= i; j++)
            sum += model->factor[i * n + j] * u[j];
        u[i] = sum;
    }
}

static bool fill(SpreadModel *model, BlyOutcome *nominal, BlyError *err) {
    BlyLure lure;
    BlyWaterFacts water = uncertain_water(model);
    if (!bly_inputs_list(model->set.build, model->set.rig, &water, model->inputs,
                         &model->set.input_count, err))
        return false;
    find_inputs(model);
    find_limits(model);
    if (!find_ties(model, err))
        return false;
    if (!bly_lure_make(&model->set.build->blank, model->set.build->seats, model->set.rig, &lure,
                       err))
        return false;
    bool good = make_tables(model, &lure, nominal, err);
    bly_lure_release(&lure);
    return good;
}

SpreadModel *spread_model_make(const BlyBuild *build, const BlyRig *rig,
                               const BlyWaterFacts *waters, size_t count, const BlyTarget *target,
                               BlyOutcome *nominal, BlyError *err) {
    SpreadModel *model = calloc(1, sizeof *model);
    if (!model) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
        return NULL;
    }
    model->set = (SpreadCase){build, rig, model->inputs, 0, &build->blank};
    model->target = target;
    model->water_count = count;
    for (size_t w = 0; w < count; w++)
        model->facts[w] = waters[w];
    if (fill(model, nominal, err))
        return model;
    free(model);
    return NULL;
}

static double factor(const SpreadModel *model, BlyInputKind kind, double nominal, const double *u) {
    int i = model->input_of[kind];
    return i < 0 ? nominal : nominal + u[i] * model->inputs[i].give / SPREAD_GIVE_SIGMA;
}

static double normal_of(const SpreadModel *model, BlyInputKind kind, const double *u) {
    int i = model->input_of[kind];
    return i < 0 ? 0.0 : u[i];
}

static double known(double value, double otherwise) {
    return isfinite(value) ? value : otherwise;
}

void spread_model_load(const SpreadModel *model, const double *u, const double sums[SUMS],
                       size_t water, GripLoad *out, double *hull) {
    const BlyBodyFacts *facts = &model->set.build->facts;
    double temperature, density, nu;
    spread_near_water_at(&model->water[water], normal_of(model, BLY_IN_TEMPERATURE, u),
                         normal_of(model, BLY_IN_SALINITY, u), &temperature, &density, &nu);
    double alpha = known(factor(model, BLY_IN_EXPANSION, facts->expansion.value, u), 0.0);
    double swelling = 1.0 + 3.0 * alpha * (temperature - facts->reference_t);
    *hull = swelling * sums[SUM_H];
    *out = (GripLoad){
        .net_weight = sums[SUM_M] - density * (*hull + sums[SUM_P]),
        .wx = sums[SUM_MX] - density * (swelling * sums[SUM_HX] + sums[SUM_PX]),
        .wz = sums[SUM_MZ] - density * (swelling * sums[SUM_HZ] + sums[SUM_PZ]),
        .drag = factor(model, BLY_IN_DRAG, known(facts->drag_factor.value, 1.0), u) *
                exp(sums[SUM_HOLD_AREA]),
        .munk = factor(model, BLY_IN_MUNK, known(facts->munk_factor.value, 1.0), u),
        .density = density,
        .nu = nu,
    };
    /* Drag that acts elsewhere than in the table. */
    out->wx -= out->net_weight * sums[SUM_HOLD_X];
    out->wz -= out->net_weight * sums[SUM_HOLD_Z];
}

void spread_model_sample(const SpreadModel *model, const double *u, const double sums[SUMS],
                         size_t water, BlyOutcome *out) {
    GripLoad load;
    double hull;
    spread_model_load(model, u, sums, water, &load, &hull);
    GripRest rest = spread_grip_rest(&model->grip, &load);
    out->sums.mass = sums[SUM_M];
    out->sums.net_weight = load.net_weight;
    out->nose_down = rest.nose_down;
    out->drift = rest.drift;
    out->state = bly_state_of(rest.drift);
    out->roll_arm = (load.net_weight * rest.drag_z - load.wz) / sums[SUM_M];
    out->has_surface = out->state == BLY_FLOATS;
    out->surface.shows = out->surface.nose_down = NAN;
    if (out->has_surface && model->at_surface)
        spread_afloat_at(&model->afloat[water], sums, load.density, hull, &out->surface.shows,
                         &out->surface.nose_down);
}

bool spread_model_full(const SpreadModel *model, const double *u, size_t water, BlyOutcome *out,
                       BlyError *err) {
    SpreadLure lure;
    BlyWater at;
    bool good = spread_lure_make(&model->set, u, &lure, err) &&
                spread_water_at(&model->set, &model->facts[water], u, &at, err) &&
                (model->at_surface ? bly_rest(&lure.lure, &at, out, err)
                                   : bly_rest_under_water(&lure.lure, &at, out, err));
    if (good && !model->at_surface)
        out->surface.shows = out->surface.nose_down = NAN;
    spread_lure_release(&lure);
    return good;
}

double spread_quantity(const SpreadModel *model, const BlyOutcome *outcome, BlyQuantity quantity) {
    bool surface = model->at_surface && outcome->has_surface;
    switch (quantity) {
    case BLY_Q_NET_WEIGHT:
        return outcome->sums.net_weight;
    case BLY_Q_DRIFT:
        return outcome->drift;
    case BLY_Q_NOSE_DOWN:
        return surface ? outcome->surface.nose_down : outcome->nose_down;
    case BLY_Q_SHOWS:
        return surface ? outcome->surface.shows : NAN;
    case BLY_QUANTITIES:
        break;
    }
    return NAN;
}
