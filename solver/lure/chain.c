/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tie and hanger: an eye in the body, and what hangs from its loop.
 *
 * The eye's shank lies inside the body: it adds mass, takes body material away and displaces
 * nothing. What hangs acts at the loop's lowest inside, each piece below the one that holds it. */
#include "lure/items.h"

#include <gsl/gsl_math.h>

/* A hanging piece of wire: from and to are lengths below the hanging point. */
static BlyItem *hang(BlyItemList *list, const BlyPart *part, BlyVec3 at, double from, double to) {
    BlyItem *item = items_next(list, part, at);
    item->hangs = true;
    item->hang_from = fmax(from, 0.0);
    item->hang_to = fmax(to, item->hang_from);
    return item;
}

static bool fits_in_body(const BlyItemList *list, const BlyChoice *choice, const BlyPart *eye,
                         BlyError *err) {
    BlySection section;
    if (list->seat->side == BLY_AT_NOSE || list->seat->side == BLY_AT_TAIL ||
        !bly_body_section(list->blank->bare, choice->x, &section))
        return true;
    double high = section.back - section.belly;
    if (known_or_zero(eye->length) < high)
        return true;
    return bly_fail(err, BLY_E_CONFLICT, NULL,
                    "the shank of %s is %.1f mm long, the body only %.1f mm high there", eye->id,
                    1e3 * eye->length, 1e3 * high);
}

static bool add_eye(BlyItemList *list, const BlyChoice *choice, BlyVec3 surface, BlyError *err) {
    const BlyChosenPart *piece = &choice->of[BLY_PART_EYE];
    const BlyPart *eye = piece->part;
    BlyFigure mass;
    if (!fits_in_body(list, choice, eye, err) || !inset_mass(piece, eye->mass.value, &mass, err))
        return false;
    double in_shank =
        eye->mass.value > 0.0 ? known_or_zero(eye->shank_mass) / eye->mass.value : 0.0;
    BlyVec3 outward = seat_outward(list->seat->side);
    BlyVec3 top = bly_vec_add(surface, bly_vec_scale(outward, known_or_zero(eye->outer)));
    BlyVec3 middle = bly_vec_scale(bly_vec_add(surface, top), 0.5);
    BlyVec3 inside =
        bly_vec_add(surface, bly_vec_scale(outward, -0.5 * known_or_zero(eye->length)));

    BlyItem *loop = items_next(list, eye, middle);
    loop->mass = mass.value * (1.0 - in_shank);
    loop->mass_give = mass.give * (1.0 - in_shank);
    loop->volume = bly_chosen_volume(piece, eye->mass.value, eye->volume);
    loop->from = surface;
    loop->to = top;
    item_wire_face(loop, eye->wire, loop->volume, middle);
    if (in_shank > 0.0) {
        BlyItem *shank = items_next(list, eye, inside);
        shank->mass = mass.value * in_shank;
        shank->mass_give = mass.give * in_shank;
    }
    double hole = bly_chosen_volume(piece, eye->mass.value, eye->shank_volume);
    if (hole > 0.0) {
        BlyItem *removed = items_next(list, eye, inside);
        BlyVec3 end = bly_vec_sub(bly_vec_scale(inside, 2.0), surface);
        double length = known_or_zero(eye->length), round = length > 0.0 ? hole / length : 0.0;
        BlyFilling filling =
            filling_of_rod(list->blank->bare, surface, end, sqrt(round / 3.14159265358979323846));
        item_remove(list, removed, hole, &filling);
    }
    return true;
}

/* A ring, hook or snap of the catalog, whole. */
static bool add_hanging(BlyItemList *list, const BlyChosenPart *piece, BlyVec3 at, double from,
                        double to, BlyError *err) {
    BlyFigure mass;
    if (!inset_mass(piece, piece->part->mass.value, &mass, err))
        return false;
    BlyItem *item = hang(list, piece->part, at, from, to);
    item->mass = mass.value;
    item->mass_give = mass.give;
    item->volume = bly_chosen_volume(piece, piece->part->mass.value, piece->part->volume);
    item_wire_face(item, piece->part->wire, item->volume, at);
    return true;
}

/* Turns lie around the middle of the hook's free shank, which begins below its eye. In the flow
 * along the shank they stand behind the hook's own eye: no face of their own. */
static bool add_turns(BlyItemList *list, const BlyChoice *choice, BlyVec3 at, double hook_from,
                      BlyError *err) {
    const BlyChosenPart *piece = &choice->of[BLY_PART_WIRE];
    const BlyPart *wire = piece->part, *hook = choice->of[BLY_PART_HOOK].part;
    double modelled = choice->count * bly_wire_turn_mass(wire, hook);
    BlyFigure mass;
    if (!inset_mass(piece, modelled, &mass, err))
        return false;
    double eye = known_or_zero(hook->bore) + 2.0 * known_or_zero(hook->wire);
    double middle = hook_from + eye + 0.5 * known_or_zero(hook->shank);
    double half = 0.5 * choice->count * known_or_zero(wire->wire);
    BlyItem *item = hang(list, wire, at, middle - half, middle + half);
    item->mass = mass.value;
    item->mass_give = mass.give;
    if (wire->mass.value > 0.0 && isfinite(modelled))
        item->volume =
            bly_chosen_volume(piece, modelled, modelled / wire->mass.value * wire->volume);
    return true;
}

/* Part of the leader's weight, as weighed in water: mass that displaces nothing. */
static void add_load(BlyItemList *list, BlyVec3 at) {
    const BlyFigure *load = &list->seat->load;
    if (list->seat->kind != BLY_SEAT_TIE || !isfinite(load->value) || load->value == 0.0)
        return;
    BlyItem *item = hang(list, NULL, at, 0.0, 0.0);
    item->kind = BLY_ITEM_LOAD;
    item->mass = load->value;
    item->mass_give = known_or_zero(load->give);
}

bool items_chain(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyChosenPart *ring = &choice->of[BLY_PART_RING], *hook = &choice->of[BLY_PART_HOOK],
                        *snap = &choice->of[BLY_PART_SNAP], *eye = &choice->of[BLY_PART_EYE];
    BlyVec3 surface = bly_seat_surface(list->blank, list->seat, choice->x);
    if (eye->part && !add_eye(list, choice, surface, err))
        return false;
    BlyVec3 at = bly_seat_hang(list->blank, list->seat, choice->x, eye->part);
    /* Wire rests in wire: each piece reaches above its contact by its own wire, and the next one
     * hangs from its lowest inside. */
    double contact = 0.0;
    if (ring->part) {
        double to = known_or_zero(ring->part->outer) - known_or_zero(ring->part->wire);
        if (!add_hanging(list, ring, at, 0.0, to, err))
            return false;
        contact = fmax(to - known_or_zero(ring->part->wire), 0.0);
    }
    if (snap->part && !add_hanging(list, snap, at, contact - known_or_zero(snap->part->wire),
                                   contact + known_or_zero(snap->part->length), err))
        return false;
    if (hook->part) {
        double from = contact - known_or_zero(hook->part->wire);
        if (!add_hanging(list, hook, at, from, from + known_or_zero(hook->part->length), err))
            return false;
        if (choice->of[BLY_PART_WIRE].part && !add_turns(list, choice, at, from, err))
            return false;
    }
    add_load(list, at);
    return true;
}
