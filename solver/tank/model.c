/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build with its quantities moved, and what it would read then. */
#include "tank/model.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double step = 1e-3;  /* in standard deviations, for derivatives: near neutral, drift
                                   * bends within tenths of a milligram */
static const double slack = 1e-3; /* m by which a strip may outgrow its patch as the coat moves */

/* Only strips that fill their patch would be refused for a coat a little thinner. */
static void loosen(BlySeat *seat, const BlyChoice *choice, BlyBox box) {
    if (seat->kind == BLY_SEAT_PATCH && choice->piece[BLY_PART_STRIP].part)
        seat->x_to = fmin(seat->x_to + slack, box.high.x);
}

static bool copy_build(Model *m, const BlyBuild *build, BlyError *err) {
    m->coats = calloc(build->coat_count + 1, sizeof *m->coats);
    m->seats = calloc(build->seat_count + 1, sizeof *m->seats);
    m->insets = calloc(build->facts.inset_count + 1, sizeof *m->insets);
    if (!m->coats || !m->seats || !m->insets)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the build as it may be");
    for (size_t i = 0; i < build->coat_count; i++)
        m->coats[i] = build->coats[i];
    for (size_t i = 0; i < build->facts.inset_count; i++)
        m->insets[i] = build->facts.insets[i];
    BlyBox box = bly_body_box(build->shape);
    for (size_t i = 0; i < build->seat_count; i++) {
        m->seats[i] = build->seats[i];
        loosen(&m->seats[i], &build->fitted.at[i], box);
    }
    return bly_rig_copy(&m->rig, &build->fitted, err) &&
           bly_rig_copy(&m->early_rig, &build->fitted, err);
}

bool model_begin(Model *m, const BlyBuild *build, const BlyWaterFacts *tank, const Quants *quants,
                 BlyError *err) {
    *m = (Model){.build = build, .tank = tank, .quants = quants, .knob_count = quants->knob_count};
    for (int i = 0; i < BLY_STAGES; i++)
        m->angle[0][i] = m->angle[1][i] = m->trim[0][i] = m->trim[1][i] = NAN;
    BlyBodyFacts plain = build->facts;
    plain.mass.value = NAN;
    plain.density.value = 1000.0;
    return copy_build(m, build, err) &&
           bly_blank_make(build->shape, &plain, NULL, 0, NULL, NULL, &m->bare, err) &&
           bly_water_at(build->water.temperature.value, build->water.salinity.value, &m->own_water,
                        err);
}

void model_end(Model *m) {
    for (size_t i = 0; i < m->hull_count; i++)
        bly_blank_release(&m->hull[i]);
    bly_blank_release(&m->bare);
    bly_rig_release(&m->rig);
    bly_rig_release(&m->early_rig);
    free(m->coats);
    free(m->insets);
    free(m->seats);
    *m = (Model){0};
}

static void set_one(Model *m, const Quant *quant, double value, double *temperature,
                    double *salinity) {
    switch (quant->kind) {
    case BLY_LEARN_DENSITY:
        m->facts.density.value = value;
        break;
    case BLY_LEARN_MASS:
        m->facts.mass.value = value;
        break;
    case BLY_LEARN_VOLUME:
        m->facts.volume_share.value = value;
        break;
    case BLY_LEARN_BALANCE:
        m->facts.balance.value = value;
        break;
    case BLY_LEARN_BALANCE_UP:
        m->facts.balance_up.value = value;
        break;
    case BLY_LEARN_COAT:
        m->coats[quant->index].thickness.value = value;
        break;
    case BLY_LEARN_COAT_DENSITY:
        m->coats[quant->index].density.value = value;
        break;
    case BLY_LEARN_INSET_DENSITY:
        m->insets[quant->index].density.value = value;
        break;
    case BLY_LEARN_INSET_MASS:
        m->insets[quant->index].mass.value = value;
        break;
    case BLY_LEARN_SOAK:
        m->facts.soak.value = value;
        break;
    case BLY_LEARN_EXPANSION:
        m->facts.expansion.value = value;
        break;
    case BLY_LEARN_DRAG:
        m->facts.drag_factor.value = value;
        break;
    case BLY_LEARN_MUNK:
        m->facts.munk_factor.value = value;
        break;
    case BLY_LEARN_PIECE:
        m->rig.at[quant->index].piece[quant->part].weighed = (BlyFigure){value, 0.0};
        m->early_rig.at[quant->index].piece[quant->part].weighed = (BlyFigure){value, 0.0};
        break;
    case BLY_LEARN_TEMPERATURE:
        *temperature = value;
        break;
    case BLY_LEARN_SALINITY:
        *salinity = value;
        break;
    case BLY_LEARN_KINDS:
        break;
    }
}

static bool set_all(Model *m, const double *z, BlyError *err) {
    double temperature = m->tank->temperature.value, salinity = m->tank->salinity.value;
    m->facts = m->build->facts;
    m->facts.insets = m->insets;
    for (size_t i = 0; i < m->quants->count; i++) {
        const Quant *quant = &m->quants->at[i];
        set_one(m, quant, quant_value(quant, z), &temperature, &salinity);
    }
    /* Strips and dots lie on the coat; before it they are not there. */
    for (size_t i = 0; i < m->build->seat_count; i++) {
        if (m->seats[i].kind == BLY_SEAT_PATCH)
            m->early_rig.at[i] = bly_choice_empty(m->seats[i].x_from);
    }
    return bly_water_at(temperature, salinity, &m->water, err);
}

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

/* From the nose of what is in the hand. What hangs acts at its hanging point. */
static double balances(const BlyLure *lure) {
    double moment, mass = scale_reads(lure, &moment);
    return moment / mass - bly_body_box(lure->blank->hull).low.x;
}

/* Of what sinks, the share that would have to show to carry its weight: below zero. Its tilt is
 * what it is just under the surface, with nothing drifting. */
static bool afloat(Model *m, StageLure *stage, const BlyWater *water, const BlySums *sums,
                   const Probe *probe, double *out, BlyError *err) {
    bool tilt = probe->kind == BLY_READ_TILT_AFLOAT;
    double *trim = &m->trim[probe->in_tank][probe->stage];
    if (!(sums->net_weight < 0.0)) {
        *out = tilt ? atan2(-sums->wx, -sums->wz)
                    : -sums->net_weight / (water->density * stage->blank.hull_volume);
        return true;
    }
    if (!stage->floated &&
        !bly_balance_float_near(&stage->lure, water, *trim, &stage->surface, err))
        return false;
    stage->floated = true;
    *trim = stage->surface.nose_down;
    *out = tilt ? stage->surface.nose_down : stage->surface.shows;
    return true;
}

/* The outcome serves all readings of one stage. */
static bool drifts(Model *m, StageLure *stage, const BlyWater *water, const Probe *probe,
                   double *out, BlyError *err) {
    double *angle = &m->angle[probe->in_tank][probe->stage];
    if (!stage->rested && !bly_rest_near(&stage->lure, water, *angle, &stage->outcome, err))
        return false;
    stage->rested = true;
    *angle = stage->outcome.nose_down;
    *out = probe->kind == BLY_READ_TILT ? *angle : drift_signed_square(stage->outcome.drift);
    return true;
}

static bool read_one(Model *m, StageLure *stage, const Probe *probe, double *out, BlyError *err) {
    const BlyWater *water = probe->in_tank ? &m->water : &m->own_water;
    BlySums sums;
    double moment;
    bly_balance_sums(&stage->lure, water, &sums);
    switch (probe->kind) {
    case BLY_READ_SCALE:
        *out = scale_reads(&stage->lure, &moment);
        return true;
    case BLY_READ_BALANCE:
        *out = balances(&stage->lure);
        return true;
    case BLY_READ_IN_WATER:
        *out = sums.net_weight;
        return true;
    case BLY_READ_DRIFT:
    case BLY_READ_TILT:
        return drifts(m, stage, water, probe, out, err);
    case BLY_READ_TILT_AFLOAT:
    case BLY_READ_SHOWS:
        return afloat(m, stage, water, &sums, probe, out, err);
    case BLY_READ_KINDS:
        break;
    }
    return bly_fail(err, BLY_E_INTERNAL, NULL, "a reading of no kind");
}

bool model_read(Model *m, const double *z, const Probe *probes, size_t count, double *out,
                BlyError *err) {
    bool good = set_all(m, z, err);
    StageLure stage = {0};
    for (size_t i = 0; good && i < count; i++) {
        bool same = i > 0 && probes[i].stage == probes[i - 1].stage &&
                    probes[i].in_tank == probes[i - 1].in_tank;
        if (!same) {
            stage_release(&stage);
            good = stage_make(m, &probes[i], &stage, err);
        }
        good = good && read_one(m, &stage, &probes[i], &out[i], err);
    }
    stage_release(&stage);
    return good;
}

bool model_outcome(Model *m, const double *z, BlyOutcome *out, BlyError *err) {
    const Probe finished = {.stage = BLY_STAGE_COMPLETE, .in_tank = false};
    StageLure stage = {0};
    bool good = set_all(m, z, err) && stage_make(m, &finished, &stage, err) &&
                bly_rest(&stage.lure, &m->own_water, out, err);
    stage_release(&stage);
    return good;
}

/* One knob up and down by a step, within its range. */
static bool slope(Model *m, double *z, size_t k, const Probe *probes, size_t count, double *up,
                  double *down, BlyError *err) {
    double here = z[k], low, high;
    quants_range(m->quants, k, &low, &high);
    high = fmin(here + step, high);
    low = fmax(here - step, low);
    z[k] = high;
    bool good = model_read(m, z, probes, count, up, err);
    z[k] = low;
    good = good && model_read(m, z, probes, count, down, err);
    z[k] = here;
    for (size_t i = 0; good && i < count; i++) {
        double rise = up[i] - down[i];
        if (probes[i].kind == BLY_READ_TILT || probes[i].kind == BLY_READ_TILT_AFLOAT)
            rise = remainder(rise, 2.0 * M_PI);
        up[i] = high > low ? rise / (high - low) : 0.0;
    }
    return good;
}

bool model_slopes(Model *m, const double *z, const bool *active, const Probe *probes, size_t count,
                  double *out, BlyError *err) {
    double *moved = calloc(m->knob_count + 2 * count + 1, sizeof *moved);
    if (!moved)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the derivatives");
    double *up = moved + m->knob_count, *down = up + count;
    bool good = true;
    for (size_t k = 0; k < m->knob_count; k++)
        moved[k] = z[k];
    for (size_t k = 0; good && k < m->knob_count; k++) {
        if (!active || active[k])
            good = slope(m, moved, k, probes, count, up, down, err);
        for (size_t i = 0; good && i < count; i++)
            out[i * m->knob_count + k] = !active || active[k] ? up[i] : 0.0;
    }
    free(moved);
    return good;
}
