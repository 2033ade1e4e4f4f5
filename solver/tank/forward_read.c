/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the lure would read as the forward model has it, by the full physics on its hull. */
#include "tank/forward.h"

#include <gsl/gsl_math.h>

double drift_signed_square(double v) {
    return v * fabs(v);
}

double drift_from_square(double y) {
    return copysign(sqrt(fabs(y)), y);
}

static double scale_reads(const BlyLure *lure, double *moment) {
    double mass = *moment = 0.0;
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->kind == BLY_ITEM_SOAK || item->kind == BLY_ITEM_LOAD)
            continue;
        mass += item->mass;
        *moment += item->mass * item->at.x;
    }
    return mass;
}

/* From the nose of what is in the hand, which lies further out by what its coat is thicker than
 * that of the hull that stands in. What hangs acts at its hanging point. */
static double balances(const BlyLure *lure, double made_for) {
    double moment, mass = scale_reads(lure, &moment);
    double nose = bly_body_box(lure->blank->hull).low.x - (lure->blank->coat_thickness - made_for);
    return moment / mass - nose;
}

static bool float_it(StageLure *stage, Look look, const BlyWater *water, BlyFloat *kept,
                     BlyError *err) {
    stage->floated = true;
    if (look == LOOK_NEAR && isfinite(kept->nose_down))
        return bly_balance_float_about(&stage->lure, water, kept, &stage->surface, err);
    if (!bly_balance_float(&stage->lure, water, &stage->surface, err))
        return false;
    if (look == LOOK_AFRESH)
        *kept = stage->surface;
    return true;
}

/* Of what sinks, the share that would have to show to carry its weight: below zero. Its tilt is
 * what it is just under the surface, with nothing drifting. */
static bool afloat(Forward *m, StageLure *stage, Look look, const BlyWater *water,
                   const BlySums *sums, const Probe *probe, double *out, BlyError *err) {
    bool tilt = probe->kind == BLY_READ_TILT_AFLOAT;
    if (!(sums->net_weight < 0.0)) {
        *out = tilt ? atan2(-sums->wx, -sums->wz)
                    : -sums->net_weight / (water->density * stage->blank.hull_volume);
        return true;
    }
    if (!stage->floated &&
        !float_it(stage, look, water, &m->rests.afloat[probe->in_tank][probe->stage], err))
        return false;
    *out = tilt ? stage->surface.nose_down : stage->surface.shows;
    return true;
}

/* The outcome serves all readings of one stage. */
static bool drifts(Forward *m, StageLure *stage, Look look, const BlyWater *water,
                   const Probe *probe, double *out, BlyError *err) {
    double *kept = &m->rests.under_water[probe->in_tank][probe->stage];
    double guess = look == LOOK_NEAR ? *kept : NAN;
    if (!stage->rested && !bly_rest_near(&stage->lure, water, guess, &stage->outcome, err))
        return false;
    stage->rested = true;
    if (look == LOOK_AFRESH)
        *kept = stage->outcome.nose_down;
    *out = probe->kind == BLY_READ_TILT ? stage->outcome.nose_down
                                        : drift_signed_square(stage->outcome.drift);
    return true;
}

static bool read_one(Forward *m, StageLure *stage, Look look, const Probe *probe, double *out,
                     BlyError *err) {
    const BlyWater *water = probe->in_tank ? &m->water : &m->own_water;
    BlySums sums;
    double moment;
    bly_balance_sums(&stage->lure, water, &sums);
    switch (probe->kind) {
    case BLY_READ_SCALE:
        *out = scale_reads(&stage->lure, &moment);
        return true;
    case BLY_READ_BALANCE:
        *out = balances(&stage->lure, stage->made_for);
        return true;
    case BLY_READ_IN_WATER:
        *out = sums.net_weight;
        return true;
    case BLY_READ_DRIFT:
    case BLY_READ_TILT:
        return drifts(m, stage, look, water, probe, out, err);
    case BLY_READ_TILT_AFLOAT:
    case BLY_READ_SHOWS:
        return afloat(m, stage, look, water, &sums, probe, out, err);
    case BLY_READ_KINDS:
        break;
    }
    return bly_fail(err, BLY_E_INTERNAL, NULL, "a reading of no kind");
}

bool forward_read(Forward *m, const double *z, Look look, const Probe *probes, size_t count,
                  double *out, BlyError *err) {
    bool good = forward_move(m, z, err);
    StageLure stage = {0};
    for (size_t i = 0; good && i < count; i++) {
        bool same = i > 0 && probes[i].stage == probes[i - 1].stage &&
                    probes[i].in_tank == probes[i - 1].in_tank;
        if (!same) {
            stage_release(&stage);
            good = stage_make(m, &probes[i], &stage, err);
        }
        good = good && read_one(m, &stage, look, &probes[i], &out[i], err);
        if (good && stage.made_for > 0.0)
            out[i] += m->by_shape[probes[i].in_tank][probes[i].stage][probes[i].kind] *
                      (stage.blank.coat_thickness - stage.made_for);
    }
    stage_release(&stage);
    return good;
}

bool forward_try(Forward *m, const double *z, Look look, const Probe *probes, size_t count,
                 double *out, BlyError *err) {
    BlyError why = {0};
    if (forward_read(m, z, look, probes, count, out, &why))
        return true;
    for (size_t i = 0; i < count; i++)
        out[i] = NAN;
    return why.code != BLY_E_MEMORY || bly_fail(err, why.code, why.where, "%s", why.text);
}

bool forward_outcome(Forward *m, const double *z, BlyOutcome *out, BlyError *err) {
    const Probe finished = {.stage = BLY_STAGE_COMPLETE, .in_tank = false};
    StageLure stage = {0};
    bool good = forward_settle(m, z, err) && stage_make(m, &finished, &stage, err) &&
                bly_rest(&stage.lure, &m->own_water, out, err);
    if (good) {
        m->rests.under_water[0][BLY_STAGE_COMPLETE] = out->nose_down;
        m->rests.afloat[0][BLY_STAGE_COMPLETE] = out->surface;
        if (!out->has_surface)
            m->rests.afloat[0][BLY_STAGE_COMPLETE].nose_down = NAN;
    }
    stage_release(&stage);
    return good;
}

double probe_difference(const Probe *probe, double a, double b) {
    bool angle = probe->kind == BLY_READ_TILT || probe->kind == BLY_READ_TILT_AFLOAT;
    return angle ? remainder(a - b, 2.0 * M_PI) : a - b;
}
