/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to mount where, as a maker would write it on the bench. */
#include "report/report.h"

#include <math.h>
#include <string.h>

static int length_digits(const Report *r) {
    return r->system == BLY_INCH ? 2 : 1;
}

static void put_length(const Report *r, const char *before, double si) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, BLY_DIM_LENGTH, r->system, length_digits(r), text);
    (void)fprintf(r->out, "%s%s", before, text);
}

static double piece_mass(const BlyPiece *piece) {
    return isfinite(piece->weighed.value) ? piece->weighed.value : piece->part->mass.value;
}

static void put_piece(const Report *r, const BlyPiece *piece, int *done) {
    char mass[WORDS_MAX];
    small_mass_words(piece_mass(piece), r->system, false, mass);
    (void)fprintf(r->out, "%s%s", (*done)++ > 0 ? ", " : "", piece->part->id);
    if (isfinite(piece_mass(piece)))
        (void)fprintf(r->out, " (%s)", mass);
}

static void put_lip(const Report *r, const BlySeat *seat, const BlyChoice *c) {
    const BlyPart *sheet = c->piece[BLY_PART_SHEET].part;
    const BlyPart *outline = c->piece[BLY_PART_OUTLINE].part;
    char gauge[BLY_QUANTITY_MAX];
    double thickness = isfinite(c->thickness) ? c->thickness : sheet->thickness;
    int digits = r->system == BLY_INCH ? 3 : 2;
    bly_quantity_show(thickness, BLY_DIM_LENGTH, r->system, digits, gauge);
    (void)fprintf(r->out, "%s, outline %s", sheet->id, outline->id);
    put_length(r, ", ", c->length);
    put_length(r, " long of which ", seat->depth);
    (void)fprintf(r->out, " in the slot, %s%s",
                  thickness < sheet->thickness - 1e-7 ? "filed to " : "", gauge);
    if (thickness >= sheet->thickness - 1e-7)
        (void)fprintf(r->out, " thick");
    if (c->filed > 0) {
        bly_quantity_show(thickness - c->filed, BLY_DIM_LENGTH, r->system, digits, gauge);
        (void)fprintf(r->out, ", what stands out filed to %s", gauge);
    }
}

static void put_patch(const Report *r, const BlyChoice *c) {
    const BlyPart *strip = c->piece[BLY_PART_STRIP].part;
    const BlyPart *dot = c->piece[BLY_PART_DOT].part;
    if (strip != NULL) {
        (void)fprintf(r->out, "%s", strip->id);
        put_length(r, ", ", c->length);
        put_length(r, " long, from ", c->x);
        if (c->count > 1)
            (void)fprintf(r->out, ", %d layers", c->count);
    } else if (dot != NULL) {
        (void)fprintf(r->out, "%d x %s", c->count, dot->id);
        put_length(r, " around ", c->x);
    }
}

static void put_chain(const Report *r, const BlyChoice *c) {
    static const BlyPartKind order[] = {BLY_PART_EYE, BLY_PART_RING, BLY_PART_HOOK, BLY_PART_SNAP};
    int done = 0;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        if (c->piece[order[i]].part != NULL)
            put_piece(r, &c->piece[order[i]], &done);
    }
    if (c->piece[BLY_PART_WIRE].part != NULL)
        (void)fprintf(r->out, ", %d turns of %s on the shank", c->count,
                      c->piece[BLY_PART_WIRE].part->id);
}

static void put_choice(const Report *r, const BlySeat *seat, const BlyChoice *c) {
    if (bly_choice_is_empty(c)) {
        (void)fprintf(r->out, "nothing");
        return;
    }
    if (seat->kind == BLY_SEAT_SLOT)
        put_lip(r, seat, c);
    else if (seat->kind == BLY_SEAT_PATCH)
        put_patch(r, c);
    else
        put_chain(r, c);
    if (seat->kind != BLY_SEAT_PATCH)
        put_length(r, "; at ", c->x);
}

static bool same_pieces(const BlyChoice *a, const BlyChoice *b) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        if (a->piece[kind].part != b->piece[kind].part)
            return false;
    }
    double thinner =
        (isnan(a->thickness) ? 0 : a->thickness) - (isnan(b->thickness) ? 0 : b->thickness);
    return a->count == b->count && fabs(a->x - b->x) < 1e-7 && fabs(a->length - b->length) < 1e-7 &&
           fabs(a->filed - b->filed) < 1e-7 && fabs(thinner) < 1e-7;
}

void text_rig(const Report *r, const BlyBuild *build, const BlyRig *rig, const BlyRig *old) {
    for (size_t i = 0; i < rig->count; i++) {
        bool changed = old != NULL && !same_pieces(&rig->at[i], &old->at[i]);
        (void)fprintf(r->out, "  %s%-9s ", changed ? "* " : "  ", build->seats[i].name);
        put_choice(r, &build->seats[i], &rig->at[i]);
        (void)fprintf(r->out, "\n");
    }
}

static void both(const Report *r, const char *label, const char *before, const char *after) {
    (void)fprintf(r->out, "  %-18s %-32s %s\n", label, before, after);
}

void text_swap(const Report *r, const BlyBuild *build, const BlyRig *before, const BlyRig *after,
               const BlyOutcome *a, const BlyOutcome *b) {
    char x[WORDS_MAX], y[WORDS_MAX];
    (void)fprintf(r->out, "before\n");
    text_rig(r, build, before, NULL);
    (void)fprintf(r->out, "after (* changed)\n");
    text_rig(r, build, after, before);
    water_words(&a->water, r->system, x);
    (void)fprintf(r->out, "in %s\n", x);
    both(r, "", "before", "after");
    both(r, "it", a->state == BLY_FLOATS ? "floats" : drift_words(a->drift),
         b->state == BLY_FLOATS ? "floats" : drift_words(b->drift));
    speed_words(a->drift, r->system, x);
    speed_words(b->drift, r->system, y);
    both(r, "drift", x, y);
    attitude_words(a->nose_down, x);
    attitude_words(b->nose_down, y);
    both(r, "rests", x, y);
    small_mass_words(a->sums.net_weight, r->system, true, x);
    small_mass_words(b->sums.net_weight, r->system, true, y);
    both(r, "weight in water", x, y);
    small_mass_words(a->sums.mass, r->system, false, x);
    small_mass_words(b->sums.mass, r->system, false, y);
    both(r, "mass", x, y);
    int digits = r->system == BLY_INCH ? 3 : 1;
    bly_quantity_show(a->roll_arm, BLY_DIM_LENGTH, r->system, digits, x);
    bly_quantity_show(b->roll_arm, BLY_DIM_LENGTH, r->system, digits, y);
    both(r, "roll arm", x, y);
    if (a->has_surface || b->has_surface) {
        bly_quantity_show(a->has_surface ? a->surface.shows : 0, BLY_DIM_RATIO, r->system, 1, x);
        bly_quantity_show(b->has_surface ? b->surface.shows : 0, BLY_DIM_RATIO, r->system, 1, y);
        both(r, "shows", x, y);
    }
    text_notes(r, "  ", b->notes);
}
