/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Corrections as edits of the build's file. */
#include "desk/learnt.h"
#include "desk/stages.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "ballastry/units.h"
#include "json/json.h"
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

/* A piece that hangs or lies on the lure only later than all that was read, and was not weighed. */
static bool not_on_yet(const BlyBuild *build, const LearntNotes *notes, const BlyCorrection *c) {
    if (notes == NULL || notes->count == 0 || c->kind != BLY_LEARN_PIECE)
        return false;
    const BlyChosenPart *piece = &build->fitted.at[c->index].of[c->part];
    const BlyItem item = {.kind = BLY_ITEM_PART, .part = piece->part};
    for (size_t i = 0; i < notes->count; i++) {
        if (notes->readings[i].stage >= bly_item_stage(&item))
            return false;
    }
    return isnan(piece->weighed.value);
}

/* Where figures are tied already, all are written, whether the new readings told of them or not. */
static bool worth_writing(const BlyBuild *build, const BlyTankResult *result,
                          const LearntNotes *notes, size_t correction) {
    const BlyCorrection *c = &result->corrections[correction];
    if (c->kind == BLY_LEARN_TEMPERATURE || c->kind == BLY_LEARN_SALINITY ||
        not_on_yet(build, notes, c))
        return false;
    return learnt_worth(c) || build->tied_count > 0 || tied(result, correction);
}

/* As many digits as the give is good for, and two more: a sum over many figures stays whole. */
static const double share_of_give = 1e-3, give_of_give = 5e-3;

static void put_figure(BlyFigure figure, BlyDimension dim, char *out, size_t size) {
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    double within = share_of_give * figure.give;
    if (dim == BLY_DIM_RATIO) { /* bare, as JSON numbers */
        int places = 1 - (int)floor(log10(fmax(within, 1e-9)));
        (void)bly_format(out, size, "{\"value\": %.*f, \"give\": %.*f}", places, figure.value,
                         places, figure.give);
        return;
    }
    bly_quantity_within(figure.value, within, dim, BLY_METRIC, value);
    bly_quantity_within(figure.give, give_of_give * figure.give, dim, BLY_METRIC, give);
    (void)snprintf(out, size, "{\"value\": \"%s\", \"give\": \"%s\"}", value, give);
}

/* An edit with the text that it puts. */
typedef struct Draft {
    char pointer[128], json[256];
    char tie[160]; /* the name by which ties speak of it */
    size_t correction;
} Draft;

static void put_piece(const BlyBuild *build, const BlyCorrection *c, Draft *draft) {
    char mass[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    const BlyPart *part = build->fitted.at[c->index].of[c->part].part;
    double within = share_of_give * c->after.give;
    bly_quantity_within(c->after.value, within, BLY_DIM_MASS, BLY_METRIC, mass);
    bly_quantity_within(c->after.give, give_of_give * c->after.give, BLY_DIM_MASS, BLY_METRIC,
                        give);
    (void)snprintf(draft->pointer, sizeof draft->pointer, "/fitted/%s/%s",
                   build->seats[c->index].name, bly_part_kind_name(c->part));
    (void)snprintf(draft->tie, sizeof draft->tie, "%.90s/%.60s", draft->pointer, part->id);
    (void)snprintf(draft->json, sizeof draft->json,
                   "{\"part\": \"%s\", \"mass\": \"%s\", \"give\": \"%s\"}", part->id, mass, give);
}

static const struct {
    const char *pointer; /* NULL: see below */
    BlyDimension dim;
} places[BLY_LEARN_KINDS] = {
    [BLY_LEARN_MASS] = {"/body/mass", BLY_DIM_MASS},
    [BLY_LEARN_VOLUME] = {"/learnt/volume_factor", BLY_DIM_RATIO},
    [BLY_LEARN_BALANCE] = {"/body/balance", BLY_DIM_LENGTH},
    [BLY_LEARN_BALANCE_UP] = {"/body/balance_up", BLY_DIM_LENGTH},
    [BLY_LEARN_SOAK] = {"/body/soak", BLY_DIM_RATIO},
    [BLY_LEARN_EXPANSION] = {"/body/expansion", BLY_DIM_EXPANSION},
    [BLY_LEARN_DRAG] = {"/learnt/drag_factor", BLY_DIM_RATIO},
    [BLY_LEARN_MUNK] = {"/learnt/munk_factor", BLY_DIM_RATIO},
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
        put_figure(result->body_mass, BLY_DIM_MASS, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_COAT_DENSITY) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/coats/%d/density", c->index);
        put_figure(c->after, BLY_DIM_DENSITY, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_INSET_DENSITY) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/pieces/%d/density", c->index);
        put_figure(c->after, BLY_DIM_DENSITY, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_INSET_MASS) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/pieces/%d/mass", c->index);
        put_figure(c->after, BLY_DIM_MASS, draft->json, sizeof draft->json);
    } else if (c->kind == BLY_LEARN_COAT) {
        (void)snprintf(draft->pointer, sizeof draft->pointer, "/body/coats/%d/thickness", c->index);
        put_figure(c->after, BLY_DIM_LENGTH, draft->json, sizeof draft->json);
    } else {
        bool pieces = build->facts.inset_count > 0;
        const char *pointer = places[c->kind].pointer;
        if (c->kind == BLY_LEARN_BALANCE && pieces && !build->facts.balance_of_all)
            pointer = "/body/core_balance";
        if (c->kind == BLY_LEARN_BALANCE_UP && pieces && !build->facts.balance_up_of_all)
            pointer = "/body/core_balance_up";
        (void)snprintf(draft->pointer, sizeof draft->pointer, "%s", pointer);
        put_figure(c->after, places[c->kind].dim, draft->json, sizeof draft->json);
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

/* Edits that put one entry a reading behind those that the build keeps. What the build said before
 * is told of the first scale reading; it knew nothing of the others. */
static bool put_notes(const BlyBuild *build, const LearntNotes *notes, BlyText *texts,
                      BlyEdit *edits, size_t *edit_count, BlyError *err) {
    bool first = true, good = true;
    if (build->reading_count == 0 && notes->count > 0) {
        (void)snprintf(edits[*edit_count].pointer, sizeof edits->pointer, "/readings");
        edits[(*edit_count)++].json = "[]";
    }
    for (size_t i = 0; good && i < notes->count; i++) {
        const BlyReading *reading = &notes->readings[i];
        BlyFigure planned = {NAN, 0.0};
        if (reading->kind == BLY_READ_SCALE && first) {
            first = false;
            good = stages_planned(build, reading, notes->water, &planned, err);
        }
        stages_entry(reading, &planned, notes->on, &texts[i]);
        good = good && bly_text_good(&texts[i], err);
        (void)snprintf(edits[*edit_count].pointer, sizeof edits->pointer, "/readings/-");
        edits[(*edit_count)++].json = bly_text_string(&texts[i]);
    }
    return good;
}

static size_t put_drafts(const BlyTankResult *result, const Draft *drafts, size_t count,
                         BlyText *ties, BlyEdit *edits) {
    for (size_t i = 0; i < count; i++) {
        (void)snprintf(edits[i].pointer, sizeof edits[i].pointer, "%s", drafts[i].pointer);
        edits[i].json = drafts[i].json;
    }
    if (count < 2)
        return count;
    put_ties(result, drafts, count, ties);
    (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "/learnt/ties");
    edits[count].json = bly_text_string(ties);
    return count + 1;
}

static bool put_all(const BlyBuild *build, const BlyTankResult *result, const Draft *drafts,
                    size_t count, const LearntNotes *notes, const char *lure, char **text,
                    BlyError *err) {
    const LearntNotes none = {0};
    BlyText name = {0};
    notes = notes != NULL ? notes : &none;
    BlyText *texts = calloc(notes->count + 1, sizeof *texts); /* the last: ties */
    BlyEdit *edits = calloc(count + notes->count + 3, sizeof *edits);
    bool good = texts != NULL && edits != NULL;
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    for (size_t i = 0; good && i <= notes->count; i++)
        bly_text_init(&texts[i]);
    if (good) {
        size_t edit_count = put_drafts(result, drafts, count, &texts[notes->count], edits);
        good = bly_text_good(&texts[notes->count], err) &&
               put_notes(build, notes, texts, edits, &edit_count, err);
        if (lure != NULL && lure[0] != '\0') {
            bly_json_print_string(lure, &name);
            (void)snprintf(edits[edit_count].pointer, sizeof edits->pointer, "/learnt/lure");
            edits[edit_count++].json = bly_text_string(&name);
        }
        good = good && bly_text_good(&name, err) &&
               bly_build_text_with_all(build, edits, edit_count, text, err);
    }
    for (size_t i = 0; texts != NULL && edits != NULL && i <= notes->count; i++)
        bly_text_release(&texts[i]);
    bly_text_release(&name);
    free(texts);
    free(edits);
    return good;
}

bool learnt_text(const BlyBuild *build, const BlyTankResult *result, const LearntNotes *notes,
                 char **text, BlyError *err) {
    return learnt_text_named(build, result, notes, NULL, text, err);
}

bool learnt_text_named(const BlyBuild *build, const BlyTankResult *result, const LearntNotes *notes,
                       const char *lure, char **text, BlyError *err) {
    Draft *drafts = calloc(result->correction_count + 1, sizeof *drafts);
    size_t count = 0;
    *text = NULL;
    if (drafts == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    for (size_t i = 0; i < result->correction_count; i++) {
        if (worth_writing(build, result, notes, i))
            put_draft(build, result, i, &drafts[count++]);
    }
    bool good = put_all(build, result, drafts, count, notes, lure, text, err);
    free(drafts);
    return good;
}
