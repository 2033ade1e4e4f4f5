/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything a sheet shows of one rig, asked of the rooms that know it, and drawn. */
#include "desk/towing.h"
#include "desk/work.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

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
    f->extra = REST_EXTRA;
    f->influence = calloc(f->build->seat_count + 1, sizeof *f->influence);
    if (f->influence == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the table of influence");
    return bly_rest_influence(&f->lure, f->build->seats, f->build->seat_count, f->rig,
                              &f->outcome.water, f->extra, f->influence, err);
}

/* The facts keep the spreads. */
static bool spread(BlySheetFacts *f, BlyError *err) {
    SureWork sure = {0};
    bool good = spread_work(f->build, f->rig, &sure, err);
    f->spread = sure.spread;
    f->spread_count = sure.spread_count;
    return good;
}

bool sheet_gather(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                  BlySheetFacts *out, BlyError *err) {
    *out = (BlySheetFacts){.build = build, .catalog = catalog, .rig = rig};
    if (!bly_lure_make(&build->blank, build->seats, rig, &out->lure, err) ||
        !in_water(&out->lure, &build->water, &out->outcome, err) || !in_target_waters(out, err) ||
        !spread(out, err) || !influence(out, err) || !over_temperature(out, err) ||
        !over_weight(out, err) || !bly_build_slips(build, rig, &out->slips, err)) {
        bly_sheet_facts_release(out);
        return false;
    }
    bly_ladder(&out->lure, out->ladder);
    return true;
}

bool sheet_gather_tow(BlySheetFacts *facts, BlyError *err) {
    BlyTowAsk ask = bly_tow_usual();
    if (!tow_has_tie(facts->build))
        return true;
    BlyTowed *towed = calloc(1, sizeof *towed);
    if (towed == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure on the line");
    ask.speeds[0] = ask.speeds[ask.change_at];
    ask.speed_count = 1;
    ask.change_at = 0;
    if (!bly_towed(facts->build, facts->rig, &ask, towed, err)) {
        free(towed);
        return false;
    }
    facts->towed = towed;
    return true;
}

bool sheet_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *after,
                const BlySheetOrder *order, SheetWork *out, BlyError *err) {
    BlySheetFacts now = {0}, later = {0};
    BlySheetFacts *shown = after != NULL ? &later : &now;
    *out = (SheetWork){0};
    bool good = sheet_gather(build, catalog, &build->fitted, &now, err) &&
                (after == NULL || sheet_gather(build, catalog, after, &later, err)) &&
                (order->view != BLY_VIEW_TOW || sheet_gather_tow(shown, err)) &&
                bly_sheet_draw(&now, after != NULL ? &later : NULL, order, &out->sheet, err);
    out->slips = shown->slips;
    shown->slips = (BlySlips){0};
    bly_sheet_facts_release(&now);
    bly_sheet_facts_release(&later);
    return good;
}

void sheet_work_release(SheetWork *work) {
    bly_sheet_release(&work->sheet);
    bly_slips_release(&work->slips);
}
