/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/mend_sample.h"
#include "fit/mend_mix.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

/* Of hands, 95 of 100, from memory: a strip is cut to 0.3 mm, a lip's edge to 0.2 mm of the mark.
 */
static const double strip_cut = 0.3e-3, edge_cut = 0.2e-3;
static const double far_off = 1e3; /* half-bands: farther is no worse */
/* Half of a band whose other side is open: 10 mm/s squared, 4 %, 10 degrees, 0.3 mm of roll arm;
 * ours. */
static const double open_drift = 1e-4, open_shows = 0.04, open_nose = 10 * M_PI / 180,
                    open_roll = 0.3e-3;

static double as_weight(double speed) {
    return isfinite(speed) ? speed * fabs(speed) : speed;
}

/* How far outside, in half-bands. */
static double outside(double value, double low, double high, double open_half) {
    bool both = isfinite(low) && isfinite(high);
    double half = both ? fmax(0.5 * (high - low), 1e-12) : open_half;
    double off = fmax(isfinite(low) ? low - value : 0, isfinite(high) ? value - high : 0);
    return isfinite(value) ? fmin(fmax(off, 0) / half, far_off) : far_off;
}

typedef struct Off {
    double worst, all; /* of what is missed, and all added */
} Off;

static Off off_of(const BlyTarget *t, const BlyOutcome *o, const BlyJudgement *j) {
    double low, high, shows = 0, nose = o->nose_down;
    bly_target_drift(t, &low, &high);
    if (t->state == BLY_FLOATS) {
        shows = outside(o->surface.shows, t->shows_low, t->shows_high, open_shows);
        nose = o->surface.nose_down;
    }
    double drift = outside(as_weight(o->drift), as_weight(low), as_weight(high), open_drift);
    double tilt = outside(nose, t->nose_low, t->nose_high, open_nose);
    double roll = isfinite(j->roll_off) ? fmin(j->roll_off / open_roll, far_off) : 0;
    return (Off){fmax(drift, fmax(shows, tilt)), drift + shows + tilt + roll};
}

static void judge(const MendSamples *s, const MendSample *one, const double sums[SUMS], bool *met,
                  Off *off) {
    *met = true;
    *off = (Off){0, 0};
    for (size_t w = 0; w < s->quick->water_count; w++) {
        BlyOutcome o;
        quick_lure_sample(s->quick, one->u, sums, w, &o);
        BlyJudgement j = bly_judge(s->quick->target, &o);
        *met = *met && j.met;
        if (j.met)
            continue;
        Off now = off_of(s->quick->target, &o, &j);
        off->worst = fmax(off->worst, now.worst);
        off->all = fmax(off->all, now.all);
    }
}

static bool draw_all(MendSamples *s, BlyError *err) {
    size_t inputs = s->quick->set.input_count, met = 0;
    double u[BLY_INPUTS_MAX + MENDS_AT_ONCE];
    SpreadDraw *draw = spread_draw_make(inputs + MENDS_AT_ONCE, BLY_SOURCE_SOBOL, 0, err);
    if (draw == NULL)
        return false;
    for (size_t i = 0; i < s->count; i++) {
        MendSample *one = &s->at[i];
        spread_draw_next(draw, u);
        for (size_t k = 0; k < MENDS_AT_ONCE; k++)
            one->noise[k] = u[inputs + k];
        for (size_t k = 0; k < inputs; k++)
            one->u[k] = u[k];
        quick_lure_tie(s->quick, one->u);
        quick_lure_clamp(s->quick, one->u);
        quick_sums_at(&s->quick->sums, one->u, one->sums);
        Off off;
        judge(s, one, one->sums, &one->met, &off);
        one->off = off.worst;
        one->off_all = off.all;
        met += one->met;
    }
    spread_draw_free(draw);
    s->chance = (double)met / (double)s->count;
    return true;
}

bool mend_samples_make(const Bench *bench, size_t count, MendSamples *out, BlyError *err) {
    const BlyBuild *build = bench->build;
    BlyOutcome nominal[BLY_TARGET_WATERS_MAX];
    *out = (MendSamples){.count = count, .at = calloc(count + 1, sizeof *out->at)};
    if (out->at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lures that it may be");
    out->quick = quick_lure_make(build, &build->fitted, build->target_waters,
                                 build->target_water_count, &build->target, nominal, err);
    return out->quick != NULL && draw_all(out, err);
}

void mend_samples_release(MendSamples *samples) {
    free(samples->quick);
    free(samples->at);
    *samples = (MendSamples){0};
}

static double part_share(const BlyPart *part) {
    double share = part != NULL ? bly_part_give_share(part) : 0;
    return isfinite(share) ? share : 0;
}

/* What hands and parts make a mend be off by, as a share of what it adds, 95 of 100; wire is cut by
 * its length, a back ground by the gauge (give_of). */
static double share_of(const Mend *mend, const BlyChoice *was) {
    const BlyChoice *is = &mend->to[0];
    const BlyPart *dot = is->of[BLY_PART_DOT].part, *strip = is->of[BLY_PART_STRIP].part;
    double cut = fabs(was->length - is->length);
    switch (mend->kind) {
    case BLY_MEND_DOT:
        return part_share(dot != NULL ? dot : was->of[BLY_PART_DOT].part);
    case BLY_MEND_STRIP:
        return hypot(part_share(strip), strip_cut / fmax(cut, strip_cut));
    case BLY_MEND_EDGE:
        return edge_cut / fmax(cut, edge_cut);
    default:
        return 0;
    }
}

/* The same in kg. */
static double give_of(const Bench *bench, const Mend *mend) {
    const BlyChoice *was = &bench->build->fitted.at[mend->seat[0]], *is = &mend->to[0];
    double mass = 1e-3 * fabs(mend->adds.m);
    if (mend->kind == BLY_MEND_BACK)
        return mass * is->filed_give / fmax(is->filed - was->filed, 1e-6);
    const BlyPart *wire = is->of[BLY_PART_WIRE].part;
    wire = wire != NULL ? wire : was->of[BLY_PART_WIRE].part;
    return mend->kind == BLY_MEND_WIRE ? mends_wire_give(bench, wire, mass)
                                       : mends_give(bench, mass, share_of(mend, was));
}

/* What may be known of what comes off is not yet known of what goes on: kg, 95 of 100. */
static double exchange_give(const Bench *bench, const Mend *mend) {
    BlyPartKind kind = mend->kind == BLY_MEND_RING ? BLY_PART_RING : BLY_PART_HOOK;
    double old = 0, new = 0;
    for (int i = 0; i < mend->seats; i++) {
        old += mend_piece_mass(&bench->build->fitted.at[mend->seat[i]].of[kind], kind).give;
        new += mend_piece_mass(&mend->to[i].of[kind], kind).give;
    }
    return hypot(old, new);
}

/* What a mend adds comes in g and mm. */
static Moments in_si(const Lump *lump) {
    return (Moments){.m = 1e-3 * lump->m,
                     .v = 1e-6 * lump->v,
                     .mx = 1e-6 * lump->mx,
                     .my = 1e-6 * lump->my,
                     .mz = 1e-6 * lump->mz,
                     .vx = 1e-9 * lump->vx,
                     .vy = 1e-9 * lump->vy,
                     .vz = 1e-9 * lump->vz};
}

/* ---- a mix, done to one lure after the other ---- */

/* One thing of it. */
typedef struct Act {
    Moments adds;
    double sigma;     /* kg, by which it is off */
    int wire;         /* the thing that makes up for it by the scale; -1: none */
    double low, high; /* kg: what it can add at least and at most */
} Act;

/* The wire beside a new hook is meant as quarters of turns on that, and wound as far as the scale
 * asks for: from none to a full shank. */
static void bound_wire(const Bench *bench, const Mend *wire, const Mend *hook, Act *act) {
    const BlyChoice *was = &bench->build->fitted.at[wire->seat[0]];
    const BlyPart *part = wire->to[0].of[BLY_PART_WIRE].part,
                  *on = hook->to[0].of[BLY_PART_HOOK].part;
    double have = bly_choice_wire_mass(was), adds = mix_wound(bench, hook, wire) - have;
    act->adds = moments_scaled(act->adds, adds / act->adds.m);
    act->low = -have;
    act->high = bly_wire_turns_most(part, on) * bly_wire_turn_mass(part, on) - have;
    act->sigma = BLY_SCALE_GIVE / BLY_SIGMAS_95;
}

static void make_acts(const Bench *bench, const MendList *mends, const Mix *mix,
                      Act acts[MENDS_AT_ONCE]) {
    for (int k = 0; k < mix->count; k++) {
        const Mend *mend = &mends->at[mix->mend[k]];
        double give =
            mend_is_exchange(mend->kind) ? exchange_give(bench, mend) : give_of(bench, mend);
        acts[k] = (Act){in_si(&mend->adds), give / BLY_SIGMAS_95, -1, -INFINITY, INFINITY};
    }
    for (int k = 0; k < mix->count; k++) {
        acts[k].wire = mix_wire_of(mends, mix, k);
        if (acts[k].wire >= 0)
            bound_wire(bench, &mends->at[mix->mend[acts[k].wire]], &mends->at[mix->mend[k]],
                       &acts[acts[k].wire]);
    }
}

/* How much more of each is done to this lure than was meant, as a share of it. */
static void shares_of(const Act *acts, int count, const double *noise, double share[]) {
    double off[MENDS_AT_ONCE];
    for (int k = 0; k < count; k++)
        off[k] = acts[k].sigma * noise[k];
    for (int k = 0; k < count; k++) {
        const Act *wire = acts[k].wire >= 0 ? &acts[acts[k].wire] : NULL;
        if (wire == NULL)
            continue;
        double wound = wire->adds.m + off[acts[k].wire] - off[k];
        off[acts[k].wire] = fmin(fmax(wound, wire->low), wire->high) - wire->adds.m;
    }
    for (int k = 0; k < count; k++)
        share[k] = fabs(acts[k].adds.m) > 1e-9 ? 1 + off[k] / acts[k].adds.m : 1;
}

/* Between -1 and 1: by how much nearer, as a share of where it was. */
static double nearer(double before, double after) {
    return (before - after) / fmax(fmax(before, after), 1);
}

MendOdds mend_odds(const Bench *bench, const MendSamples *s, const MendList *mends,
                   const Mix *mix) {
    MendOdds odds = {0};
    Act acts[MENDS_AT_ONCE];
    make_acts(bench, mends, mix, acts);
    for (size_t i = 0; i < s->count; i++) {
        double sums[SUMS], share[MENDS_AT_ONCE];
        Off off;
        bool met;
        for (int k = 0; k < SUMS; k++)
            sums[k] = s->at[i].sums[k];
        shares_of(acts, mix->count, s->at[i].noise, share);
        for (int k = 0; k < mix->count; k++)
            quick_sums_add(sums, moments_scaled(acts[k].adds, share[k]));
        judge(s, &s->at[i], sums, &met, &off);
        odds.chance += met;
        odds.farther += !met && (s->at[i].met || off.worst > s->at[i].off);
        odds.nearer += nearer(s->at[i].off_all, off.all);
    }
    double n = (double)s->count;
    return (MendOdds){odds.chance / n, odds.farther / n, odds.nearer / n};
}
