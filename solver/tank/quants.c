/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which quantities of a build may be corrected, and how far: those that the spread of the build has
 * as uncertain inputs, in the form in which a build can hold a correction. What is uncertain of a
 * part, whatever it is, becomes the masses of its pieces. */
#include "tank/model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { QUANTS_MAX = BLY_INPUTS_MAX + 32 * BLY_PART_KINDS };

typedef struct Maker {
    const BlyBuild *build;
    const BlyInput *inputs;
    size_t input_count;
    size_t knob_of[BLY_INPUTS_MAX]; /* of an input that moves pieces */
    bool has_knob[BLY_INPUTS_MAX];
    Quants *out;
} Maker;

/* A quantity with a knob of its own. */
static Quant *add(Quants *out, BlyLearnKind kind, const BlyInput *input, double low, double high) {
    Quant *quant = &out->at[out->count++];
    *quant = (Quant){.kind = kind,
                     .index = -1,
                     .prior = {input->value, input->give},
                     .low = fmin(low, input->value),
                     .high = fmax(high, input->value),
                     .pull = {{out->knob_count++, input->give / SIGMAS_95}},
                     .pull_count = 1};
    return quant;
}

/* Inputs that are a quantity of the build or tank as they stand, within the build file's ranges. */
static void add_plain(Quants *out, const BlyInput *input, const BlyBuild *build) {
    BlyBox box = bly_body_box(build->shape);
    switch (input->kind) {
    case BLY_IN_BODY_DENSITY:
        (void)add(out, BLY_LEARN_DENSITY, input, 10.0, 23000.0);
        break;
    case BLY_IN_BODY_MASS:
        (void)add(out, BLY_LEARN_MASS, input, 1e-6, 50.0);
        break;
    case BLY_IN_VOLUME:
        (void)add(out, BLY_LEARN_VOLUME, input, 0.5, 2.0);
        break;
    case BLY_IN_BALANCE:
        (void)add(out, BLY_LEARN_BALANCE, input, 0.0, box.high.x - box.low.x);
        break;
    case BLY_IN_BALANCE_UP:
        (void)add(out, BLY_LEARN_BALANCE_UP, input, box.low.z, box.high.z);
        break;
    case BLY_IN_SOAK:
        (void)add(out, BLY_LEARN_SOAK, input, 0.0, 1.0);
        break;
    case BLY_IN_EXPANSION:
        (void)add(out, BLY_LEARN_EXPANSION, input, 0.0, 1e-3);
        break;
    case BLY_IN_COAT_THICKNESS:
        add(out, BLY_LEARN_COAT, input, 0.0, 5e-3)->index = input->index;
        break;
    case BLY_IN_COAT_DENSITY:
        add(out, BLY_LEARN_COAT_DENSITY, input, 10.0, 23000.0)->index = input->index;
        break;
    case BLY_IN_INSET_DENSITY:
        add(out, BLY_LEARN_INSET_DENSITY, input, 0.0, 23000.0)->index = input->index;
        break;
    case BLY_IN_INSET_MASS:
        add(out, BLY_LEARN_INSET_MASS, input, 1e-6, 50.0)->index = input->index;
        break;
    case BLY_IN_DRAG:
        (void)add(out, BLY_LEARN_DRAG, input, 0.1, 10.0);
        break;
    case BLY_IN_MUNK:
        (void)add(out, BLY_LEARN_MUNK, input, 0.0, 1.0);
        break;
    case BLY_IN_TEMPERATURE:
        (void)add(out, BLY_LEARN_TEMPERATURE, input, 0.0, 40.0);
        break;
    case BLY_IN_SALINITY:
        (void)add(out, BLY_LEARN_SALINITY, input, 0.0, 0.042);
        break;
    default: /* of a part, or the leader, which is not in the tank */
        break;
    }
}

static bool moves(const BlyInput *input, const BlyItem *item) {
    switch (input->kind) {
    case BLY_IN_PART_MASS:
    case BLY_IN_PART_THICKNESS:
    case BLY_IN_PART_DENSITY:
        return strcmp(input->id, item->part->id) == 0;
    case BLY_IN_PIECE_MASS:
    case BLY_IN_WEIGHED:
        return input->seat == item->seat && input->part_kind == (int)item->part->kind;
    default:
        return false;
    }
}

/* Gauge and density of a sheet move its pieces alike: one knob serves both, the later input's. */
static bool stands_for(const BlyInput *a, const BlyInput *b) {
    return a->kind == BLY_IN_PART_THICKNESS && b->kind == BLY_IN_PART_DENSITY &&
           strcmp(a->id, b->id) == 0;
}

/* A piece that was weighed is not moved by what the catalog says of it. */
static bool weighed(const Maker *maker, const BlyItem *item) {
    const BlyChoice *choice = &maker->build->fitted.at[item->seat];
    return !isnan(choice->piece[item->part->kind].weighed.value);
}

static bool of_piece_alone(const BlyInput *input) {
    return input->kind == BLY_IN_PIECE_MASS || input->kind == BLY_IN_WEIGHED;
}

static void pull_piece(Maker *maker, Quant *quant, const BlyItem *item) {
    double square[2] = {0.0, 0.0}; /* of the catalog's word, of this piece alone */
    size_t knob[2] = {0, 0};
    for (size_t i = 0; i < maker->input_count; i++) {
        const BlyInput *input = &maker->inputs[i];
        if (!moves(input, item) || (input->kind != BLY_IN_WEIGHED && weighed(maker, item)))
            continue;
        size_t at = i;
        for (size_t j = 0; j < maker->input_count; j++) {
            if (stands_for(input, &maker->inputs[j]))
                at = j;
        }
        if (!maker->has_knob[at]) {
            maker->has_knob[at] = true;
            maker->knob_of[at] = maker->out->knob_count++;
        }
        int alone = of_piece_alone(input);
        double share = input->give / input->value / SIGMAS_95;
        square[alone] += share * share;
        knob[alone] = maker->knob_of[at];
    }
    for (int k = 0; k < 2; k++) {
        if (square[k] > 0.0)
            quant->pull[quant->pull_count++] =
                (Pull){knob[k], sqrt(square[k]) * quant->prior.value};
    }
    quant->prior.give = SIGMAS_95 * quant->prior.value * sqrt(square[0] + square[1]);
}

/* The items of one piece stand side by side. */
static void add_pieces(Maker *maker, const BlyLure *lure) {
    Quants *out = maker->out;
    for (size_t i = 0; i < lure->count;) {
        const BlyItem *first = &lure->items[i];
        double mass = 0.0;
        for (; i < lure->count && lure->items[i].seat == first->seat &&
               lure->items[i].part == first->part;
             i++)
            mass += lure->items[i].kind == BLY_ITEM_PART ? lure->items[i].mass : 0.0;
        if (!first->part || !(mass > 0.0) || out->count == QUANTS_MAX)
            continue;
        Quant *quant = &out->at[out->count];
        *quant = (Quant){.kind = BLY_LEARN_PIECE,
                         .index = first->seat,
                         .part = first->part->kind,
                         .prior = {mass, 0.0},
                         .low = 0.01 * mass,
                         .high = 100.0 * mass};
        pull_piece(maker, quant, first);
        out->count += quant->pull_count > 0;
    }
}

static int by_kind(const void *pa, const void *pb) {
    const Quant *a = pa, *b = pb;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    if (a->index != b->index)
        return a->index < b->index ? -1 : 1;
    return a->part < b->part ? -1 : a->part > b->part;
}

/* The name by which the build's ties speak of a quantity. */
static void name_of(const BlyBuild *build, const Quant *quant, char out[BLY_INPUT_NAME_MAX]) {
    static const BlyInputKind kinds[BLY_LEARN_KINDS] = {
        [BLY_LEARN_DENSITY] = BLY_IN_BODY_DENSITY,
        [BLY_LEARN_MASS] = BLY_IN_BODY_MASS,
        [BLY_LEARN_VOLUME] = BLY_IN_VOLUME,
        [BLY_LEARN_BALANCE] = BLY_IN_BALANCE,
        [BLY_LEARN_BALANCE_UP] = BLY_IN_BALANCE_UP,
        [BLY_LEARN_COAT] = BLY_IN_COAT_THICKNESS,
        [BLY_LEARN_SOAK] = BLY_IN_SOAK,
        [BLY_LEARN_EXPANSION] = BLY_IN_EXPANSION,
        [BLY_LEARN_DRAG] = BLY_IN_DRAG,
        [BLY_LEARN_MUNK] = BLY_IN_MUNK,
        [BLY_LEARN_COAT_DENSITY] = BLY_IN_COAT_DENSITY,
        [BLY_LEARN_INSET_DENSITY] = BLY_IN_INSET_DENSITY,
        [BLY_LEARN_INSET_MASS] = BLY_IN_INSET_MASS,
        [BLY_LEARN_PIECE] = BLY_IN_WEIGHED,
        [BLY_LEARN_TEMPERATURE] = BLY_IN_TEMPERATURE,
        [BLY_LEARN_SALINITY] = BLY_IN_SALINITY,
    };
    BlyInput input = {.kind = kinds[quant->kind], .seat = quant->index, .index = quant->index};
    out[0] = '\0';
    if (quant->kind == BLY_LEARN_PIECE) {
        const BlyPiece *piece = &build->fitted.at[quant->index].piece[quant->part];
        if (isnan(piece->weighed.value)) /* the catalog's word: nothing was learnt of it */
            return;
        input.part_kind = (int)quant->part;
        input.id = piece->part->id;
    }
    bly_input_name(build, &input, out);
}

/* A tied quantity is moved by the knobs of all that it is tied to. */
static void pull_together(Quants *out, const double *factor, const Pull *own) {
    size_t n = out->count;
    for (size_t i = 0; i < n; i++) {
        Quant *quant = &out->at[i];
        if (quant->pull_count != 1)
            continue;
        quant->pull_count = 0;
        for (size_t j = 0; j <= i && quant->pull_count < PULLS_MAX; j++) {
            if (factor[i * n + j] != 0.0)
                quant->pull[quant->pull_count++] =
                    (Pull){own[j].knob, own[i].sigma * factor[i * n + j]};
        }
    }
}

static bool tie(const BlyBuild *build, Quants *out, BlyError *err) {
    size_t n = out->count;
    char(*name)[BLY_INPUT_NAME_MAX] = calloc(n + 1, sizeof *name);
    const char **names = calloc(n + 1, sizeof *names);
    double *factor = calloc(n * n + 1, sizeof *factor);
    Pull *own = calloc(n + 1, sizeof *own);
    bool any = false, good = name && names && factor && own;
    if (!good)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what hangs together");
    for (size_t i = 0; good && i < n; i++) {
        name_of(build, &out->at[i], name[i]);
        names[i] = name[i];
        own[i] = out->at[i].pull[0];
    }
    good = good && bly_build_ties(build, names, n, factor, &any, err);
    if (good && any)
        pull_together(out, factor, own);
    free(name);
    free(names);
    free(factor);
    free(own);
    return good;
}

bool quants_of(const BlyBuild *build, const BlyWaterFacts *tank, Quants *out, BlyError *err) {
    BlyInput inputs[BLY_INPUTS_MAX];
    Maker maker = {.build = build, .inputs = inputs, .out = out};
    BlyLure lure = {0};
    *out = (Quants){.at = calloc(QUANTS_MAX, sizeof *out->at)};
    if (!out->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what may be learnt");
    if (!bly_inputs_list(build, &build->fitted, tank, inputs, &maker.input_count, err) ||
        !bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err))
        return false;
    /* Coats first: each new thickness costs a new hull, and the ways in bands.c move what comes
     * after their own knob. */
    for (int coats = 1; coats >= 0; coats--) {
        for (size_t i = 0; i < maker.input_count; i++) {
            if ((inputs[i].kind == BLY_IN_COAT_THICKNESS) == coats)
                add_plain(out, &inputs[i], build);
        }
    }
    add_pieces(&maker, &lure);
    bly_lure_release(&lure);
    qsort(out->at, out->count, sizeof *out->at, by_kind); /* the knobs stay where they are */
    return build->tied_count == 0 || tie(build, out, err);
}

double quant_value(const Quant *quant, const double *z) {
    double value = quant->prior.value;
    for (size_t i = 0; i < quant->pull_count; i++)
        value += quant->pull[i].sigma * z[quant->pull[i].knob];
    return fmin(fmax(value, quant->low), quant->high);
}

void quants_range(const Quants *quants, size_t knob, double *low, double *high) {
    *low = -INFINITY;
    *high = INFINITY;
    for (size_t i = 0; i < quants->count; i++) {
        const Quant *quant = &quants->at[i];
        if (quant->pull_count != 1 || quant->pull[0].knob != knob || quant->kind == BLY_LEARN_PIECE)
            continue;
        *low = (quant->low - quant->prior.value) / quant->pull[0].sigma;
        *high = (quant->high - quant->prior.value) / quant->pull[0].sigma;
    }
}
