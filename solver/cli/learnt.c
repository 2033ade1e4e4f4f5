/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Corrections as edits of the build's file. */
#include "cli/learnt.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "ballastry/units.h"

bool learnt_worth(const BlyCorrection *c) {
    double moved = fabs(c->after.value - c->before.value) / c->before.give;
    if (c->kind == BLY_LEARN_TEMPERATURE || c->kind == BLY_LEARN_SALINITY)
        return false;
    if (c->kind == BLY_LEARN_PIECE) /* parts are many, and what moves them moves the body more */
        return c->learnt >= 0.01 || moved > 0.03;
    return c->learnt >= 0.005 || moved > 0.005;
}

/* Rounded to 1 / per_unit SI, far below what any give leaves open, so that a maker can read it. */
static double rounded_to(double si, double per_unit) {
    return round(si * per_unit) / per_unit;
}

static void put_figure(BlyFigure figure, BlyDimension dim, double per_unit, char *out,
                       size_t size) {
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    double rounded = rounded_to(figure.value, per_unit), half = rounded_to(figure.give, per_unit);
    if (dim == BLY_DIM_RATIO) {
        (void)snprintf(out, size, "{\"value\": %.6f, \"give\": %.6f}", rounded, half);
        return;
    }
    bly_quantity_exact(rounded, dim, BLY_METRIC, value);
    bly_quantity_exact(half, dim, BLY_METRIC, give);
    (void)snprintf(out, size, "{\"value\": \"%s\", \"give\": \"%s\"}", value, give);
}

enum { per_kg = 100000000 };

static void put_piece(const BlyBuild *build, const BlyCorrection *c, BlyEdit *edit) {
    char mass[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    const BlyPart *part = build->fitted.at[c->index].piece[c->part].part;
    bly_quantity_exact(rounded_to(c->after.value, per_kg), BLY_DIM_MASS, BLY_METRIC, mass);
    bly_quantity_exact(rounded_to(c->after.give, per_kg), BLY_DIM_MASS, BLY_METRIC, give);
    (void)snprintf(edit->pointer, sizeof edit->pointer, "/fitted/%s/%s",
                   build->seats[c->index].name, bly_part_kind_name(c->part));
    (void)snprintf(edit->json, sizeof edit->json,
                   "{\"part\": \"%s\", \"mass\": \"%s\", \"give\": \"%s\"}", part->id, mass, give);
}

static const struct {
    const char *pointer; /* NULL: see below */
    BlyDimension dim;
    double per_unit;
} places[BLY_LEARN_KINDS] = {
    [BLY_LEARN_MASS] = {"/body/mass", BLY_DIM_MASS, per_kg},
    [BLY_LEARN_VOLUME] = {"/learnt/volume_factor", BLY_DIM_RATIO, 1e6},
    [BLY_LEARN_BALANCE] = {"/body/balance", BLY_DIM_LENGTH, 1e6},
    [BLY_LEARN_BALANCE_UP] = {"/body/balance_up", BLY_DIM_LENGTH, 1e6},
    [BLY_LEARN_SOAK] = {"/body/soak", BLY_DIM_RATIO, 1e6},
    [BLY_LEARN_EXPANSION] = {"/body/expansion", BLY_DIM_EXPANSION, 1e8},
    [BLY_LEARN_DRAG] = {"/learnt/drag_factor", BLY_DIM_RATIO, 1e6},
    [BLY_LEARN_MUNK] = {"/learnt/munk_factor", BLY_DIM_RATIO, 1e6},
};

/* A density is kept as the bare body's mass, which goes before it, so that the material and with it
 * its expansion stay as they are. */
static void put_edit(const BlyBuild *build, const BlyTankResult *result, const BlyCorrection *c,
                     BlyEdit *edit) {
    if (c->kind == BLY_LEARN_PIECE) {
        put_piece(build, c, edit);
        return;
    }
    if (c->kind == BLY_LEARN_DENSITY) {
        (void)snprintf(edit->pointer, sizeof edit->pointer, "/body/mass");
        put_figure(result->body_mass, BLY_DIM_MASS, per_kg, edit->json, sizeof edit->json);
        return;
    }
    if (c->kind == BLY_LEARN_COAT) {
        (void)snprintf(edit->pointer, sizeof edit->pointer, "/body/coats/%d/thickness", c->index);
        put_figure(c->after, BLY_DIM_LENGTH, 1e8, edit->json, sizeof edit->json);
        return;
    }
    (void)snprintf(edit->pointer, sizeof edit->pointer, "%s", places[c->kind].pointer);
    put_figure(c->after, places[c->kind].dim, places[c->kind].per_unit, edit->json,
               sizeof edit->json);
}

bool learnt_text(const BlyBuild *build, const BlyTankResult *result, char **text, BlyError *err) {
    BlyEdit *edits = calloc(result->correction_count + 1, sizeof *edits);
    size_t count = 0;
    *text = NULL;
    if (edits == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    for (size_t i = 0; i < result->correction_count; i++) {
        if (learnt_worth(&result->corrections[i]))
            put_edit(build, result, &result->corrections[i], &edits[count++]);
    }
    bool good = bly_build_text_with_all(build, edits, count, text, err);
    free(edits);
    return good;
}
