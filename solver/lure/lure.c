/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure as a list of items, and whether its hooks reach each other. */
#include "lure/items.h"

#include <stdlib.h>

BlyItem *items_next(BlyItemList *list, const BlyPart *part, BlyVec3 at) {
    BlyItem *item = &list->out[list->count++];
    *item = (BlyItem){.kind = BLY_ITEM_PART,
                      .seat = list->seat_index,
                      .part = part,
                      .inset = -1,
                      .at = at,
                      .from = at,
                      .to = at};
    return item;
}

void item_remove(const BlyItemList *list, BlyItem *item, double volume, const BlyFilling *filling) {
    BlyVec3 off;
    double density = bly_blank_density(list->blank, item->at, &item->inset);
    double share = filling_share(filling, &off);
    item->kind = BLY_ITEM_REMOVED;
    item->taken = item->taken_own = volume;
    if (item->inset < 0) {
        item->taken_own *= share;
        item->at = item->from = item->to = bly_vec_add(item->at, off);
    }
    item->mass = -density * item->taken_own;
}

bool inset_mass(const BlyChosenPart *piece, double modelled, BlyFigure *out, BlyError *err) {
    if (!isnan(piece->weighed.value)) {
        if (!(piece->weighed.value >= 0.0) || !isfinite(piece->weighed.value))
            return bly_fail(err, BLY_E_RANGE, NULL, "the scale's mass of %s is out of range",
                            piece->part->id);
        *out = (BlyFigure){piece->weighed.value, known_or_zero(piece->weighed.give)};
        return true;
    }
    if (!isfinite(modelled))
        return bly_fail(err, BLY_E_MISSING, NULL, "the mass of %s is unknown", piece->part->id);
    *out = (BlyFigure){modelled, modelled * known_or_zero(bly_part_give_share(piece->part))};
    return true;
}

double bly_chosen_volume(const BlyChosenPart *piece, double modelled, double volume) {
    double known = known_or_zero(volume);
    if (isnan(piece->weighed.value) || piece->part->volume_given || !(modelled > 0.0))
        return known;
    return known * piece->weighed.value / modelled;
}

/* Length of wire = volume over its section. Elements of a bent wire point all ways; by the
 * cross-flow principle one that leans by a to the flow drags as sin^3 a of one square to it, and
 * the mean of sin^3 over all directions is 3 pi / 16. So area = 3 pi/16 d L = 3/4 volume / d. */
void item_wire_face(BlyItem *item, double diameter, double volume, BlyVec3 at) {
    if (!(diameter > 0.0) || !(volume > 0.0))
        return;
    item->face = BLY_FACE_WIRE;
    item->face_area = 0.75 * volume / diameter;
    item->face_size = diameter;
    item->face_at = at;
}

static bool add_items(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    if (list->seat->kind == BLY_SEAT_PATCH)
        return items_patch(list, choice, err);
    BlyVec3 surface = bly_seat_surface(list->blank, list->seat, choice->x);
    if (!isfinite(surface.z))
        return bly_fail(err, BLY_E_RANGE, NULL, "a seat at %.2f mm is off the body",
                        1e3 * choice->x);
    return list->seat->kind == BLY_SEAT_SLOT ? items_lip(list, choice, err)
                                             : items_chain(list, choice, err);
}

bool bly_choice_items(const BlyBlank *blank, const BlySeat *seat, int seat_index,
                      const BlyChoice *choice, BlyItem out[BLY_CHOICE_ITEMS], size_t *count,
                      BlyError *err) {
    BlyItemList list = {.blank = blank, .seat = seat, .seat_index = seat_index, .out = out};
    *count = 0;
    if (bly_choice_is_empty(choice) && seat->kind != BLY_SEAT_TIE)
        return true;
    if (!add_items(&list, choice, err)) {
        bly_error_prefix(err, seat->name ? seat->name : "");
        return false;
    }
    *count = list.count;
    return true;
}

bool bly_lure_make(const BlyBlank *blank, const BlySeat *seats, const BlyRig *rig, BlyLure *out,
                   BlyError *err) {
    *out = (BlyLure){.blank = blank};
    out->items = calloc(blank->item_count + rig->count * BLY_CHOICE_ITEMS, sizeof *out->items);
    if (!out->items)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure's items");
    for (; out->count < blank->item_count; out->count++)
        out->items[out->count] = blank->items[out->count];
    for (size_t s = 0; s < rig->count; s++) {
        size_t added;
        if (!bly_choice_items(blank, &seats[s], (int)s, &rig->at[s], out->items + out->count,
                              &added, err)) {
            bly_lure_release(out);
            return false;
        }
        out->count += added;
    }
    return true;
}

void bly_lure_release(BlyLure *lure) {
    free(lure->items);
    *lure = (BlyLure){0};
}

double bly_hook_reach(const BlyItem *item) {
    if (!item->hangs || !item->part || item->part->kind != BLY_PART_HOOK)
        return 0.0;
    return hypot(item->hang_to, known_or_zero(item->part->gape) + known_or_zero(item->part->wire));
}

BlySwing bly_hook_swing(const BlyItem *item) {
    double reach = bly_hook_reach(item);
    return (BlySwing){item->at, reach, reach > 0.0 ? known_or_zero(item->part->gape) : 0.0};
}

double bly_swings_room(const BlySwing *a, const BlySwing *b) {
    if (!(a->reach > 0.0) || !(b->reach > 0.0))
        return -HUGE_VAL;
    return fmax(a->reach + b->side, b->reach + a->side) + BLY_HOOK_CLEARANCE;
}

bool bly_swings_touch(const BlySwing *a, const BlySwing *b) {
    return bly_swings_room(a, b) > bly_vec_norm(bly_vec_sub(a->at, b->at));
}

bool bly_hooks_touch(const BlyItem *a, const BlyItem *b) {
    BlySwing swing_a = bly_hook_swing(a), swing_b = bly_hook_swing(b);
    return bly_swings_touch(&swing_a, &swing_b);
}

bool bly_lure_hooks_touch(const BlyLure *lure) {
    for (size_t i = 0; i < lure->count; i++) {
        for (size_t j = i + 1; j < lure->count; j++) {
            if (bly_hooks_touch(&lure->items[i], &lure->items[j]))
                return true;
        }
    }
    return false;
}
