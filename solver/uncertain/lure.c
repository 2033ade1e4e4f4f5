/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lure out of all that a build's inputs allow. Parts that are off are copies with another mass,
 * volume, gauge or density; everything then goes the way of any other lure. */
#include "uncertain/uncertain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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
static void set_piece(MovedLure *out, BlyChoice *choice, int seat, int kind, const BlyInput *input,
                      double value) {
    BlyChosenPart *piece = &choice->of[kind];
    if (!piece->part || !concerns(input, piece->part, seat, kind))
        return;
    if (input->kind == BLY_IN_FILED) {
        if (choice->filed > 0.0) /* as fitted it may not be ground yet */
            choice->filed = value;
        return;
    }
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
           kind == BLY_IN_PART_DENSITY || kind == BLY_IN_PIECE_MASS || kind == BLY_IN_WEIGHED ||
           kind == BLY_IN_FILED;
}

static void set_rig(MovedLure *out, BlyRig *rig, const BlyInput *input, double value) {
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            set_piece(out, &rig->at[s], (int)s, kind, input, value);
    }
}

/* Inputs at u = 0 are as the build has them: nothing to set. */
static void set_all(const UncertainCase *set, const double *u, MovedLure *out) {
    for (size_t i = 0; i < set->input_count; i++) {
        const BlyInput *input = &set->inputs[i];
        if (u[i] == 0.0)
            continue;
        double value = uncertain_value(input, u[i]);
        if (of_parts(input->kind)) {
            set_rig(out, &out->rig, input, value);
            set_rig(out, &out->build.fitted, input, value);
        } else {
            moved_set(&out->build, input->kind,
                      input->kind == BLY_IN_LOAD ? input->seat : input->index, value);
        }
    }
}

static bool copy(const UncertainCase *set, MovedLure *out, BlyError *err) {
    if (!moved_begin(set->build, set->rig, &out->build, err))
        return false;
    out->parts = calloc(2 * set->build->seat_count * BLY_PART_KINDS + 1, sizeof *out->parts);
    if (!out->parts)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a sample of the build");
    return bly_rig_copy(&out->rig, set->rig, err);
}

static bool moved(const UncertainCase *set, const double *u, MovedLure *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    if (!copy(set, out, err))
        return false;
    set_all(set, u, out);
    return true;
}

static bool mounted(MovedLure *out, BlyError *err) {
    return bly_lure_make(&out->blank, out->build.seats, &out->rig, &out->lure, err);
}

bool moved_lure_make(const UncertainCase *set, const double *u, MovedLure *out, BlyError *err) {
    const BlyBuild *build = set->build;
    return moved(set, u, out, err) &&
           bly_blank_like(set->like, build->shape, &out->build.facts, out->build.coats,
                          build->coat_count, out->build.seats, &out->build.fitted, &out->blank,
                          err) &&
           mounted(out, err);
}

bool moved_lure_about(const UncertainCase *set, const double *u, MovedLure *out, BlyError *err) {
    return moved(set, u, out, err) &&
           bly_blank_about(set->like, &out->build.facts, out->build.coats, set->build->coat_count,
                           out->build.seats, &out->build.fitted, &out->blank, err) &&
           mounted(out, err);
}

void moved_lure_release(MovedLure *lure) {
    bly_lure_release(&lure->lure);
    bly_blank_release(&lure->blank);
    bly_rig_release(&lure->rig);
    moved_end(&lure->build);
    free(lure->parts);
    memset(lure, 0, sizeof *lure);
}
