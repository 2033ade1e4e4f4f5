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

/* What it does on the line, where the target asks: nearer is better only for what misses. */
static bool on_the_line(const BlyBuild *build, const BlyLure *lure, BlyFitRig *rig, BlyError *err) {
    const BlyTowWish *wish = bly_build_tow_wish(build);
    for (size_t w = 0; wish != NULL && w < rig->water_count; w++) {
        BlyTowVerdict verdict;
        if (!bly_tow_judge_lure(build, &rig->rig, lure, &rig->outcome[w].water, &verdict, err))
            return false;
        rig->off += bly_tow_verdict_off(wish, &verdict) / (double)rig->water_count;
        if (verdict.met || !rig->met)
            continue;
        rig->met = false;
        rig->binding_water = w;
        rig->binding = verdict.nose_off != 0    ? BLY_REQ_TOW_ATTITUDE
                       : verdict.depth_off != 0 ? BLY_REQ_TOW_DEPTH
                                                : BLY_REQ_TOW_UNDER;
    }
    return true;
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
    *out = (BlyFitRig){.chance = NAN};
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
    if (good)
        find_binding(&build->target, out);
    good = good && on_the_line(build, &lure, out, err);
    bly_lure_release(&lure);
    if (good)
        return true;
    fit_rig_release(out);
    return false;
}

double rig_merit(const BlyFitRig *rig) {
    return rig->off + rig->cost + (rig->met ? 0 : 1e3);
}

int64_t rig_steps(double figure) {
    return isnan(figure) ? INT64_MAX : llround(fmin(fmax(figure, -1e9), 1e9) * 1e9);
}

static int by_ids(const BlyChoice *a, const BlyChoice *b) {
    int order = 0;
    for (int kind = 0; kind < BLY_PART_KINDS && order == 0; kind++) {
        const BlyPart *x = a->of[kind].part, *y = b->of[kind].part;
        order = strcmp(x != NULL ? x->id : "", y != NULL ? y->id : "");
    }
    return order;
}

int rig_order(const BlyRig *a, const BlyRig *b) {
    for (size_t s = 0; s < a->count; s++) {
        const BlyChoice *x = &a->at[s], *y = &b->at[s];
        int order = by_ids(x, y);
        if (order != 0)
            return order;
        const int64_t cut[][2] = {{rig_steps(x->x), rig_steps(y->x)},
                                  {rig_steps(x->length), rig_steps(y->length)},
                                  {rig_steps(x->thickness), rig_steps(y->thickness)},
                                  {rig_steps(x->filed), rig_steps(y->filed)},
                                  {x->count, y->count}};
        for (size_t i = 0; i < sizeof cut / sizeof cut[0]; i++) {
            if (cut[i][0] != cut[i][1])
                return cut[i][0] < cut[i][1] ? -1 : 1;
        }
    }
    return 0;
}

double rig_gap(const BlyFitRig *best, double cost_least) {
    if (best == NULL || !best->met)
        return NAN;
    return fmax(0, rig_merit(best) - cost_least);
}

double rig_hooks_above(const Problem *p, const BlyFitRig *rig) {
    double hooks = 0, whole = rig->outcome[0].sums.mass;
    if (!p->hooks_cost)
        return 0;
    for (size_t s = 0; s < rig->rig.count; s++)
        hooks += craft_hook_mass(&rig->rig.at[s]);
    double above = 100 * (hooks / whole - p->craft.rules->share_most);
    return isnan(above) ? 0 : fmax(above, 0);
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
    if (craft_binds(&p->craft, BLY_RULE_KINDS))
        rig->cost += p->craft.rules->kind_cost * craft_further_kinds(&rig->rig) +
                     craft_unlike_hooks(&p->craft, &rig->rig);
    if (p->hooks_cost)
        rig->cost += p->craft.rules->share_cost * rig_hooks_above(p, rig);
}

const char *bly_requirement_words(BlyRequirement requirement) {
    static const char *const words[BLY_REQ_COUNT] = {"nothing",
                                                     "the speed",
                                                     "the part above water",
                                                     "the tilt",
                                                     "the roll arm",
                                                     "the state",
                                                     "the tilt on the line",
                                                     "the depth on the line",
                                                     "the speed that draws it under"};
    return (unsigned)requirement < BLY_REQ_COUNT ? words[requirement] : "";
}
