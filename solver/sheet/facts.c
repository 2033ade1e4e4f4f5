/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything a sheet shows of one rig, asked of the rooms that know it. */
#include "ballastry/sheet.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double influence_extra = 1e-4;    /* kg: 0.1 g, a dot or two */
static const double coldest = 0, warmest = 30; /* deg C: open water through the year */
static const double least_weight_span = 5e-5;  /* kg to both sides of the curve of speed */

static double share(int point) {
    return (double)point / (BLY_SHEET_POINTS - 1);
}

/* A lure that prefers no attitude is drawn level. */
static double attitude(const BlyOutcome *outcome) {
    return isfinite(outcome->nose_down) ? outcome->nose_down : 0;
}

static bool over_temperature(BlySheetFacts *f, BlyError *err) {
    double at = attitude(&f->outcome);
    for (int i = 0; i < BLY_SHEET_POINTS; i++) {
        BlyWater water;
        BlySums sums;
        f->temperature[i] = coldest + share(i) * (warmest - coldest);
        if (!bly_water_at(f->temperature[i], f->outcome.water.salinity, &water, err) ||
            !bly_rest_net_weight(&f->lure, &water, at, BLY_SUSPEND_SPEED, &f->suspend_high[i],
                                 err) ||
            !bly_rest_net_weight(&f->lure, &water, at, -BLY_SUSPEND_SPEED, &f->suspend_low[i], err))
            return false;
        bly_balance_sums(&f->lure, &water, &sums);
        f->net_weight[i] = sums.net_weight;
    }
    return true;
}

static bool over_weight(BlySheetFacts *f, BlyError *err) {
    double span = fmax(1.6 * fabs(f->outcome.sums.net_weight), least_weight_span);
    for (int i = 0; i < BLY_SHEET_POINTS; i++) {
        double place = 2 * share(i) - 1; /* crowded where the curve is steep */
        f->weight[i] = place * fabs(place) * span;
        if (!bly_rest_speed(&f->lure, &f->outcome.water, attitude(&f->outcome), f->weight[i],
                            &f->speed[i], err))
            return false;
    }
    return true;
}

static bool in_water(const BlyLure *lure, const BlyWaterFacts *facts, BlyOutcome *out,
                     BlyError *err) {
    BlyWater water;
    return bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
           bly_rest(lure, &water, out, err);
}

static bool in_target_waters(BlySheetFacts *f, BlyError *err) {
    const BlyBuild *build = f->build;
    if (!build->has_target)
        return true;
    for (size_t i = 0; i < build->target_water_count && i < BLY_TARGET_WATERS_MAX; i++) {
        if (!in_water(&f->lure, &build->target_waters[i], &f->target[i], err))
            return false;
        f->target_count++;
    }
    return true;
}

static bool influence(BlySheetFacts *f, BlyError *err) {
    f->extra = influence_extra;
    f->influence = calloc(f->build->seat_count + 1, sizeof *f->influence);
    if (f->influence == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the table of influence");
    return bly_rest_influence(&f->lure, f->build->seats, f->build->seat_count, f->rig,
                              &f->outcome.water, f->extra, f->influence, err);
}

/* The target's waters may be others than the build's: how sure the figures are, and how sure the
 * target is, are two questions. */
static bool spread(BlySheetFacts *f, BlyError *err) {
    const BlySpreadOptions quick = {.sample_all = true};
    const BlyBuild *build = f->build;
    const BlyTarget *target = build->has_target ? &build->target : NULL;
    f->spread = calloc(2, sizeof *f->spread);
    if (f->spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    f->spread_count = target != NULL ? 2 : 1;
    return bly_spread(build, f->rig, &build->water, 1, target, NULL, &f->spread[0], err) &&
           (target == NULL ||
            bly_spread(build, f->rig, build->target_waters, build->target_water_count, target,
                       &quick, &f->spread[1], err));
}

bool bly_sheet_gather(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                      BlySheetFacts *out, BlyError *err) {
    *out = (BlySheetFacts){.build = build, .catalog = catalog, .rig = rig};
    if (!bly_lure_make(&build->blank, build->seats, rig, &out->lure, err) ||
        !in_water(&out->lure, &build->water, &out->outcome, err) || !in_target_waters(out, err) ||
        !spread(out, err) || !influence(out, err) || !over_temperature(out, err) ||
        !over_weight(out, err)) {
        bly_sheet_facts_release(out);
        return false;
    }
    bly_ladder(&out->lure, out->ladder);
    return true;
}

void bly_sheet_facts_release(BlySheetFacts *facts) {
    bly_lure_release(&facts->lure);
    free(facts->influence);
    free(facts->spread);
    *facts = (BlySheetFacts){0};
}
