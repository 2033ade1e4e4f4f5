/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which inputs of a build are uncertain, and by how much. */
#include "uncertain/uncertain.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *words, *advice;
} table[BLY_INPUT_KINDS] = {
    [BLY_IN_BODY_DENSITY] = {"body density", "weigh the blank"},
    [BLY_IN_BODY_MASS] = {"body mass", "weigh the blank on a finer scale"},
    [BLY_IN_VOLUME] = {"body volume", "push the blank under in a cup on the scale: grams are cm3"},
    [BLY_IN_BALANCE] = {"balance point", "balance the blank on a finer edge"},
    [BLY_IN_BALANCE_UP] = {"height of the balance point", "balance the blank on its side"},
    [BLY_IN_SOAK] = {"water taken up", "seal the blank, or weigh it wet"},
    [BLY_IN_EXPANSION] = {"swelling with warmth", "time it in water as cold as the lake"},
    [BLY_IN_COAT_THICKNESS] = {"coat thickness", "weigh before and after coating"},
    [BLY_IN_COAT_DENSITY] = {"coat density", "weigh a cured puddle of known size"},
    [BLY_IN_INSET_DENSITY] = {"density of a piece", "weigh it before it is glued in"},
    [BLY_IN_INSET_MASS] = {"scale reading of a piece", "weigh it on a finer scale"},
    [BLY_IN_PART_MASS] = {"part mass", "weigh five of them together"},
    [BLY_IN_PART_THICKNESS] = {"gauge", "measure it with a micrometer, or weigh the piece"},
    [BLY_IN_PART_DENSITY] = {"density of sheet or strip", "weigh the piece"},
    [BLY_IN_PIECE_MASS] = {"one hook from the next", "weigh this very hook"},
    [BLY_IN_WEIGHED] = {"scale reading of a part", "weigh it on a finer scale"},
    [BLY_IN_FILED] = {"what is ground off", "weigh the lure before and after"},
    [BLY_IN_LOAD] = {"leader", "weigh the leader in water"},
    [BLY_IN_DRAG] = {"drag", "time it in a tank"},
    [BLY_IN_MUNK] = {"turning by the flow", "look at its angle while it drifts in a tank"},
    [BLY_IN_TEMPERATURE] = {"water temperature", "take the water's temperature"},
    [BLY_IN_SALINITY] = {"salinity", "measure the salt"},
};

const char *bly_input_words(BlyInputKind kind) {
    return (unsigned)kind < BLY_INPUT_KINDS ? table[kind].words : "";
}

const char *bly_input_advice(BlyInputKind kind) {
    return (unsigned)kind < BLY_INPUT_KINDS ? table[kind].advice : "";
}

typedef struct List {
    BlyInput *out;
    size_t count;
    bool full;
} List;

static bool known_already(const List *list, const BlyInput *input) {
    for (size_t i = 0; i < list->count; i++) {
        const BlyInput *old = &list->out[i];
        if (old->kind == input->kind && old->seat == input->seat && old->index == input->index &&
            old->part_kind == input->part_kind && strcmp(old->id, input->id) == 0)
            return true;
    }
    return false;
}

static void add(List *list, BlyInput input) {
    if (!isfinite(input.value) || !(input.give > 0.0) || known_already(list, &input))
        return;
    if (list->count == BLY_INPUTS_MAX) {
        list->full = true;
        return;
    }
    list->out[list->count++] = input;
}

static void add_plain(List *list, BlyInputKind kind, BlyFigure figure) {
    add(list, (BlyInput){kind, "", -1, -1, -1, figure.value, figure.give});
}

static void add_body(List *list, const BlyBodyFacts *facts) {
    if (isnan(facts->mass.value))
        add_plain(list, BLY_IN_BODY_DENSITY, facts->density);
    else
        add_plain(list, BLY_IN_BODY_MASS, facts->mass);
    add_plain(list, BLY_IN_VOLUME, facts->volume_share);
    add_plain(list, BLY_IN_BALANCE, facts->balance);
    add_plain(list, BLY_IN_BALANCE_UP, facts->balance_up);
    add_plain(list, BLY_IN_SOAK, facts->soak);
    add_plain(list, BLY_IN_EXPANSION, facts->expansion);
}

static void add_coats(List *list, const BlyCoat *coats, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const char *id = coats[i].material ? coats[i].material : "";
        BlyFigure thick = coats[i].thickness, dense = coats[i].density;
        if (!(thick.value > 0.0))
            continue;
        int coat = (int)i;
        add(list, (BlyInput){BLY_IN_COAT_THICKNESS, id, -1, coat, -1, thick.value, thick.give});
        add(list, (BlyInput){BLY_IN_COAT_DENSITY, id, -1, coat, -1, dense.value, dense.give});
    }
}

/* The pieces that the blank is glued of. */
static void add_insets(List *list, const BlyBodyFacts *facts) {
    for (size_t i = 0; i < facts->inset_count; i++) {
        const BlyInset *inset = &facts->insets[i];
        bool weighed = !isnan(inset->mass.value);
        BlyFigure known = weighed ? inset->mass : inset->density;
        add(list, (BlyInput){weighed ? BLY_IN_INSET_MASS : BLY_IN_INSET_DENSITY, inset->name, -1,
                             (int)i, -1, known.value, known.give});
    }
}

static void add_piece(List *list, const BlyChosenPart *piece, int seat, int kind) {
    const BlyPart *part = piece->part;
    BlyFigure mass = part->mass;
    if (!isnan(piece->weighed.value)) {
        BlyFigure scale = piece->weighed;
        add(list, (BlyInput){BLY_IN_WEIGHED, part->id, seat, -1, kind, scale.value, scale.give});
    } else if (kind == BLY_PART_SHEET || kind == BLY_PART_STRIP) {
        add(list, (BlyInput){BLY_IN_PART_THICKNESS, part->id, -1, -1, -1, part->thickness,
                             part->thickness_give});
        add(list, (BlyInput){BLY_IN_PART_DENSITY, part->id, -1, -1, -1, part->density.value,
                             part->density.give});
    } else if (kind != BLY_PART_OUTLINE) {
        add(list, (BlyInput){BLY_IN_PART_MASS, part->id, -1, -1, -1, mass.value, mass.give});
        if (kind == BLY_PART_HOOK)
            add(list, (BlyInput){BLY_IN_PIECE_MASS, part->id, seat, -1, kind, mass.value,
                                 BLY_HOOK_TO_HOOK * mass.value});
    }
}

static void add_filed(List *list, const BlyChoice *choice, int seat) {
    const BlyChosenPart *sheet = &choice->of[BLY_PART_SHEET];
    if (sheet->part && choice->filed > 0.0)
        add(list, (BlyInput){BLY_IN_FILED, sheet->part->id, seat, -1, BLY_PART_SHEET, choice->filed,
                             choice->filed_give});
}

static void add_rig(List *list, const BlyBuild *build, const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        const BlyFigure *load = &build->seats[s].load;
        if (build->seats[s].kind == BLY_SEAT_TIE && load->value > 0.0)
            add(list, (BlyInput){BLY_IN_LOAD, "", (int)s, -1, -1, load->value, load->give});
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            if (rig->at[s].of[kind].part)
                add_piece(list, &rig->at[s].of[kind], (int)s, kind);
        }
        add_filed(list, &rig->at[s], (int)s);
    }
}

bool bly_inputs_list(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *water,
                     BlyInput out[BLY_INPUTS_MAX], size_t *count, BlyError *err) {
    List list = {.out = out};
    const BlyBodyFacts *facts = &build->facts;
    add_body(&list, facts);
    add_coats(&list, build->coats, build->coat_count);
    add_insets(&list, facts);
    add_rig(&list, build, rig);
    /* What was on the scale with the body makes the body lighter or heavier. */
    if (!isnan(facts->mass.value) && facts->stage >= BLY_STAGE_EYED)
        add_rig(&list, build, &build->fitted);
    add_plain(&list, BLY_IN_DRAG, facts->drag_factor);
    add_plain(&list, BLY_IN_MUNK, facts->munk_factor);
    add_plain(&list, BLY_IN_TEMPERATURE, water->temperature);
    add_plain(&list, BLY_IN_SALINITY, water->salinity);
    *count = list.count;
    return !list.full || bly_fail(err, BLY_E_RANGE, NULL,
                                  "more than %d uncertain inputs; weigh the parts and give the "
                                  "scale's reading",
                                  BLY_INPUTS_MAX);
}

void bly_input_name(const BlyBuild *build, const BlyInput *input, char out[BLY_INPUT_NAME_MAX]) {
    static const char *const plain[BLY_INPUT_KINDS] = {
        [BLY_IN_BODY_DENSITY] = BUILD_DENSITY_NAME, [BLY_IN_BODY_MASS] = "/body/mass",
        [BLY_IN_VOLUME] = "/learnt/volume_factor",  [BLY_IN_BALANCE] = "/body/balance",
        [BLY_IN_BALANCE_UP] = "/body/balance_up",   [BLY_IN_SOAK] = "/body/soak",
        [BLY_IN_EXPANSION] = "/body/expansion",     [BLY_IN_DRAG] = "/learnt/drag_factor",
        [BLY_IN_MUNK] = "/learnt/munk_factor",
    };
    const BlyBodyFacts *facts = &build->facts;
    out[0] = '\0';
    if (input->kind == BLY_IN_BALANCE && facts->inset_count > 0 && !facts->balance_of_all)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/core_balance");
    else if (input->kind == BLY_IN_BALANCE_UP && facts->inset_count > 0 &&
             !facts->balance_up_of_all)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/core_balance_up");
    else if (plain[input->kind])
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "%s", plain[input->kind]);
    else if (input->kind == BLY_IN_COAT_THICKNESS)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/coats/%d/thickness", input->index);
    else if (input->kind == BLY_IN_COAT_DENSITY)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/coats/%d/density", input->index);
    else if (input->kind == BLY_IN_INSET_DENSITY)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/pieces/%d/density", input->index);
    else if (input->kind == BLY_IN_INSET_MASS)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/body/pieces/%d/mass", input->index);
    else if (input->kind == BLY_IN_PART_MASS)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, BUILD_PART_NAME, input->id);
    else if (input->kind == BLY_IN_WEIGHED)
        (void)snprintf(out, BLY_INPUT_NAME_MAX, "/fitted/%s/%s/%s", build->seats[input->seat].name,
                       bly_part_kind_name((BlyPartKind)input->part_kind), input->id);
}
