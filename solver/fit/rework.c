/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rig worked through the full physics in every water, and how good it is. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void fit_rig_release(BlyFitRig *rig) {
    bly_rig_release(&rig->rig);
    free(rig->equals);
    memset(rig, 0, sizeof *rig);
}

static double beyond_dead_zone(double value, double low, double high) {
    if (!isfinite(low) || !isfinite(high))
        return 0;
    double half = fmax((high - low) / 2, 1e-12);
    return fmax(0, fabs(value - (low + high) / 2) / half - FIT_DEAD_ZONE);
}

/* Distance of net weight and angle from the middle of their bands, in half-bands. Weight, not
 * speed, is compared: speed goes with its root and would exaggerate what lies near the middle. */
static bool distance_off(const BlyTarget *t, const BlyLure *lure, const BlyOutcome *o, double *off,
                         BlyError *err) {
    double net = o->sums.net_weight, low = -INFINITY, high = INFINITY;
    bool afloat = t->state == BLY_FLOATS && o->has_surface;
    double angle = afloat ? o->surface.nose_down : o->nose_down;
    if (!isfinite(angle)) {
        *off = 10;
        return true;
    }
    if (t->state == BLY_FLOATS && isfinite(t->shows_low) && isfinite(t->shows_high)) {
        low = -o->water.density * lure->blank->hull_volume * t->shows_high;
        high = -o->water.density * lure->blank->hull_volume * t->shows_low;
    } else if (isfinite(t->drift_low) && isfinite(t->drift_high)) {
        if (!bly_rest_net_weight(lure, &o->water, o->nose_down, t->drift_low, &low, err) ||
            !bly_rest_net_weight(lure, &o->water, o->nose_down, t->drift_high, &high, err))
            return false;
    }
    *off = beyond_dead_zone(net, low, high) + beyond_dead_zone(angle, t->nose_low, t->nose_high);
    return true;
}

static BlyRequirement worst_of(const BlyTarget *t, const BlyJudgement *j, double *by) {
    const struct {
        BlyRequirement what;
        double off, low, high;
    } list[] = {{BLY_REQ_DRIFT, j->drift_off, t->drift_low, t->drift_high},
                {BLY_REQ_SHOWS, j->shows_off, t->shows_low, t->shows_high},
                {BLY_REQ_ATTITUDE, j->nose_off, t->nose_low, t->nose_high},
                {BLY_REQ_ROLL, j->roll_off, 0, 2 * t->roll_arm_least}};
    BlyRequirement worst = BLY_REQ_STATE;
    *by = 0;
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        double half = (list[i].high - list[i].low) / 2;
        double share =
            list[i].off / (isfinite(half) && half > 0 ? half : fmax(fabs(list[i].low), 1e-3));
        if (isnan(list[i].off))
            share = 1e9;
        if (share > *by) {
            *by = share;
            worst = list[i].what;
        }
    }
    return worst;
}

static void find_binding(const BlyTarget *t, BlyFitRig *rig) {
    double most = -1;
    rig->met = true;
    rig->binding = BLY_REQ_NONE;
    for (size_t w = 0; w < rig->water_count; w++) {
        if (rig->judgement[w].met)
            continue;
        double by;
        BlyRequirement what = worst_of(t, &rig->judgement[w], &by);
        rig->met = false;
        if (by > most) {
            most = by;
            rig->binding = what;
            rig->binding_water = w;
        }
    }
}

/* How it lies at the surface is asked only of a floater: it costs ten times the rest. */
static bool outcome_of(const BlyBuild *build, const BlyLure *lure, const BlyWater *water,
                       BlyOutcome *out, BlyError *err) {
    return build->target.state == BLY_FLOATS ? bly_rest(lure, water, out, err)
                                             : bly_rest_under_water(lure, water, out, err);
}

/* The rest of the outcomes, for a rig that will be shown. A floater has it already. */
bool rig_finish(const BlyBuild *build, BlyFitRig *rig, BlyError *err) {
    if (build->target.state == BLY_FLOATS)
        return true;
    BlyLure lure = {0};
    bool good = bly_lure_make(&build->blank, build->seats, &rig->rig, &lure, err);
    for (size_t w = 0; good && w < rig->water_count; w++) {
        BlyWater water = rig->outcome[w].water;
        good = bly_rest(&lure, &water, &rig->outcome[w], err);
    }
    bly_lure_release(&lure);
    return good;
}

bool rig_rework(const BlyBuild *build, const BlyRig *rig, BlyFitRig *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    BlyLure lure = {0};
    bool good = bly_rig_copy(&out->rig, rig, err) &&
                bly_lure_make(&build->blank, build->seats, rig, &lure, err);
    out->water_count = build->target_water_count;
    for (size_t w = 0; good && w < out->water_count; w++) {
        BlyWater water;
        const BlyWaterFacts *facts = &build->target_waters[w];
        double off = 0;
        good = bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
               outcome_of(build, &lure, &water, &out->outcome[w], err) &&
               distance_off(&build->target, &lure, &out->outcome[w], &off, err);
        out->off += off / (double)out->water_count;
        if (good)
            out->judgement[w] = bly_judge(&build->target, &out->outcome[w]);
    }
    bly_lure_release(&lure);
    if (good)
        find_binding(&build->target, out);
    else
        fit_rig_release(out);
    return good;
}

double rig_merit(const BlyFitRig *rig) {
    return rig->off + rig->cost + (rig->met ? 0 : 1e3);
}

double rig_gap(const BlyFitRig *best, double cost_least) {
    if (best == NULL || !best->met)
        return NAN;
    return fmax(0, rig_merit(best) - cost_least);
}

void rig_account(const Problem *p, const Pick *pick, BlyFitRig *rig) {
    for (size_t i = 0; i < p->set_count; i++) {
        const Candidate *c = &p->sets[i].at[pick->candidate[i]];
        bool empty = bly_choice_is_empty(&c->choice);
        rig->cost += c->cost + FIT_FILING_COST * pick->filed[i];
        rig->pieces += c->pieces;
        rig->changes += c->changed;
        rig->price += empty ? 0 : c->price;
    }
}

const char *bly_requirement_words(BlyRequirement requirement) {
    static const char *const words[BLY_REQ_COUNT] = {
        "nothing", "the drift", "what shows", "the nose-down angle", "the roll arm", "the state"};
    return (unsigned)requirement < BLY_REQ_COUNT ? words[requirement] : "";
}
