/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which quantities of a build may be corrected, and how far: those that the spread of the build has
 * as uncertain inputs, in the form in which a build can hold a correction. What is uncertain of a
 * part, whatever it is, becomes the masses of its pieces. */
#include "tank/forward.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { QUANTITIES_MAX = BLY_INPUTS_MAX + 32 * BLY_PART_KINDS };

typedef struct Maker {
    const BlyBuild *build;
    const BlyInput *inputs;
    size_t input_count;
    size_t parameter_of[BLY_INPUTS_MAX]; /* of an input that moves pieces */
    bool has_parameter[BLY_INPUTS_MAX];
    Quantities *out;
} Maker;

/* Inputs that are a quantity of the build or tank as they stand, and the build file's ranges; of a
 * balance point the body's box. */
static const struct {
    bool plain; /* others are of a part, or the leader, which is not in the tank */
    BlyLearnKind kind;
    double low, high;
} learnt_as[BLY_INPUT_KINDS] = {
    [BLY_IN_BODY_DENSITY] = {true, BLY_LEARN_DENSITY, 10.0, 23000.0},
    [BLY_IN_BODY_MASS] = {true, BLY_LEARN_MASS, 1e-6, 50.0},
    [BLY_IN_VOLUME] = {true, BLY_LEARN_VOLUME, 0.5, 2.0},
    [BLY_IN_BALANCE] = {true, BLY_LEARN_BALANCE, NAN, NAN},
    [BLY_IN_BALANCE_UP] = {true, BLY_LEARN_BALANCE_UP, NAN, NAN},
    [BLY_IN_SOAK] = {true, BLY_LEARN_SOAK, 0.0, 1.0},
    [BLY_IN_EXPANSION] = {true, BLY_LEARN_EXPANSION, 0.0, 1e-3},
    [BLY_IN_COAT_THICKNESS] = {true, BLY_LEARN_COAT, 0.0, 5e-3},
    [BLY_IN_COAT_DENSITY] = {true, BLY_LEARN_COAT_DENSITY, 10.0, 23000.0},
    [BLY_IN_INSET_DENSITY] = {true, BLY_LEARN_INSET_DENSITY, 0.0, 23000.0},
    [BLY_IN_INSET_MASS] = {true, BLY_LEARN_INSET_MASS, 1e-6, 50.0},
    [BLY_IN_DRAG] = {true, BLY_LEARN_DRAG, 0.1, 10.0},
    [BLY_IN_MUNK] = {true, BLY_LEARN_MUNK, 0.0, 1.0},
    [BLY_IN_TEMPERATURE] = {true, BLY_LEARN_TEMPERATURE, 0.0, BLY_WATER_WARMEST},
    [BLY_IN_SALINITY] = {true, BLY_LEARN_SALINITY, 0.0, BLY_WATER_SALTIEST},
};

static void range_of(const BlyBuild *build, BlyInputKind kind, double *low, double *high) {
    BlyBox box = bly_body_box(build->shape);
    *low = learnt_as[kind].low;
    *high = learnt_as[kind].high;
    if (kind == BLY_IN_BALANCE) {
        *low = 0.0;
        *high = box.high.x - box.low.x;
    } else if (kind == BLY_IN_BALANCE_UP) {
        *low = box.low.z;
        *high = box.high.z;
    }
}

/* A quantity with a parameter of its own. */
static void add_plain(Quantities *out, const BlyInput *input, const BlyBuild *build) {
    double low, high;
    if (!learnt_as[input->kind].plain)
        return;
    range_of(build, input->kind, &low, &high);
    out->at[out->count++] =
        (Quantity){.kind = learnt_as[input->kind].kind,
                   .input = input->kind,
                   .index = input->index,
                   .prior = {input->value, input->give},
                   .low = fmin(low, input->value),
                   .high = fmax(high, input->value),
                   .pull = {{out->parameter_count++, input->give / BLY_SIGMAS_95}},
                   .pull_count = 1};
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

/* Gauge and density of a sheet move its pieces alike: one parameter serves both, the later input's.
 */
static bool stands_for(const BlyInput *a, const BlyInput *b) {
    return a->kind == BLY_IN_PART_THICKNESS && b->kind == BLY_IN_PART_DENSITY &&
           strcmp(a->id, b->id) == 0;
}

/* A piece that was weighed is not moved by what the catalog says of it. */
static bool weighed(const Maker *maker, const BlyItem *item) {
    const BlyChoice *choice = &maker->build->fitted.at[item->seat];
    return !isnan(choice->of[item->part->kind].weighed.value);
}

static bool of_piece_alone(const BlyInput *input) {
    return input->kind == BLY_IN_PIECE_MASS || input->kind == BLY_IN_WEIGHED;
}

static void pull_piece(Maker *maker, Quantity *quantity, const BlyItem *item) {
    double square[2] = {0.0, 0.0}; /* of the catalog's word, of this piece alone */
    size_t parameter[2] = {0, 0};
    for (size_t i = 0; i < maker->input_count; i++) {
        const BlyInput *input = &maker->inputs[i];
        if (!moves(input, item) || (input->kind != BLY_IN_WEIGHED && weighed(maker, item)))
            continue;
        size_t at = i;
        for (size_t j = 0; j < maker->input_count; j++) {
            if (stands_for(input, &maker->inputs[j]))
                at = j;
        }
        if (!maker->has_parameter[at]) {
            maker->has_parameter[at] = true;
            maker->parameter_of[at] = maker->out->parameter_count++;
        }
        int alone = of_piece_alone(input);
        double share = input->give / input->value / BLY_SIGMAS_95;
        square[alone] += share * share;
        parameter[alone] = maker->parameter_of[at];
    }
    for (int k = 0; k < 2; k++) {
        if (square[k] > 0.0)
            quantity->pull[quantity->pull_count++] =
                (Pull){parameter[k], sqrt(square[k]) * quantity->prior.value};
    }
    quantity->prior.give = BLY_SIGMAS_95 * quantity->prior.value * sqrt(square[0] + square[1]);
}

/* The items of one piece stand side by side. */
static void add_pieces(Maker *maker, const BlyLure *lure) {
    Quantities *out = maker->out;
    for (size_t i = 0; i < lure->count;) {
        const BlyItem *first = &lure->items[i];
        double mass = 0.0;
        for (; i < lure->count && lure->items[i].seat == first->seat &&
               lure->items[i].part == first->part;
             i++)
            mass += lure->items[i].kind == BLY_ITEM_PART ? lure->items[i].mass : 0.0;
        if (!first->part || !(mass > 0.0) || out->count == QUANTITIES_MAX)
            continue;
        Quantity *quantity = &out->at[out->count];
        *quantity = (Quantity){.kind = BLY_LEARN_PIECE,
                               .input = BLY_IN_WEIGHED,
                               .index = first->seat,
                               .part = first->part->kind,
                               .prior = {mass, 0.0},
                               .low = 0.01 * mass,
                               .high = 100.0 * mass};
        pull_piece(maker, quantity, first);
        out->count += quantity->pull_count > 0;
    }
}

static int by_kind(const void *pa, const void *pb) {
    const Quantity *a = pa, *b = pb;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    if (a->index != b->index)
        return a->index < b->index ? -1 : 1;
    return a->part < b->part ? -1 : a->part > b->part;
}

/* The input as the build's ties may speak of it: of a piece that was not weighed they cannot, for
 * nothing was learnt of the catalog's word. */
static BlyInput input_of(const BlyBuild *build, const Quantity *quantity) {
    BlyInput input = {
        .kind = quantity->input, .id = "", .seat = quantity->index, .index = quantity->index};
    if (quantity->kind != BLY_LEARN_PIECE)
        return input;
    const BlyChosenPart *piece = &build->fitted.at[quantity->index].of[quantity->part];
    if (isnan(piece->weighed.value))
        input.kind = BLY_IN_PIECE_MASS;
    input.part_kind = (int)quantity->part;
    input.id = piece->part->id;
    return input;
}

/* A tied quantity is moved by the parameters of all that it is tied to. */
static void pull_together(Quantities *out, const double *factor, const Pull *own) {
    size_t n = out->count;
    for (size_t i = 0; i < n; i++) {
        Quantity *quantity = &out->at[i];
        if (quantity->pull_count != 1)
            continue;
        quantity->pull_count = 0;
        for (size_t j = 0; j <= i && quantity->pull_count < PULLS_MAX; j++) {
            if (factor[i * n + j] != 0.0)
                quantity->pull[quantity->pull_count++] =
                    (Pull){own[j].parameter, own[i].sigma * factor[i * n + j]};
        }
    }
}

static bool tie(const BlyBuild *build, Quantities *out, BlyError *err) {
    size_t n = out->count;
    BlyInput *inputs = calloc(n + 1, sizeof *inputs);
    double *factor = calloc(n * n + 1, sizeof *factor);
    Pull *own = calloc(n + 1, sizeof *own);
    bool any = false, good = inputs && factor && own;
    if (!good)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for how figures depend on each other");
    for (size_t i = 0; good && i < n; i++) {
        inputs[i] = input_of(build, &out->at[i]);
        own[i] = out->at[i].pull[0];
    }
    good = good && uncertain_ties(build, inputs, n, factor, &any, err);
    if (good && any)
        pull_together(out, factor, own);
    free(inputs);
    free(factor);
    free(own);
    return good;
}

bool quantities_of(const BlyBuild *build, const BlyWaterFacts *tank, Quantities *out,
                   BlyError *err) {
    BlyInput inputs[BLY_INPUTS_MAX];
    Maker maker = {.build = build, .inputs = inputs, .out = out};
    BlyLure lure = {0};
    *out = (Quantities){.at = calloc(QUANTITIES_MAX, sizeof *out->at)};
    if (!out->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what may be learnt");
    if (!bly_inputs_list(build, &build->fitted, tank, inputs, &maker.input_count, err) ||
        !bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err))
        return false;
    /* Coats first: each new thickness costs a new hull, and the ways in bands.c move what comes
     * after their own parameter. */
    for (int coats = 1; coats >= 0; coats--) {
        for (size_t i = 0; i < maker.input_count; i++) {
            if ((inputs[i].kind == BLY_IN_COAT_THICKNESS) == coats)
                add_plain(out, &inputs[i], build);
        }
    }
    add_pieces(&maker, &lure);
    bly_lure_release(&lure);
    qsort(out->at, out->count, sizeof *out->at, by_kind); /* the parameters stay where they are */
    return build->tied_count == 0 || tie(build, out, err);
}

double quantity_value(const Quantity *quantity, const double *z) {
    double value = quantity->prior.value;
    for (size_t i = 0; i < quantity->pull_count; i++)
        value += quantity->pull[i].sigma * z[quantity->pull[i].parameter];
    return fmin(fmax(value, quantity->low), quantity->high);
}

void quantities_range(const Quantities *quantities, size_t parameter, double *low, double *high) {
    *low = -INFINITY;
    *high = INFINITY;
    for (size_t i = 0; i < quantities->count; i++) {
        const Quantity *quantity = &quantities->at[i];
        if (quantity->pull_count != 1 || quantity->pull[0].parameter != parameter ||
            quantity->kind == BLY_LEARN_PIECE)
            continue;
        *low = (quantity->low - quantity->prior.value) / quantity->pull[0].sigma;
        *high = (quantity->high - quantity->prior.value) / quantity->pull[0].sigma;
    }
}
