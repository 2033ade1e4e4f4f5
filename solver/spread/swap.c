/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two rigs of one build by shared draws: what a swap changes, and how sure. What both have (body,
 * coat, water, parts that stay) is drawn once, so that it falls out of the difference. */
#include "spread/spread.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>
#include <stdlib.h>
#include <string.h>

enum {
    SIDES = 2,
    BEFORE = 0,
    AFTER = 1,
    JOINT_MAX = SIDES * BLY_INPUTS_MAX,
    USUAL_SAMPLES = 16384
};

/* The inputs of both rigs, each once. */
typedef struct Joint {
    BlyInput input[JOINT_MAX];
    size_t count;
    size_t at[SIDES][BLY_INPUTS_MAX]; /* of a side's input in the joint list */
    bool tied;
    double factor[JOINT_MAX * JOINT_MAX];
} Joint;

typedef struct Pile {
    double *value; /* owned */
    size_t count;
} Pile;

typedef struct Swap {
    QuickLure *quick[SIDES]; /* owned */
    BlyOutcome nominal[SIDES][QUICK_WATERS_MAX];
    Joint joint;
    Pile side[SIDES][BLY_QUANTITIES], change[BLY_QUANTITIES];
    size_t more[BLY_QUANTITIES], mended, spoilt, total;
} Swap;

static bool same_input(const BlyInput *a, const BlyInput *b) {
    return a->kind == b->kind && a->seat == b->seat && a->index == b->index &&
           a->part_kind == b->part_kind && a->value == b->value && a->give == b->give &&
           strcmp(a->id, b->id) == 0;
}

static void join(Swap *s, int side) {
    const QuickLure *quick = s->quick[side];
    for (size_t i = 0; i < quick->set.input_count; i++) {
        size_t at = 0;
        while (at < s->joint.count && !same_input(&s->joint.input[at], &quick->inputs[i]))
            at++;
        if (at == s->joint.count)
            s->joint.input[s->joint.count++] = quick->inputs[i];
        s->joint.at[side][i] = at;
    }
}

static void draw_joint(const Joint *joint, SpreadDraw *draw, double *u) {
    spread_draw_next(draw, u);
    if (joint->tied)
        uncertain_tie(joint->factor, joint->count, u);
}

/* The build's own water first, then those of the target. */
static size_t waters_of(const BlyBuild *build, BlyWaterFacts out[QUICK_WATERS_MAX]) {
    size_t count = 1;
    out[0] = build->water;
    for (size_t i = 0; build->has_target && i < build->target_water_count; i++)
        out[count++] = build->target_waters[i];
    return count;
}

/* Attitudes are compared only where they are of one kind. */
static void agree_on_attitude(Swap *s) {
    QuickLure *a = s->quick[BEFORE], *b = s->quick[AFTER];
    if (a->at_surface != b->at_surface)
        a->at_surface = b->at_surface = false;
    for (size_t w = 0; w < a->water_count; w++)
        a->by_afloat[w] = b->by_afloat[w] = a->at_surface && a->by_afloat[w] && b->by_afloat[w];
}

static bool open_piles(Swap *s, size_t samples, BlyError *err) {
    bool good = true;
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        for (int side = 0; side < SIDES; side++) {
            s->side[side][q].value = malloc(samples * sizeof(double));
            good = good && s->side[side][q].value != NULL;
        }
        s->change[q].value = malloc(samples * sizeof(double));
        good = good && s->change[q].value != NULL;
    }
    return good || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu samples", samples);
}

static bool swap_open(const BlyBuild *build, const BlyRig *before, const BlyRig *after,
                      size_t samples, Swap *s, BlyError *err) {
    const BlyRig *rig[SIDES] = {before, after};
    const BlyTarget *target = build->has_target ? &build->target : NULL;
    BlyWaterFacts waters[QUICK_WATERS_MAX];
    size_t count = waters_of(build, waters);
    for (int side = 0; side < SIDES; side++) {
        s->quick[side] =
            quick_lure_make(build, rig[side], waters, count, target, s->nominal[side], err);
        if (s->quick[side] == NULL)
            return false;
        join(s, side);
    }
    agree_on_attitude(s);
    Joint *joint = &s->joint;
    return uncertain_ties(build, joint->input, joint->count, joint->factor, &joint->tied, err) &&
           open_piles(s, samples, err);
}

static void swap_close(Swap *s) {
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        free(s->change[q].value);
        for (int side = 0; side < SIDES; side++)
            free(s->side[side][q].value);
    }
    for (int side = 0; side < SIDES; side++)
        free(s->quick[side]);
    free(s);
}

static void put(Pile *pile, double value) {
    pile->value[pile->count++] = value;
}

/* A lure that turns over has no attitude to compare with. */
static bool lies_as_nominal(const Swap *s, int side, const BlyOutcome *out) {
    return fabs(spread_moved(s->quick[side], 0, out, &s->nominal[side][0], BLY_Q_NOSE_DOWN)) <=
           SPREAD_TURNED;
}

static void add_quantity(Swap *s, const BlyOutcome out[SIDES], BlyQuantity q) {
    double value[SIDES];
    bool known = true;
    for (int side = 0; side < SIDES; side++) {
        value[side] = spread_quantity(s->quick[side], 0, &out[side], q);
        bool good =
            !isnan(value[side]) && (q != BLY_Q_NOSE_DOWN || lies_as_nominal(s, side, &out[side]));
        known = known && good;
        if (good && q == BLY_Q_NOSE_DOWN) /* whole about the nominal one, not cut at 180 degrees */
            value[side] = spread_quantity(s->quick[side], 0, &s->nominal[side][0], q) +
                          spread_moved(s->quick[side], 0, &out[side], &s->nominal[side][0], q);
        if (good)
            put(&s->side[side][q], value[side]);
    }
    if (!known)
        return;
    double change = spread_moved(s->quick[AFTER], 0, &out[AFTER], &out[BEFORE], q);
    put(&s->change[q], change);
    s->more[q] += change > 0.0;
}

static void add_sample(Swap *s, const double *joint) {
    BlyOutcome here[SIDES];
    bool met[SIDES];
    for (int side = 0; side < SIDES; side++) {
        const QuickLure *quick = s->quick[side];
        double u[BLY_INPUTS_MAX], sums[SUMS];
        for (size_t i = 0; i < quick->set.input_count; i++)
            u[i] = joint[s->joint.at[side][i]];
        quick_lure_clamp(quick, u);
        quick_sums_at(&quick->sums, u, sums);
        quick_lure_sample(quick, u, sums, 0, &here[side]);
        met[side] = quick->target != NULL;
        for (size_t w = 1; met[side] && w < quick->water_count; w++) {
            BlyOutcome there;
            quick_lure_sample(quick, u, sums, w, &there);
            met[side] = bly_judge(quick->target, &there).met;
        }
    }
    for (int q = 0; q < BLY_QUANTITIES; q++)
        add_quantity(s, here, (BlyQuantity)q);
    s->mended += !met[BEFORE] && met[AFTER];
    s->spoilt += met[BEFORE] && !met[AFTER];
    s->total++;
}

static BlyRange range_of(Pile *pile, double nominal) {
    BlyRange range = {nominal, NAN, NAN, NAN, BLY_BY_SAMPLING};
    if (pile->count < 20)
        return range;
    double n = (double)pile->count;
    range.low = gsl_stats_select(pile->value, 1, pile->count, (size_t)(0.05 * n));
    range.high = gsl_stats_select(pile->value, 1, pile->count, (size_t)(0.95 * n));
    range.sigma = gsl_stats_sd(pile->value, 1, pile->count);
    return range;
}

static void conclude(Swap *s, BlySwapSpread *out) {
    const QuickLure *quick = s->quick[BEFORE];
    double n = (double)s->total;
    *out = (BlySwapSpread){.afloat = quick->by_afloat[0],
                           .has_target = quick->target != NULL,
                           .chance_before = NAN,
                           .chance_after = NAN,
                           .samples = s->total};
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        const BlyOutcome *a = &s->nominal[BEFORE][0], *b = &s->nominal[AFTER][0];
        double apart = (double)s->change[q].count;
        out->range[q] = (BlySwapRange){
            range_of(&s->side[BEFORE][q], spread_quantity(quick, 0, a, (BlyQuantity)q)),
            range_of(&s->side[AFTER][q], spread_quantity(s->quick[AFTER], 0, b, (BlyQuantity)q)),
            range_of(&s->change[q], spread_moved(s->quick[AFTER], 0, b, a, (BlyQuantity)q)),
            apart > 0 ? (double)s->more[q] / apart : NAN, apart / n};
    }
    if (!out->has_target)
        return;
    out->mended = (double)s->mended / n;
    out->spoilt = (double)s->spoilt / n;
}

/* Each chance is told as of the rig by itself, by its own lures: shares mended and spoilt are moved
 * alike, as little as makes their difference the chances'. */
static bool find_chances(const BlyBuild *build, const BlyRig *before, const BlyRig *after,
                         const BlySpreadOptions *options, BlySwapSpread *out, BlyError *err) {
    if (!spread_chance(build, before, options, &out->chance_before, err) ||
        !spread_chance(build, after, options, &out->chance_after, err))
        return false;
    double gain = out->chance_after - out->chance_before;
    double spoilt = out->spoilt - 0.5 * (gain - (out->mended - out->spoilt));
    out->spoilt =
        fmin(fmax(spoilt, fmax(-gain, 0.0)), fmin(out->chance_before, 1.0 - out->chance_after));
    out->mended = out->spoilt + gain;
    return true;
}

static bool work_out(Swap *s, const BlySpreadOptions *options, size_t samples, BlySwapSpread *out,
                     BlyError *err) {
    double u[JOINT_MAX];
    SpreadDraw *draw = spread_draw_make(s->joint.count, options->source, options->seed, err);
    if (draw == NULL)
        return false;
    for (size_t i = 0; i < samples; i++) {
        draw_joint(&s->joint, draw, u);
        add_sample(s, u);
    }
    spread_draw_free(draw);
    conclude(s, out);
    return true;
}

bool bly_spread_swap(const BlyBuild *build, const BlyRig *before, const BlyRig *after,
                     const BlySpreadOptions *options, BlySwapSpread *out, BlyError *err) {
    static const BlySpreadOptions usual = {.source = BLY_SOURCE_SOBOL};
    const BlySpreadOptions *asked = options != NULL ? options : &usual;
    size_t samples = asked->samples > 0 ? asked->samples : USUAL_SAMPLES;
    memset(out, 0, sizeof *out);
    if (samples < 100 || samples > 10000000)
        return bly_fail(err, BLY_E_RANGE, NULL, "the spread takes 100 to 10000000 samples");
    Swap *s = calloc(1, sizeof *s);
    if (s == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    bool good = swap_open(build, before, after, samples, s, err) &&
                work_out(s, asked, samples, out, err) &&
                (!out->has_target || find_chances(build, before, after, asked, out, err));
    swap_close(s);
    return good;
}
