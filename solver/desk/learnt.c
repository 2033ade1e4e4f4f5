/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Corrections as edits of the build's file. */
#include "desk/learnt.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "ballastry/units.h"
#include "text/format.h"
#include "text/text.h"

bool learnt_worth(const BlyCorrection *c) {
    double moved = fabs(c->after.value - c->before.value) / c->before.give;
    if (c->kind == BLY_LEARN_TEMPERATURE || c->kind == BLY_LEARN_SALINITY)
        return false;
    if (c->kind == BLY_LEARN_PIECE) /* parts are many, and what moves them moves the body more */
        return c->learnt >= 0.01 || moved > 0.03;
    return c->learnt >= 0.005 || moved > 0.005;
}

/* Hangs together with a figure of body or coat that was learnt of: left out, what is known of their
 * sum would be lost. */
static bool tied(const BlyTankResult *result, size_t correction) {
    static const double felt = 0.03;
    const double *row = result->together + correction * result->correction_count;
    for (size_t k = 0; k < result->correction_count; k++) {
        const BlyCorrection *other = &result->corrections[k];
        if (k != correction && other->kind != BLY_LEARN_PIECE && learnt_worth(other) &&
            fabs(row[k]) >= felt)
            return true;
    }
    return false;
}

/* Where figures are tied already, all are written, whether the new readings told of them or not. */
static bool worth_writing(const BlyBuild *build, const BlyTankResult *result, size_t correction) {
    const BlyCorrection *c = &result->corrections[correction];
    if (c->kind == BLY_LEARN_TEMPERATURE || c->kind == BLY_LEARN_SALINITY)
        return false;
    return learnt_worth(c) || build->tied_count > 0 || tied(result, correction);
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
        (void)bly_format(out, size, "{\"value\": %.6f, \"give\": %.6f}", rounded, half);
        return;
    }
    bly_quantity_exact(rounded, dim, BLY_METRIC, value);
    bly_quantity_exact(half, dim, BLY_METRIC, give);
    (void)snprintf(out, size, "{\"value\": \"%s\", \"give\": \"%s\"}", value, give);
}

enum { per_kg = 100000000 };

/* An edit with the text that it puts. */
typedef struct Draft {
    char pointer[128], json[256];
    char tie[160]; /* the name by which ties speak of it */
    size_t correction;
} Draft;

static void put_piece(const BlyBuild *build, const BlyCorrection *c, Draft *draft) {
    char mass[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    const BlyPart *part = build->fitted.at[c->index].piece[c->part].part;
    bly_quantity_exact(rounded_to(c->after.value, per_kg), BLY_DIM_MASS, BLY_METRIC, mass);
    bly_quantity_exact(rounded_to(c->after.give, per_kg), BLY_DIM_MASS, BLY_METRIC, give);
    (void)snprintf(draft->pointer, sizeof draft->pointer, "/fitted/%s/%s",
                   build->seats[c->index].name, bly_part_kind_name(c->part));
    (void)snprintf(draft->tie, sizeof draft->tie, "%.90s/%.60s", draft->pointer, part->id);
    (void)snprintf(draft->json, sizeof draft->json,
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
static void put_draft(const BlyBuild *build, const BlyTankResult *result, size_t correction,
                      Draft *draft) {
    const BlyCorrection *c = &result->corrections[correction];
    draft->correction = correction;
    if (c->kind == BLY_LEARN_PIECE) {
        put_piece(build, c, draft);
        return;
    }
    if (c->kind == BLY_LEARN_DENSITY) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/mass");
        put_figure(result->body_mass, BLY_DIM_MASS, per_kg, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_COAT_DENSITY) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/coats/%d/density", c->index);
        put_figure(c->after, BLY_DIM_DENSITY, 1e2, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_INSET_DENSITY) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/pieces/%d/density", c->index);
        put_figure(c->after, BLY_DIM_DENSITY, 1e2, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_INSET_MASS) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/pieces/%d/mass", c->index);
        put_figure(c->after, BLY_DIM_MASS, per_kg, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_COAT) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/coats/%d/thickness", c->index);
        put_figure(c->after, BLY_DIM_LENGTH, 1e8, draft->json, sizeof draft->json);
    } else {
        bool pieces = build->facts.inset_count > 0;
        const char *pointer = places[c->kind].pointer;
        if (c->kind == BLY_LEARN_BALANCE && pieces && !build->facts.balance_of_all)
            pointer = "/body/core_balance";
        if (c->kind == BLY_LEARN_BALANCE_UP && pieces && !build->facts.balance_up_of_all)
            pointer = "/body/core_balance_up";
        (void)snprintf(draft->pointer, sizeof draft->pointer, "%s", pointer);
        put_figure(c->after, places[c->kind].dim, places[c->kind].per_unit, draft->json,
                   sizeof draft->json);
    }
    (void)snprintf(draft->tie, sizeof draft->tie, "%s", draft->pointer);
}

/* Pieces of one id may be off all alike: a correlation of 1, which no Cholesky factor has. Drawn so
 * little towards independence, the whole is safe, and a sum that rests on gives of 100 mg is off by
 * a tenth of a milligram. */
static const double all_but_one = 1.0 - 1e-6;

/* How what is written hangs together: {"of": [names], "r": [rows below the diagonal]}. */
static void put_ties(const BlyTankResult *result, const Draft *drafts, size_t count, BlyText *out) {
    bly_text_appendf(out, "{\"of\": [");
    for (size_t i = 0; i < count; i++)
        bly_text_appendf(out, "%s\"%s\"", i > 0 ? ", " : "", drafts[i].tie);
    bly_text_appendf(out, "], \"r\": [");
    for (size_t i = 1; i < count; i++) {
        const double *row = result->together + drafts[i].correction * result->correction_count;
        for (size_t j = 0; j < i; j++)
            bly_text_appendf(out, "%s%.9f",
                             j > 0   ? ", "
                             : i > 1 ? "], ["
                                     : "[",
                             all_but_one * row[drafts[j].correction]);
    }
    bly_text_appendf(out, "]]}");
}

static bool put_all(const BlyBuild *build, const BlyTankResult *result, const Draft *drafts,
                    size_t count, char **text, BlyError *err) {
    BlyText ties;
    BlyEdit *edits = calloc(count + 1, sizeof *edits);
    if (edits == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    bly_text_init(&ties);
    for (size_t i = 0; i < count; i++) {
        (void)snprintf(edits[i].pointer, sizeof edits[i].pointer, "%s", drafts[i].pointer);
        edits[i].json = drafts[i].json;
    }
    size_t edit_count = count;
    if (count > 1) {
        put_ties(result, drafts, count, &ties);
        (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "/learnt/ties");
        edits[edit_count++].json = bly_text_string(&ties);
    }
    bool good =
        bly_text_good(&ties, err) && bly_build_text_with_all(build, edits, edit_count, text, err);
    bly_text_release(&ties);
    free(edits);
    return good;
}

bool learnt_text(const BlyBuild *build, const BlyTankResult *result, char **text, BlyError *err) {
    Draft *drafts = calloc(result->correction_count + 1, sizeof *drafts);
    size_t count = 0;
    *text = NULL;
    if (drafts == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    for (size_t i = 0; i < result->correction_count; i++) {
        if (worth_writing(build, result, i))
            put_draft(build, result, i, &drafts[count++]);
    }
    bool good = put_all(build, result, drafts, count, text, err);
    free(drafts);
    return good;
}
