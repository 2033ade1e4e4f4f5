/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The chance with something read before the planned tests. */
#include "trim/reserve.h"

#include <stdlib.h>
#include <string.h>

/* Shares of the variance of net weight and of its moment that a reading takes away, added. */
static double doubt_gone(const QuickLure *quick, double density, const TrimKnown *known) {
    size_t n = quick->set.input_count;
    double all = known->sigma * known->sigma, with[2] = {0}, own[2] = {0}, gone = 0.0;
    for (size_t k = 0; k < n; k++) { /* along each independent input */
        double u[BLY_INPUTS_MAX] = {0}, moved[2] = {0}, row = 0.0;
        u[k] = 1.0;
        quick_lure_tie(quick, u);
        for (size_t i = 0; i < n; i++) {
            const double *slope = quick->sums.slope[i];
            row += known->row[i] * u[i];
            moved[0] += u[i] * (slope[SUM_M] - density * (slope[SUM_H] + slope[SUM_P]));
            moved[1] += u[i] * (slope[SUM_MX] - density * (slope[SUM_HX] + slope[SUM_PX]));
        }
        all += row * row;
        for (int q = 0; q < 2; q++) {
            with[q] += row * moved[q];
            own[q] += moved[q] * moved[q];
        }
    }
    for (int q = 0; q < 2; q++)
        gone += own[q] > 0.0 ? with[q] * with[q] / (all * own[q]) : 0.0;
    return gone;
}

static void fill_row(const TrimPlan *plan, TrimKnown *known) {
    const QuickSums *sums = &plan->quick->sums;
    double density = known->what == TRIM_KNOWS_NET ? plan->task.load[0].density : 0.0;
    for (size_t i = 0; known->what != TRIM_KNOWS_ROW && i < sums->count; i++) {
        const double *slope = sums->slope[i];
        known->row[i] = slope[SUM_M] - density * (slope[SUM_H] + slope[SUM_P]);
    }
}

/* The plan's lures, as its inputs' law now is: the share that meets the target in the end. */
static bool chance_of(TrimPlan *plan, const BlyReserveOptions *options, double *chance,
                      BlyError *err) {
    planned_make(plan->quick, options, options->tools, &plan->task);
    if (!plan_again(plan, options, err))
        return false;
    trim_plan_look(plan, plan->samples);
    *chance = trim_plan_chance(plan);
    return true;
}

static bool halted(const TrimHalt *halt) {
    return halt != NULL && halt->asked != NULL && halt->asked(halt->context);
}

static bool each_known(TrimPlan *plan, const BlyReserveOptions *options, const TrimKnown *known,
                       size_t count, size_t most, const TrimHalt *halt, double *chance,
                       BlyError *err) {
    QuickLure *quick = plan->quick;
    double gone[TRIM_KNOWN_MAX], factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX];
    bool good = true, tied = quick->tied;
    memcpy(factor, quick->factor, sizeof factor);
    for (size_t i = 0; i < count; i++) {
        gone[i] = doubt_gone(quick, plan->task.load[0].density, &known[i]);
        chance[i] = NAN;
    }
    for (size_t round = 0; good && round < most && round < count && !halted(halt); round++) {
        size_t best = count;
        for (size_t i = 0; i < count; i++) {
            if (isnan(chance[i]) && gone[i] > 1e-3 && (best == count || gone[i] > gone[best]))
                best = i;
        }
        if (best == count)
            break;
        good =
            trim_condition(quick->factor, quick->tied, quick->set.input_count, &known[best], err);
        quick->tied = true;
        good = good && chance_of(plan, options, &chance[best], err);
        memcpy(quick->factor, factor, sizeof factor);
        quick->tied = tied;
    }
    return good;
}

bool trim_knowing(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                  const BlyReserveOptions *options, TrimKnownList list, const void *context,
                  size_t most, const TrimHalt *halt, double *now, double chance[TRIM_KNOWN_MAX],
                  size_t *count, BlyError *err) {
    BlyReserveOptions asked = options ? *options : (BlyReserveOptions){0};
    TrimPlan *plan;
    *count = 0;
    if (!plan_check(build, &asked, err))
        return false;
    asked.fewer = build->tests < BLY_TESTS_MAX ? BLY_TESTS_MAX - build->tests : 0;
    TrimKnown *known = calloc(TRIM_KNOWN_MAX, sizeof *known);
    bool good = known != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for readings");
    good = trim_plan_open(build, catalog, rig, &asked, &plan, good ? err : NULL) && good &&
           chance_of(plan, &asked, now, err);
    if (good) {
        *count = list(context, plan->quick->inputs, plan->quick->set.input_count, known);
        for (size_t i = 0; i < *count; i++)
            fill_row(plan, &known[i]);
        good = each_known(plan, &asked, known, *count, most, halt, chance, err);
    }
    trim_plan_free(plan);
    free(known);
    return good;
}
