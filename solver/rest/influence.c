/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a little more at each seat does, by the full physics with a little more and a little less.
 */
#include "rest/flow.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

/* What is hung on an empty seat is of metal. */
static const double metal_density = 8000.0;

/* The item that a kilogram more at a seat makes: where what sits there acts now, displacing as much
 * water a kilogram as that does outside the hull. Chains are added to at their hanging point. An
 * empty seat: at the eye or on the body, and of metal. */
static BlyItem more_at(const BlyLure *lure, const BlySeat *seat, int index,
                       const BlyChoice *choice) {
    bool chain = seat->kind == BLY_SEAT_HANGER || seat->kind == BLY_SEAT_TIE;
    double mass = 0.0, volume = 0.0;
    BlyVec3 moment = bly_vec(0, 0, 0);
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->seat != index || !(item->volume > 0.0) || item->hangs != chain)
            continue;
        mass += item->mass;
        volume += item->volume;
        moment = bly_vec_add(moment, bly_vec_scale(item->at, item->mass));
    }
    const BlyPart *eye = choice->of[BLY_PART_EYE].part;
    BlyVec3 at = mass > 0.0 ? bly_vec_scale(moment, 1.0 / mass)
                            : bly_seat_hang(lure->blank, seat, choice->x, chain ? eye : NULL);
    return (BlyItem){.kind = BLY_ITEM_PART,
                     .seat = index,
                     .at = at,
                     .from = at,
                     .to = at,
                     .mass = 1.0,
                     .volume = mass > 0.0 ? volume / mass : 1.0 / metal_density};
}

static bool with_more(const BlyLure *lure, BlyLure *copy, const BlyItem *unit, double extra,
                      const BlyWater *water, BlyOutcome *out, BlyError *err) {
    copy->items[lure->count] = *unit;
    copy->items[lure->count].mass *= extra;
    copy->items[lure->count].volume *= extra;
    return bly_rest_under_water(copy, water, out, err);
}

static BlyInfluence difference(int seat, const BlyOutcome *more, const BlyOutcome *less) {
    return (BlyInfluence){seat, more->sums.net_weight - less->sums.net_weight,
                          remainder(more->nose_down - less->nose_down, 2.0 * M_PI),
                          more->drift - less->drift};
}

static bool influence_of(const BlyLure *lure, BlyLure *copy, const BlyItem *unit, double extra,
                         const BlyWater *water, BlyInfluence *out, BlyError *err) {
    BlyOutcome more, less;
    if (!with_more(lure, copy, unit, extra, water, &more, err) ||
        !with_more(lure, copy, unit, -extra, water, &less, err))
        return false;
    *out = difference(unit->seat, &more, &less);
    out->net_weight *= 0.5;
    out->nose_down *= 0.5;
    out->drift *= 0.5;
    return true;
}

bool bly_rest_influence(const BlyLure *lure, const BlySeat *seats, size_t seat_count,
                        const BlyRig *rig, const BlyWater *water, double extra, BlyInfluence *out,
                        BlyError *err) {
    BlyLure copy = {.blank = lure->blank, .count = lure->count + 1};
    copy.items = calloc(copy.count, sizeof *copy.items);
    if (!copy.items)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the influence");
    for (size_t i = 0; i < lure->count; i++)
        copy.items[i] = lure->items[i];
    bool good = true;
    for (size_t s = 0; good && s < seat_count; s++) {
        BlyItem unit = more_at(lure, &seats[s], (int)s, &rig->at[s]);
        if (!isfinite(unit.at.z))
            good = bly_fail(err, BLY_E_RANGE, seats[s].name, "the seat is off the body");
        good = good && influence_of(lure, &copy, &unit, extra, water, &out[s], err);
    }
    bly_lure_release(&copy);
    return good;
}

bool bly_rest_leader(const BlyLure *lure, const BlyWater *water, BlyInfluence *out, BlyError *err) {
    BlyLure without = {.blank = lure->blank};
    without.items = calloc(lure->count + 1, sizeof *without.items);
    if (!without.items)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure without its leader");
    *out = (BlyInfluence){.seat = -1};
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->kind != BLY_ITEM_LOAD)
            without.items[without.count++] = *item;
        else if (out->seat < 0)
            out->seat = item->seat;
    }
    BlyOutcome with_it, without_it;
    bool good = out->seat < 0 || (bly_rest_under_water(lure, water, &with_it, err) &&
                                  bly_rest_under_water(&without, water, &without_it, err));
    if (good && out->seat >= 0)
        *out = difference(out->seat, &with_it, &without_it);
    bly_lure_release(&without);
    return good;
}
