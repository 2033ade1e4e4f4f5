/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What comes of a mend: how sure the lure is then, what the next test should show, and the smallest
 * step that is left to either side. */
#include "fit/mend_now.h"
#include "trim/trim.h"
#include "spread/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static BlyBand90 band(const BlyRange *range) {
    return (BlyBand90){range->low, range->high};
}

static bool next_test(const BlyBuild *build, BlyMendPlan *plan, BlyError *err) {
    const BlyTarget *target = &build->target;
    BlySpread *spread = malloc(sizeof *spread);
    bool good = spread != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    /* The target says which attitude is looked at. */
    good = good && bly_spread(build, &plan->rig.rig, &build->water, 1, target, NULL, spread, err);
    if (good) {
        const BlySpreadWater *w = &spread->water[0];
        plan->tank = w->nominal;
        plan->net_weight = band(&w->range[BLY_Q_NET_WEIGHT]);
        plan->drift = band(&w->range[BLY_Q_DRIFT]);
        plan->nose_down = band(&w->range[BLY_Q_NOSE_DOWN]);
        plan->shows = band(&w->range[BLY_Q_SHOWS]);
    }
    free(spread);
    return good;
}

static bool mass_of(const BlyBuild *build, const BlyRig *rig, double *mass, BlyError *err) {
    BlyLure lure = {0};
    bool good = bly_lure_make(&build->blank, build->seats, rig, &lure, err);
    *mass = 0;
    for (size_t i = 0; good && i < lure.count; i++)
        *mass += lure.items[i].mass;
    bly_lure_release(&lure);
    return good;
}

/* ---- the next step ---- */

/* Where the band ends in the tank: of a drift the weights at both ends in every water of the
 * target, as that weight drifts in the tank's. */
static bool edges(const BlyBuild *build, BlyMendPlan *plan, BlyError *err) {
    const BlyTarget *target = &build->target;
    double low = -INFINITY, high = INFINITY, drift[2];
    BlyLure lure = {0};
    plan->too_light.edge = plan->too_heavy.edge = NAN;
    if (target->state == BLY_FLOATS) {
        plan->too_light.edge = target->shows_high;
        plan->too_heavy.edge = target->shows_low;
        return true;
    }
    bly_target_drift(target, &drift[0], &drift[1]);
    bool good = bly_lure_make(&build->blank, build->seats, &plan->rig.rig, &lure, err);
    for (size_t w = 0; good && w < plan->rig.water_count; w++) {
        const BlyOutcome *o = &plan->rig.outcome[w];
        double tank = plan->tank.sums.net_weight - o->sums.net_weight, net;
        double angle = isfinite(o->nose_down) ? o->nose_down : 0;
        for (int i = 0; good && i < 2; i++) {
            if (!isfinite(drift[i]))
                continue;
            good = bly_rest_net_weight(&lure, &o->water, angle, drift[i], &net, err);
            if (i == 0)
                low = fmax(low, net + tank);
            else
                high = fmin(high, net + tank);
        }
    }
    double angle = isfinite(plan->tank.nose_down) ? plan->tank.nose_down : 0;
    if (good && isfinite(low))
        good = bly_rest_speed(&lure, &plan->tank.water, angle, low, &plan->too_light.edge, err);
    if (good && isfinite(high))
        good = bly_rest_speed(&lure, &plan->tank.water, angle, high, &plan->too_heavy.edge, err);
    bly_lure_release(&lure);
    return good;
}

static const double felt = 0.1; /* of half a band: a step below that is none */

/* Edges before faces. */
static int rank_of(BlyMend kind) {
    return kind == BLY_MEND_WIRE    ? 0
           : kind == BLY_MEND_DOT   ? 1
           : kind == BLY_MEND_STRIP ? 2
           : kind == BLY_MEND_EDGE  ? 3
                                    : 4;
}

static double weight_in_tank(const BlyMendPlan *plan, const Mend *mend) {
    return 1e-3 * mend->adds.m - 1e-6 * mend->adds.v * plan->tank.water.density;
}

/* Its length; and turns where they are whole. */
static void describe_wire(const BlyChoice *was, double mass, BlyMendStep *out) {
    double turns = mass / bly_wire_turn_mass(out->part, was->of[BLY_PART_HOOK].part);
    out->count = fabs(turns - rint(turns)) < 0.1 ? (int)rint(turns) : 0;
    out->length = -mass / out->part->mass.value;
}

static void describe(const BlyBuild *build, const BlyMendPlan *plan, const Mend *mend,
                     BlyMendStep *out) {
    const BlyChoice *was = &build->fitted.at[mend->seat[0]], *is = &mend->to[0];
    static const BlyPartKind kinds[] = {[BLY_MEND_WIRE] = BLY_PART_WIRE,
                                        [BLY_MEND_DOT] = BLY_PART_DOT,
                                        [BLY_MEND_STRIP] = BLY_PART_STRIP,
                                        [BLY_MEND_EDGE] = BLY_PART_SHEET,
                                        [BLY_MEND_BACK] = BLY_PART_SHEET};
    BlyPartKind kind = kinds[mend->kind];
    const BlyPart *on = was->of[kind].part;
    bool counted = mend->kind == BLY_MEND_WIRE || mend->kind == BLY_MEND_DOT;
    out->known = true;
    out->kind = mend->kind;
    out->seat = mend->seat[0];
    out->part = is->of[kind].part != NULL ? is->of[kind].part : on;
    out->count =
        counted ? (is->of[kind].part != NULL ? is->count : 0) - (on != NULL ? was->count : 0) : 0;
    out->length = mend->kind == BLY_MEND_BACK ? is->filed - was->filed
                  : counted                   ? 0
                                              : was->length - is->length;
    out->net_weight = weight_in_tank(plan, mend);
    if (mend->kind == BLY_MEND_WIRE)
        describe_wire(was, 1e-3 * mend->adds.m, out);
}

/* Half of the weights between both edges, INFINITY where one is open. */
static double half_band(const BlyBuild *build, const BlyMendPlan *plan) {
    double low, high, net = plan->tank.sums.net_weight, v = plan->tank.drift;
    bly_target_drift(&build->target, &low, &high);
    if (build->target.state == BLY_FLOATS)
        return 0.5 * (build->target.shows_high - build->target.shows_low) *
               plan->tank.water.density * build->blank.hull_volume;
    /* Weight goes with speed squared, by what this lure does. */
    double by_square = fabs(v) > 1e-4 ? fabs(net) / (v * v) : NAN;
    return 0.5 * by_square * (high * fabs(high) - low * fabs(low));
}

/* Of wire no more than is wanted: it is cut to its length. */
static Mend as_much_as(const Bench *bench, const BlyMendPlan *plan, Mend mend, double wanted) {
    const BlyPart *wire = mend.to[0].of[BLY_PART_WIRE].part;
    if (mend.kind != BLY_MEND_WIRE || wire == NULL || !bench->by_scale)
        return mend;
    const BlyChoice *now = &bench->build->fitted.at[mend.seat[0]];
    double least = trim_cut_least * wire->mass.value;
    if (now->of[BLY_PART_WIRE].part == NULL)
        least = trim_turns_least * bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part);
    double part =
        fmax(wanted / fabs(weight_in_tank(plan, &mend)), least / fabs(1e-3 * mend.adds.m));
    if (part < 1) {
        mend.adds = moments_scaled(mend.adds, part);
        mend.trouble *= part;
    }
    return mend;
}

/* The step nearest to half a band from an edge to the middle; what was mended now before all else,
 * for it lies at hand. */
static void find_steps(const Bench *bench, const MendList *mends, double half, const BlyRig *before,
                       BlyMendPlan *plan) {
    const BlyBuild *build = bench->build;
    double best[2] = {INFINITY, INFINITY};
    for (size_t i = 0; i < mends->count; i++) {
        const Mend one = as_much_as(bench, plan, mends->at[i], half), *mend = &one;
        double adds = weight_in_tank(plan, mend);
        if (!(mend->kind == BLY_MEND_WIRE || mend->kind == BLY_MEND_DOT ||
              mend->kind == BLY_MEND_STRIP || mend->kind == BLY_MEND_EDGE ||
              mend->kind == BLY_MEND_BACK) ||
            adds == 0)
            continue;
        bool heavier = adds > 0; /* for a lure that came out too light */
        BlyMendStep *step = heavier ? &plan->too_light : &plan->too_heavy;
        const BlyChoice *was = &before->at[mend->seat[0]], *is = &build->fitted.at[mend->seat[0]];
        bool touched = was->count != is->count || was->length != is->length ||
                       was->filed != is->filed ||
                       was->of[BLY_PART_WIRE].part != is->of[BLY_PART_WIRE].part;
        double aim = isfinite(half) ? half : fabs(adds);
        double off = fabs(log(fabs(adds) / aim)) + 0.2 * rank_of(mend->kind) +
                     0.02 * mend->trouble + (touched ? 0 : 0.5);
        if (isnan(step->edge) || off >= best[heavier] || fabs(adds) < felt * aim)
            continue;
        best[heavier] = off;
        describe(build, plan, mend, step);
    }
}

/* Looked for on the lure as mended, as if it were fitted so. */
static bool next_steps(const Bench *bench, BlyMendPlan *plan, BlyError *err) {
    BlyBuild mended = *bench->build; /* borrows all but the rig */
    Bench then = *bench;
    Craft craft;
    MendList mends = {0};
    mended.fitted = plan->rig.rig;
    then.build = &mended;
    if (!craft_begin(&mended, bench->catalog, 0, &craft, err))
        return false;
    then.craft = &craft;
    bool good = mends_list(&then, &mends, err);
    if (good)
        find_steps(&then, &mends, half_band(&mended, plan), &bench->build->fitted, plan);
    mends_release(&mends);
    craft_end(&craft);
    return good;
}

bool mend_foretell(const Bench *bench, BlyMendPlan *plan, BlyError *err) {
    const BlyBuild *build = bench->build;
    BlyBuild mended = *build; /* borrows all but the ties */
    mended.tied = plan->ties->tied;
    mended.tie = plan->ties->tie;
    plan->leaves = plan->rig.changes == 0;
    return spread_chance(build, &build->fitted, NULL, &plan->chance_now, err) &&
           spread_chance(&mended, &plan->rig.rig, NULL, &plan->chance, err) &&
           next_test(&mended, plan, err) && mass_of(build, &build->fitted, &plan->mass_now, err) &&
           mass_of(build, &plan->rig.rig, &plan->mass, err) && edges(build, plan, err) &&
           next_steps(bench, plan, err);
}
