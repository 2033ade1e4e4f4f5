/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mends done to a rig, and which of them exclude each other. */
#include "fit/mends.h"

#include <math.h>

/* What a piece on the scale weighs less once a share of it is gone. */
static void take_share(BlyFigure *weighed, double share) {
    weighed->value *= 1 - share; /* NAN stays so */
    weighed->give *= 1 - share;
}

static void cut_back(const BlyChoice *to, BlyChoice *choice) {
    const BlyPart *outline = choice->of[BLY_PART_OUTLINE].part;
    double left = bly_outline_area(outline, to->length) / bly_outline_area(outline, choice->length);
    take_share(&choice->of[BLY_PART_SHEET].weighed, 1 - left);
    choice->length = to->length;
}

/* How much of the lip's mass stands out of the body: the outer piece is the one that displaces. */
static double outer_share(const BlyBuild *build, int seat, const BlyChoice *choice) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    double outer = 0, all = 0;
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, choice, items, &count, NULL))
        return 1;
    for (size_t i = 0; i < count; i++) {
        if (items[i].kind != BLY_ITEM_PART)
            continue;
        all += items[i].mass;
        outer += items[i].volume > 0 ? items[i].mass : 0;
    }
    return all > 0 ? outer / all : 1;
}

/* Only what stands out is ground. */
static void grind(const BlyBuild *build, int seat, const BlyChoice *to, BlyChoice *choice) {
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double thick = isfinite(choice->thickness) ? choice->thickness : sheet->thickness;
    double more = to->filed - choice->filed;
    BlyFigure *weighed = &choice->of[BLY_PART_SHEET].weighed;
    double outside = thick - choice->filed, share = outer_share(build, seat, choice) / outside;
    double doubt = weighed->value * share * to->filed_give;
    take_share(weighed, share * more);
    weighed->give = hypot(weighed->give, isnan(doubt) ? 0 : doubt);
    choice->filed = to->filed;
    choice->filed_give = hypot(choice->filed_give, to->filed_give);
}

static void apply_at(const BlyBuild *build, BlyMend kind, int seat, const BlyChoice *to,
                     BlyChoice *choice) {
    switch (kind) {
    case BLY_MEND_WIRE:
        choice->of[BLY_PART_WIRE] = to->of[BLY_PART_WIRE];
        choice->count = to->count;
        break;
    case BLY_MEND_RING:
        choice->of[BLY_PART_RING] = to->of[BLY_PART_RING];
        choice->of[BLY_PART_SNAP] = to->of[BLY_PART_SNAP];
        break;
    case BLY_MEND_GRADE:
    case BLY_MEND_NUMBER:
        choice->of[BLY_PART_HOOK] = to->of[BLY_PART_HOOK];
        if (to->of[BLY_PART_RING].part != build->fitted.at[seat].of[BLY_PART_RING].part)
            choice->of[BLY_PART_RING] = to->of[BLY_PART_RING]; /* the old one is too small */
        break;
    case BLY_MEND_EDGE:
        cut_back(to, choice);
        break;
    case BLY_MEND_BACK:
        grind(build, seat, to, choice);
        break;
    case BLY_MEND_DOT:
    case BLY_MEND_STRIP:
    case BLY_MENDS:
        *choice = *to;
        break;
    }
}

void mend_apply(const BlyBuild *build, const Mend *mend, BlyRig *rig) {
    for (int i = 0; i < mend->seats; i++)
        apply_at(build, mend->kind, mend->seat[i], &mend->to[i], &rig->at[mend->seat[i]]);
}

/* How many of a counted part these take out of the box. */
static int takes_of(const Bench *bench, const MendList *list, const int *mend, int count,
                    const BoxCount *counted) {
    int takes = 0;
    for (int i = 0; i < count; i++) {
        const Mend *one = &list->at[mend[i]];
        for (int k = 0; one->takes && k < one->seats; k++)
            takes += box_takes(counted, &one->to[k], &bench->build->fitted.at[one->seat[k]]);
    }
    return takes;
}

bool mends_in_box(const Bench *bench, const MendList *list, const int *mend, int count) {
    int taking = 0;
    for (int i = 0; i < count; i++)
        taking += list->at[mend[i]].takes;
    for (size_t b = 0; b < bench->box->count && taking > 0; b++) {
        const BoxCount *counted = &bench->box->at[b];
        if (takes_of(bench, list, mend, count, counted) > counted->have)
            return false;
    }
    return true;
}

typedef enum Thing { OF_WIRE, OF_SKIN, OF_RING, OF_HOOK, OF_EDGE, OF_BACK } Thing;

static Thing thing_of(BlyMend kind) {
    static const Thing things[BLY_MENDS] = {
        [BLY_MEND_WIRE] = OF_WIRE, [BLY_MEND_DOT] = OF_SKIN,   [BLY_MEND_STRIP] = OF_SKIN,
        [BLY_MEND_RING] = OF_RING, [BLY_MEND_GRADE] = OF_HOOK, [BLY_MEND_NUMBER] = OF_HOOK,
        [BLY_MEND_EDGE] = OF_EDGE, [BLY_MEND_BACK] = OF_BACK};
    return things[kind];
}

bool mend_is_exchange(BlyMend kind) {
    return kind == BLY_MEND_RING || kind == BLY_MEND_GRADE || kind == BLY_MEND_NUMBER;
}

bool mends_exclude(const Mend *a, const Mend *b) {
    Thing thing = thing_of(a->kind);
    if (a->class == b->class)
        return true;
    if (thing != thing_of(b->kind))
        return false;
    if (thing == OF_HOOK || thing == OF_RING)
        return true;
    for (int i = 0; i < a->seats; i++) {
        for (int j = 0; j < b->seats; j++) {
            if (a->seat[i] == b->seat[j])
                return true;
        }
    }
    return false;
}
