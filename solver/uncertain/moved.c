/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A copy of what of a build can be off: facts, coats, pieces of the blank, seats, what is fitted.
 */
#include "uncertain/uncertain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* m by which a strip may outgrow its patch as coat or tape grow thicker: only strips that fill
 * their patch would be refused for a hair. */
static const double slack = 1e-3;

static void give_way(const BlyBuild *build, const BlyRig *rig, MovedBuild *out) {
    double end = bly_body_box(build->shape).high.x;
    for (size_t s = 0; s < build->seat_count; s++) {
        if (rig->at[s].of[BLY_PART_STRIP].part || build->fitted.at[s].of[BLY_PART_STRIP].part)
            out->seats[s].x_to = fmin(out->seats[s].x_to + slack, end);
    }
}

bool moved_begin(const BlyBuild *build, const BlyRig *rig, MovedBuild *out, BlyError *err) {
    size_t coats = build->coat_count, insets = build->facts.inset_count, seats = build->seat_count;
    *out = (MovedBuild){.facts = build->facts};
    out->coats = calloc(coats + 1, sizeof *out->coats);
    out->insets = calloc(insets + 1, sizeof *out->insets);
    out->seats = calloc(seats + 1, sizeof *out->seats);
    if (!out->coats || !out->insets || !out->seats)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the build as it may be");
    if (coats > 0)
        memcpy(out->coats, build->coats, coats * sizeof *out->coats);
    if (insets > 0)
        memcpy(out->insets, build->facts.insets, insets * sizeof *out->insets);
    if (seats > 0)
        memcpy(out->seats, build->seats, seats * sizeof *out->seats);
    out->facts.insets = out->insets;
    give_way(build, rig, out);
    return bly_rig_copy(&out->fitted, &build->fitted, err);
}

void moved_end(MovedBuild *moved) {
    bly_rig_release(&moved->fitted);
    free(moved->coats);
    free(moved->insets);
    free(moved->seats);
    *moved = (MovedBuild){0};
}

void moved_set(MovedBuild *moved, BlyInputKind kind, int index, double value) {
    BlyBodyFacts *facts = &moved->facts;
    switch (kind) {
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
    case BLY_IN_COAT_THICKNESS:
        moved->coats[index].thickness.value = value;
        break;
    case BLY_IN_COAT_DENSITY:
        moved->coats[index].density.value = value;
        break;
    case BLY_IN_INSET_DENSITY:
        moved->insets[index].density.value = value;
        break;
    case BLY_IN_INSET_MASS:
        moved->insets[index].mass.value = value;
        break;
    case BLY_IN_LOAD:
        moved->seats[index].load.value = value;
        break;
    default: /* of a part, which a rig has, or of the water */
        break;
    }
}
