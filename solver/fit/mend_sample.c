/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/mend_sample.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

/* Of hands, 95 of 100, from memory: a turn of wire is wound 3 % tighter or looser; a strip is cut
 * to 0.3 mm, a lip's edge to 0.2 mm of the mark. */
static const double turn_share = 0.03, strip_cut = 0.3e-3, edge_cut = 0.2e-3;
static const double far_off = 1e3; /* half-bands: farther is no worse */
/* Half of a band whose other side is open: 10 mm/s squared, 4 %, 10 degrees; ours. */
static const double open_drift = 1e-4, open_shows = 0.04, open_nose = 10 * M_PI / 180;

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

static double off_of(const BlyTarget *t, const BlyOutcome *o) {
    double low, high, shows = 0, nose = o->nose_down;
    bly_target_drift(t, &low, &high);
    if (t->state == BLY_FLOATS) {
        shows = outside(o->surface.shows, t->shows_low, t->shows_high, open_shows);
        nose = o->surface.nose_down;
    }
    double drift = outside(as_weight(o->drift), as_weight(low), as_weight(high), open_drift);
    double tilt = outside(nose, t->nose_low, t->nose_high, open_nose);
    return fmax(drift, fmax(shows, tilt));
}

static void judge(const MendSamples *s, const MendSample *one, const double sums[SUMS], bool *met,
                  double *off) {
    *met = true;
    *off = 0;
    for (size_t w = 0; w < s->quick->water_count; w++) {
        BlyOutcome o;
        quick_lure_sample(s->quick, one->u, sums, w, &o);
        bool good = bly_judge(s->quick->target, &o).met;
        *met = *met && good;
        if (!good)
            *off = fmax(*off, off_of(s->quick->target, &o));
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
        judge(s, one, one->sums, &one->met, &one->off);
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

double mend_give(const Bench *bench, const Mend *mend) {
    const BlyChoice *was = &bench->build->fitted.at[mend->seat[0]], *is = &mend->to[0];
    const BlyPart *wire = is->of[BLY_PART_WIRE].part, *dot = is->of[BLY_PART_DOT].part,
                  *strip = is->of[BLY_PART_STRIP].part;
    double cut = fabs(was->length - is->length);
    switch (mend->kind) {
    case BLY_MEND_WIRE:
        return hypot(part_share(wire != NULL ? wire : was->of[BLY_PART_WIRE].part), turn_share);
    case BLY_MEND_DOT:
        return part_share(dot != NULL ? dot : was->of[BLY_PART_DOT].part);
    case BLY_MEND_STRIP:
        return hypot(part_share(strip), strip_cut / fmax(cut, strip_cut));
    case BLY_MEND_EDGE:
        return edge_cut / fmax(cut, edge_cut);
    case BLY_MEND_BACK:
        return is->filed_give / fmax(is->filed - was->filed, 1e-6);
    default:
        return 0;
    }
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

MendOdds mend_odds(const Bench *bench, const MendSamples *s, const MendList *mends,
                   const Mix *mix) {
    MendOdds odds = {0};
    Moments adds[MENDS_AT_ONCE];
    double give[MENDS_AT_ONCE];
    for (int k = 0; k < mix->count; k++) {
        adds[k] = in_si(&mends->at[mix->mend[k]].adds);
        give[k] = mend_give(bench, &mends->at[mix->mend[k]]) / BLY_SIGMAS_95;
    }
    for (size_t i = 0; i < s->count; i++) {
        double sums[SUMS], off;
        bool met;
        for (int k = 0; k < SUMS; k++)
            sums[k] = s->at[i].sums[k];
        for (int k = 0; k < mix->count; k++)
            quick_sums_add(sums,
                           moments_scaled(adds[k], fmax(1 + give[k] * s->at[i].noise[k], 0.1)));
        judge(s, &s->at[i], sums, &met, &off);
        odds.chance += met;
        odds.farther += !met && (s->at[i].met || off > s->at[i].off);
        odds.near += 1 / (1 + off);
    }
    double n = (double)s->count;
    return (MendOdds){odds.chance / n, odds.farther / n, odds.near / n};
}
