/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The trim reserve of a rig: what its plan comes to, told of as many lures as were looked at. */
#include "trim/reserve.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>
#include <string.h>

static double quantile(double *values, size_t count, double share) {
    if (count == 0)
        return NAN;
    size_t k = (size_t)(share * (double)count);
    return gsl_stats_select(values, 1, count, k < count ? k : count - 1);
}

static void three(double *values, size_t count, double out[3]) {
    static const double share[3] = {0.05, 0.5, 0.95};
    for (int k = 0; k < 3; k++)
        out[k] = quantile(values, count, share[k]);
}

/* What one step does to a lure that drifts as those that it is used on. */
static void effects(const TrimPlan *plan, const TrimGroup *group, BlyTrim *out) {
    const TrimOption *option = &group->option[0];
    const QuickGrip *grip = &plan->quick->grip;
    Moments add = moments_scaled(option->add, 1.0 / option->steps);
    GripLoad load = plan->task.load[0], more;
    GripCell hold;
    GripRest rest = quick_grip_rest(grip, &load);
    load.net_weight = quick_grip_weight(grip, &load, rest.nose_down, out->from, &hold);
    rest = quick_grip_rest(grip, &load);
    more = quick_grip_added(&load, &add);
    out->net_weight = moments_weight(&add, load.density).net;
    GripRest after = quick_grip_rest(grip, &more);
    out->nose_down = remainder(after.nose_down - rest.nose_down, 2.0 * M_PI);
    out->drift = after.drift - rest.drift;
}

static void describe(TrimPlan *plan, size_t g, double middle_drift, BlyTrim *out) {
    const TrimGroup *group = &plan->trims->group[g];
    double steps[3];
    *out = (BlyTrim){.kind = group->kind, .seat = group->seat, .part = group->part};
    out->unit = trims_unit(plan->catalog, group->kind);
    for (size_t i = 0; i < group->count; i++) {
        out->least = group->option[i].steps < out->least ? group->option[i].steps : out->least;
        out->most = group->option[i].steps > out->most ? group->option[i].steps : out->most;
    }
    out->used = (double)plan->used[g] / (double)plan->looked;
    out->x = plan->used[g] > 0 ? quantile(plan->places[g], plan->used[g], 0.5) : group->option[0].x;
    out->from = plan->used[g] > 0 ? quantile(plan->from[g], plan->used[g], 0.5) : middle_drift;
    effects(plan, group, out);
    if (plan->used[g] == 0)
        return;
    three(plan->steps[g], plan->used[g], steps);
    out->low = (int)lround(steps[0]);
    out->middle = (int)lround(steps[1]);
    out->high = (int)lround(steps[2]);
}

/* Insertion keeps the seats' order among equals. */
static void describe_all(TrimPlan *plan, BlyReserve *out) {
    for (size_t g = 0; g < plan->trims->count; g++) {
        BlyTrim trim_now;
        describe(plan, g, out->drift[1], &trim_now);
        size_t at = out->count++;
        for (; at > 0 && out->trims[at - 1].used < trim_now.used; at--)
            out->trims[at] = out->trims[at - 1];
        out->trims[at] = trim_now;
    }
}

/* After so many tests, where the lures that meet the target as built are a share `as_built` of all:
 * the plan's lures are weighed so that they are (a sample stratified afterwards; Cochran, Sampling
 * Techniques, 1977, on stratification after selection, from memory). Never below what is met as
 * built unless trims spoil more than they mend.
 */
static double chance_after(const TrimPlan *plan, int tests, double as_built) {
    size_t met = plan->met[0], missed = plan->looked - met, kept = plan->kept[tests];
    size_t mended = plan->met[tests] - kept;
    double keeps = met > 0 ? (double)kept / (double)met : 1.0;
    double mends = missed > 0 ? (double)mended / (double)missed : 0.0;
    return as_built * keeps + (1.0 - as_built) * mends;
}

static bool find_chances(const TrimPlan *plan, BlyReserve *out, BlyError *err) {
    const UncertainCase *set = &plan->quick->set;
    const BlySpreadOptions common = {.seed = plan->seed};
    double as_built = (double)plan->met[0] / (double)plan->looked;
    if (!plan->own_lures && !spread_chance(set->build, set->rig, &common, &as_built, err))
        return false;
    for (int k = 0; k <= BLY_TESTS_MAX; k++)
        out->chance[k] = k <= plan->tests ? chance_after(plan, k, as_built) : NAN;
    return true;
}

bool trim_plan_reserve(TrimPlan *plan, const BlyBuild *build, BlyReserve *out, BlyError *err) {
    double n = (double)plan->looked;
    memset(out, 0, sizeof *out);
    if (!bly_water_at(build->water.temperature.value, build->water.salinity.value, &out->tank, err))
        return false;
    out->samples = plan->looked;
    out->tests = plan->asked;
    out->worked = plan->tests;
    out->tools = plan->task.tools;
    if (!find_chances(plan, out, err))
        return false;
    out->left_alone = (double)plan->left_alone / n;
    three(plan->drift, plan->looked, out->drift);
    three(plan->nose, plan->nose_count, out->nose_down);
    out->turned = (double)plan->turned / n;
    three(plan->shows, plan->shows_count, out->shows);
    describe_all(plan, out);
    return true;
}

bool bly_reserve(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                 const BlyReserveOptions *options, BlyReserve *out, BlyError *err) {
    TrimPlan *plan;
    memset(out, 0, sizeof *out);
    bool good = trim_plan_open(build, catalog, rig, options, &plan, err);
    if (good) {
        trim_plan_look(plan, plan->samples);
        good = trim_plan_reserve(plan, build, out, err);
    }
    trim_plan_free(plan);
    return good;
}
