/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The readings that a maker can take at a stage, each as a sum over the uncertain inputs. */
#include "worth/worth.h"

#include "ballastry/tank.h"

#include <math.h>
#include <string.h>

/* Minutes: common practice, no source. */
static const double minutes[WORTH_KINDS] = {
    [WORTH_PIECE] = 1, [WORTH_FIVE] = 1, [WORTH_BLANK] = 1, [WORTH_CUP] = 3,  [WORTH_BALANCE] = 2,
    [WORTH_GAUGE] = 1, [WORTH_COAT] = 2, [WORTH_WATER] = 1, [WORTH_LURE] = 1, [WORTH_THREAD] = 3};

/* Gives of 95 of 100: docs/format.md, Defaults; a micrometer and a good thermometer from memory. */
static const double scale = 0.02e-3, cup = 0.05e-3, cup_share = 0.003, edge = 0.5e-3,
                    micrometer = 0.01e-3, thermometer = 0.3;

double worth_minutes(WorthKind kind) {
    return (unsigned)kind < WORTH_KINDS ? minutes[kind] : NAN;
}

typedef struct List {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyInput *inputs;
    size_t input_count, count;
    TrimKnown *known;
    WorthAct *act;
} List;

static TrimKnown *add(List *l, WorthKind kind, int seat, const BlyPart *part, double give) {
    if (l->count == TRIM_KNOWN_MAX)
        return NULL;
    l->act[l->count] = (WorthAct){kind, seat, part, minutes[kind], NAN};
    TrimKnown *known = &l->known[l->count++];
    memset(known, 0, sizeof *known);
    known->sigma = give / BLY_SIGMAS_95;
    return known;
}

/* Nothing in it that is uncertain: no reading. */
static void keep(List *l, const TrimKnown *known) {
    bool any = false;
    for (size_t i = 0; known != NULL && i < l->input_count; i++)
        any = any || known->row[i] != 0.0;
    if (known != NULL && !any)
        l->count--;
}

/* What moves the mass of a piece that weighs `mass` at a seat. */
static double of_piece(const BlyInput *input, int seat, const BlyPart *part, double mass) {
    bool same = input->id != NULL && strcmp(input->id, part->id) == 0;
    switch (input->kind) {
    case BLY_IN_PART_MASS:
    case BLY_IN_PART_THICKNESS:
    case BLY_IN_PART_DENSITY:
        return same ? mass * input->give / input->value / BLY_SIGMAS_95 : 0.0;
    case BLY_IN_PIECE_MASS:
        return same && input->seat == seat ? mass * input->give / input->value / BLY_SIGMAS_95
                                           : 0.0;
    default:
        return 0.0;
    }
}

/* kg of the parts of one kind at a seat; 0 where it cannot be told. */
static double piece_mass(const List *l, size_t seat, const BlyPart *part) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    double mass = 0.0;
    if (!bly_choice_items(&l->build->blank, &l->build->seats[seat], (int)seat, &l->rig->at[seat],
                          items, &count, NULL))
        return 0.0;
    for (size_t i = 0; i < count; i++)
        mass += items[i].kind == BLY_ITEM_PART && items[i].part == part ? items[i].mass : 0.0;
    return mass;
}

static void add_piece(List *l, size_t seat, const BlyPart *part) {
    double mass = piece_mass(l, seat, part);
    TrimKnown *known = add(l, WORTH_PIECE, (int)seat, part, scale);
    for (size_t i = 0; known != NULL && i < l->input_count; i++)
        known->row[i] = of_piece(&l->inputs[i], (int)seat, part, mass);
    keep(l, known);
}

static bool listed(const List *l, WorthKind kind, const BlyPart *part) {
    for (size_t i = 0; i < l->count; i++) {
        if (l->act[i].kind == kind && l->act[i].part == part)
            return true;
    }
    return false;
}

static void add_by_id(List *l, WorthKind kind, BlyInputKind of, const BlyPart *part, double give) {
    if (listed(l, kind, part))
        return;
    TrimKnown *known = add(l, kind, -1, part, give);
    for (size_t i = 0; known != NULL && i < l->input_count; i++) {
        const BlyInput *input = &l->inputs[i];
        if (input->kind == of && strcmp(input->id, part->id) == 0)
            known->row[i] = input->give / BLY_SIGMAS_95;
    }
    keep(l, known);
}

/* Of hooks each is weighed by itself, for they differ; of eyes, rings and snaps five together. */
static void add_parts(List *l, BlyStage reached, bool begun) {
    for (size_t s = 0; s < l->rig->count; s++) {
        for (int k = 0; k < BLY_PART_KINDS; k++) {
            const BlyChosenPart *piece = &l->rig->at[s].of[k];
            const BlyItem item = {.kind = BLY_ITEM_PART, .part = piece->part};
            if (piece->part == NULL || !isnan(piece->weighed.value) ||
                (begun && bly_item_stage(&item) <= reached))
                continue;
            if (k == BLY_PART_HOOK || k == BLY_PART_SHEET || k == BLY_PART_STRIP)
                add_piece(l, s, piece->part);
            else if (k == BLY_PART_EYE || k == BLY_PART_RING || k == BLY_PART_SNAP)
                add_by_id(l, WORTH_FIVE, BLY_IN_PART_MASS, piece->part, scale / 5.0);
            if (k == BLY_PART_SHEET || k == BLY_PART_STRIP)
                add_by_id(l, WORTH_GAUGE, BLY_IN_PART_THICKNESS, piece->part, micrometer);
        }
    }
}

static double of_blank(const List *l, const BlyInput *input) {
    const BlyBlank *blank = &l->build->blank;
    const BlyBodyFacts *facts = &blank->facts;
    double share = input->give / input->value / BLY_SIGMAS_95;
    switch (input->kind) {
    case BLY_IN_BODY_DENSITY:
        return blank->items[0].mass * share;
    case BLY_IN_BODY_MASS:
        return input->give / BLY_SIGMAS_95;
    case BLY_IN_VOLUME:
        return isnan(facts->mass.value) ? blank->body_mass * share : 0.0;
    case BLY_IN_INSET_DENSITY:
        return isnan(facts->mass.value)
                   ? bly_inset_weighs(&facts->insets[input->index], facts->volume_share.value)
                             .value *
                         share
                   : 0.0;
    default:
        return 0.0;
    }
}

/* What the bare blank can be asked, until it is cut. */
static void add_blank(List *l) {
    double volume = l->build->blank.hull_volume; /* but for the coat: the share is what counts */
    TrimKnown *known = add(l, WORTH_BLANK, -1, NULL, scale);
    for (size_t i = 0; known != NULL && i < l->input_count; i++)
        known->row[i] = of_blank(l, &l->inputs[i]);
    keep(l, known);
    known = add(l, WORTH_CUP, -1, NULL, cup + cup_share * 1e3 * volume);
    for (size_t i = 0; known != NULL && i < l->input_count; i++) {
        if (l->inputs[i].kind == BLY_IN_VOLUME)
            known->row[i] = 1e3 * volume * l->inputs[i].give / BLY_SIGMAS_95;
    }
    keep(l, known);
    known = add(l, WORTH_BALANCE, -1, NULL, edge);
    for (size_t i = 0; known != NULL && i < l->input_count; i++) {
        if (l->inputs[i].kind == BLY_IN_BALANCE)
            known->row[i] = l->inputs[i].give / BLY_SIGMAS_95;
    }
    keep(l, known);
}

/* The scale before and after: what all coats weigh together. */
static void add_coat(List *l) {
    const BlyBlank *blank = &l->build->blank;
    TrimKnown *known = add(l, WORTH_COAT, -1, NULL, hypot(scale, scale));
    int coat = 0;
    for (size_t k = 0; known != NULL && k < blank->item_count; k++) {
        if (blank->items[k].kind != BLY_ITEM_COAT)
            continue;
        while ((size_t)coat < l->build->coat_count && !(l->build->coats[coat].thickness.value > 0))
            coat++;
        for (size_t i = 0; i < l->input_count; i++) {
            const BlyInput *input = &l->inputs[i];
            if ((input->kind == BLY_IN_COAT_THICKNESS || input->kind == BLY_IN_COAT_DENSITY) &&
                input->index == coat)
                known->row[i] = blank->items[k].mass * input->give / input->value / BLY_SIGMAS_95;
        }
        coat++;
    }
    keep(l, known);
}

static void add_water(List *l) {
    TrimKnown *known = add(l, WORTH_WATER, -1, NULL, thermometer);
    for (size_t i = 0; known != NULL && i < l->input_count; i++) {
        if (l->inputs[i].kind == BLY_IN_TEMPERATURE)
            known->row[i] = l->inputs[i].give / BLY_SIGMAS_95;
    }
    keep(l, known);
}

/* What the finished lure itself can be asked, once all of it hangs. */
static void add_whole(List *l) {
    TrimKnown *known = add(l, WORTH_LURE, -1, NULL, bly_reading_give(BLY_READ_SCALE));
    if (known != NULL)
        known->what = TRIM_KNOWS_MASS;
    known = add(l, WORTH_THREAD, -1, NULL, bly_reading_give(BLY_READ_IN_WATER));
    if (known != NULL)
        known->what = TRIM_KNOWS_NET;
}

size_t worth_list(const BlyBuild *build, const BlyRig *rig, const BlyInput *inputs, size_t count,
                  TrimKnown out[TRIM_KNOWN_MAX], WorthAct acts[TRIM_KNOWN_MAX]) {
    List l = {build, rig, inputs, count, 0, out, acts};
    BlyStage reached;
    bool begun = build_reached(build, &reached);
    add_parts(&l, reached, begun);
    if (!begun || reached == BLY_STAGE_BLANK)
        add_blank(&l);
    if (!begun || reached < BLY_STAGE_COATED)
        add_coat(&l);
    if (begun && reached == BLY_STAGE_COMPLETE)
        add_whole(&l);
    add_water(&l);
    return l.count;
}
