/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The forces on a drawn lure as sums over its hull and its items: nothing shields anything, so at a
 * given attitude every term is a piece's own. */
#include "tow/parts.h"

static BlyTowTerms terms_of(const BlyTow *piece, const BlyTowModel *model, double nose_down,
                            double speed) {
    TowAt at = tow_at(piece, model, speed);
    BlyTowForce force = tow_force(&at, nose_down);
    BlyTowTerms terms = {.couple = force.couple, .down = piece->net_weight * BLY_GRAVITY};
    for (int i = 0; i < BLY_TOW_SOURCES; i++) {
        terms.drag += force.drag[i];
        terms.down -= force.up[i];
    }
    return terms;
}

/* kg at a place, about the tie. */
static void add_weight(BlyTow *piece, double weight, BlyVec3 at, BlyVec3 tie) {
    piece->net_weight += weight;
    piece->moment_x += weight * (at.x - tie.x);
    piece->moment_z += weight * (at.z - tie.z);
}

bool bly_tow_hull_terms(const BlyBlank *blank, BlyVec3 tie, const BlyWater *water,
                        const BlyTowModel *model, double nose_down, double speed, BlyTowTerms *out,
                        BlyError *err) {
    BlyTow hull = {.water = *water};
    double volume = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    add_weight(&hull, -water->density * volume, blank->hull_centroid, tie);
    if (!tow_body_of(blank, tie, water, &hull.body, err))
        return false;
    *out = terms_of(&hull, model, nose_down, speed);
    return true;
}

/* What an item displaces acts in the middle of its line; of what hangs that is its point. */
static BlyVec3 middle_of(const BlyItem *item) {
    return bly_vec_scale(bly_vec_add(item->from, item->to), 0.5);
}

BlyTowTerms bly_tow_item_terms(const BlyItem *items, size_t count, BlyVec3 tie,
                               const BlyWater *water, const BlyTowModel *model, double nose_down,
                               double speed) {
    BlyTowTerms sum = {0};
    for (size_t i = 0; i < count; i++) {
        const BlyItem *item = &items[i];
        TowWire wire = {item->face_size, item->face_area, bly_vec_sub(item->face_at, tie)};
        BlyTow piece = {.water = *water, .wires = &wire};
        add_weight(&piece, item->mass, item->at, tie);
        add_weight(&piece, -water->density * item->volume, middle_of(item), tie);
        if (item->face_area > 0 && item->face == BLY_FACE_WIRE)
            piece.wire_count = 1;
        else if (item->face_area > 0 && item->face == BLY_FACE_PLATE)
            piece.lips[piece.lip_count++] = tow_lip_of(item, tie);
        BlyTowTerms terms = terms_of(&piece, model, nose_down, speed);
        sum.couple += terms.couple;
        sum.drag += terms.drag;
        sum.down += terms.down;
    }
    return sum;
}
