/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The build with its inputs set to other values: one lure out of all that they allow. Parts that
 * are off are copies with another mass, volume, gauge or density; everything then goes the way of
 * any other lure. */
#include "spread/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is possible, whatever the give says. */
static void limits(const BlyInput *input, double *low, double *high) {
    *low = 0.0;
    *high = INFINITY;
    switch (input->kind) {
    case BLY_IN_BALANCE:
    case BLY_IN_BALANCE_UP:
    case BLY_IN_LOAD:
        *low = -INFINITY;
        break;
    case BLY_IN_BODY_DENSITY:
    case BLY_IN_BODY_MASS:
    case BLY_IN_PART_MASS:
    case BLY_IN_PART_THICKNESS:
    case BLY_IN_PART_DENSITY:
    case BLY_IN_PIECE_MASS:
    case BLY_IN_COAT_DENSITY:
    case BLY_IN_INSET_DENSITY:
    case BLY_IN_INSET_MASS:
    case BLY_IN_DRAG:
    case BLY_IN_VOLUME:
        *low = 0.1 * input->value;
        break;
    case BLY_IN_MUNK:
        *high = 1.0;
        break;
    case BLY_IN_TEMPERATURE:
        *high = 40.0;
        break;
    case BLY_IN_SALINITY:
        *high = 0.042;
        break;
    case BLY_IN_SOAK:
    case BLY_IN_EXPANSION:
    case BLY_IN_COAT_THICKNESS:
    case BLY_IN_WEIGHED:
    case BLY_INPUT_KINDS:
        break;
    }
}

double spread_value(const BlyInput *input, double u) {
    double low, high;
    limits(input, &low, &high);
    return fmin(fmax(input->value + u * input->give / SPREAD_GIVE_SIGMA, low), high);
}

static void set_body(BlyBodyFacts *facts, const BlyInput *input, double value) {
    switch (input->kind) {
    case BLY_IN_BODY_DENSITY:
        facts->density.value = value;
        break;
    case BLY_IN_BODY_MASS:
        facts->mass.value = value;
        break;
    case BLY_IN_VOLUME:
        facts->volume_share.value = value;
        break;
    case BLY_IN_BALANCE:
        facts->balance.value = value;
        break;
    case BLY_IN_BALANCE_UP:
        facts->balance_up.value = value;
        break;
    case BLY_IN_SOAK:
        facts->soak.value = value;
        break;
    case BLY_IN_EXPANSION:
        facts->expansion.value = value;
        break;
    case BLY_IN_DRAG:
        facts->drag_factor.value = value;
        break;
    case BLY_IN_MUNK:
        facts->munk_factor.value = value;
        break;
    default: /* not the body's */
        break;
    }
}

static void set_indexed(SpreadLure *out, const BlyInput *input, double value) {
    if (input->kind == BLY_IN_COAT_THICKNESS)
        out->coats[input->index].thickness.value = value;
    else if (input->kind == BLY_IN_COAT_DENSITY)
        out->coats[input->index].density.value = value;
    else if (input->kind == BLY_IN_INSET_DENSITY)
        out->insets[input->index].density.value = value;
    else if (input->kind == BLY_IN_INSET_MASS)
        out->insets[input->index].mass.value = value;
}

static void scale_mass(BlyPart *part, double factor) {
    part->mass.value *= factor;
    part->shank_mass *= factor;
    if (part->volume_given)
        return;
    part->volume *= factor;
    part->shank_volume *= factor;
}

static bool concerns(const BlyInput *input, const BlyPart *part, int seat, int kind) {
    return (input->seat < 0 || input->seat == seat) &&
           (input->part_kind < 0 || input->part_kind == kind) && strcmp(input->id, part->id) == 0;
}

/* Sets a piece of one seat; a part that is off becomes a copy. */
static void set_piece(SpreadLure *out, BlyChoice *choice, int seat, int kind, const BlyInput *input,
                      double value) {
    BlyPiece *piece = &choice->piece[kind];
    if (!piece->part || !concerns(input, piece->part, seat, kind))
        return;
    if (input->kind == BLY_IN_WEIGHED) {
        piece->weighed.value = value;
        return;
    }
    BlyPart *part = NULL;
    for (size_t i = 0; i < out->part_count && !part; i++)
        part = piece->part == &out->parts[i] ? &out->parts[i] : NULL;
    if (!part) {
        part = &out->parts[out->part_count++];
        *part = *piece->part;
        piece->part = part;
    }
    if (input->kind == BLY_IN_PART_MASS || input->kind == BLY_IN_PIECE_MASS) {
        scale_mass(part, value / input->value);
    } else if (input->kind == BLY_IN_PART_DENSITY) {
        part->density.value = value;
    } else if (input->kind == BLY_IN_PART_THICKNESS) {
        part->thickness = value;
        if (kind == BLY_PART_SHEET && isfinite(choice->thickness)) /* as filed: off by as much */
            choice->thickness = fmax(choice->thickness + value - input->value, 1e-6);
    }
}

static bool of_parts(BlyInputKind kind) {
    return kind == BLY_IN_PART_MASS || kind == BLY_IN_PART_THICKNESS ||
           kind == BLY_IN_PART_DENSITY || kind == BLY_IN_PIECE_MASS || kind == BLY_IN_WEIGHED;
}

static void set_rig(SpreadLure *out, BlyRig *rig, const BlyInput *input, double value) {
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            set_piece(out, &rig->at[s], (int)s, kind, input, value);
    }
}

/* Inputs at u = 0 are as the build has them: nothing to set. */
static void set_all(const SpreadCase *set, const double *u, SpreadLure *out) {
    for (size_t i = 0; i < set->input_count; i++) {
        const BlyInput *input = &set->inputs[i];
        if (u[i] == 0.0)
            continue;
        double value = spread_value(input, u[i]);
        if (of_parts(input->kind)) {
            set_rig(out, &out->rig, input, value);
            set_rig(out, &out->fitted, input, value);
        } else if (input->kind == BLY_IN_LOAD) {
            out->seats[input->seat].load.value = value;
        } else if (input->index >= 0) {
            set_indexed(out, input, value);
        } else {
            set_body(&out->facts, input, value);
        }
    }
}

/* A strip that just fills its patch may be too long for it by a hair on a thicker coat. */
static void give_way(const SpreadCase *set, SpreadLure *out) {
    for (size_t s = 0; s < set->build->seat_count; s++) {
        if (set->rig->at[s].piece[BLY_PART_STRIP].part ||
            set->build->fitted.at[s].piece[BLY_PART_STRIP].part)
            out->seats[s].x_to += 1e-3;
    }
}

static bool copy_build(const SpreadCase *set, SpreadLure *out, BlyError *err) {
    const BlyBuild *build = set->build;
    size_t seats = build->seat_count;
    out->facts = build->facts;
    out->coats = calloc(build->coat_count + 1, sizeof *out->coats);
    out->seats = calloc(seats + 1, sizeof *out->seats);
    out->parts = calloc(2 * seats * BLY_PART_KINDS + 1, sizeof *out->parts);
    out->insets = calloc(build->facts.inset_count + 1, sizeof *out->insets);
    if (!out->coats || !out->seats || !out->parts || !out->insets)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a sample of the build");
    if (build->coat_count > 0)
        memcpy(out->coats, build->coats, build->coat_count * sizeof *out->coats);
    if (seats > 0)
        memcpy(out->seats, build->seats, seats * sizeof *out->seats);
    if (build->facts.inset_count > 0)
        memcpy(out->insets, build->facts.insets, build->facts.inset_count * sizeof *out->insets);
    out->facts.insets = out->insets;
    give_way(set, out);
    return bly_rig_copy(&out->rig, set->rig, err) &&
           bly_rig_copy(&out->fitted, &build->fitted, err);
}

static bool make_blank(const SpreadCase *set, SpreadLure *out, BlyError *err) {
    const BlyBuild *build = set->build;
    return bly_blank_like(set->like, build->shape, &out->facts, out->coats, build->coat_count,
                          out->seats, &out->fitted, &out->blank, err);
}

bool spread_lure_make(const SpreadCase *set, const double *u, SpreadLure *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    if (!copy_build(set, out, err))
        return false;
    set_all(set, u, out);
    return make_blank(set, out, err) &&
           bly_lure_make(&out->blank, out->seats, &out->rig, &out->lure, err);
}

void spread_lure_release(SpreadLure *lure) {
    bly_lure_release(&lure->lure);
    bly_blank_release(&lure->blank);
    bly_rig_release(&lure->rig);
    bly_rig_release(&lure->fitted);
    free(lure->coats);
    free(lure->insets);
    free(lure->seats);
    free(lure->parts);
    memset(lure, 0, sizeof *lure);
}

/* One thermometer and one refractometer for all waters: u moves each water by its own give. */
bool spread_water_at(const SpreadCase *set, const BlyWaterFacts *facts, const double *u,
                     BlyWater *out, BlyError *err) {
    double t = facts->temperature.value, s = facts->salinity.value;
    for (size_t i = 0; i < set->input_count; i++) {
        BlyInput input = set->inputs[i];
        if (input.kind == BLY_IN_TEMPERATURE) {
            input.value = facts->temperature.value;
            input.give = facts->temperature.give;
            t = spread_value(&input, u[i]);
        } else if (input.kind == BLY_IN_SALINITY) {
            input.value = facts->salinity.value;
            input.give = facts->salinity.give;
            s = spread_value(&input, u[i]);
        }
    }
    return bly_water_at(t, s, out, err);
}
