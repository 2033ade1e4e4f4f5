/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure made ready for the flow: its weight about the tie, its body, lips and wires. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

bool bly_tow_tie(const BlyLure *lure, const BlySeat *seats, size_t seat_count, const BlyRig *rig,
                 BlyVec3 *out, BlyError *err) {
    size_t tie = 0;
    while (tie < seat_count && seats[tie].kind != BLY_SEAT_TIE)
        tie++;
    if (tie == seat_count)
        return bly_fail(err, BLY_E_MISSING, "/seats",
                        "expected a line tie: nothing says where the "
                        "line pulls");
    *out = bly_seat_surface(lure->blank, &seats[tie], rig->at[tie].x);
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->seat == (int)tie && item->kind == BLY_ITEM_PART && item->part &&
            item->part->kind == BLY_PART_EYE) {
            *out = item->at; /* the loop comes before the shank */
            return true;
        }
    }
    return true;
}

TowLip tow_lip_of(const BlyItem *item, BlyVec3 tie) {
    double across = item->face_across > 0.0 ? item->face_across : item->face_size;
    return (TowLip){.angle = atan2(item->face_normal.x, -item->face_normal.z),
                    .area = item->face_area,
                    .aspect = across * across / item->face_area,
                    .chord = item->face_area / across,
                    .middle = bly_vec_sub(item->face_at, tie),
                    .stubby = item->face_aspect,
                    .size = item->face_size};
}

static bool add_lip(BlyTow *tow, const BlyItem *item, BlyVec3 tie, BlyError *err) {
    if (tow->lip_count == TOW_LIPS)
        return bly_fail(err, BLY_E_RANGE, "/seats", "more than %d lips", TOW_LIPS);
    tow->lips[tow->lip_count++] = tow_lip_of(item, tie);
    return true;
}

static void add_wire(BlyTow *tow, const BlyItem *item, BlyVec3 tie) {
    size_t i = 0;
    while (i < tow->wire_count && tow->wires[i].diameter != item->face_size)
        i++;
    TowWire *wire = &tow->wires[i];
    if (i == tow->wire_count) {
        *wire = (TowWire){.diameter = item->face_size};
        tow->wire_count++;
    }
    wire->area += item->face_area;
    BlyVec3 off = bly_vec_sub(bly_vec_sub(item->face_at, tie), wire->at);
    wire->at = bly_vec_add(wire->at, bly_vec_scale(off, item->face_area / wire->area));
}

static bool add_faces(BlyTow *tow, const BlyLure *lure, BlyVec3 tie, BlyError *err) {
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (!(item->face_area > 0.0))
            continue;
        if (item->face == BLY_FACE_WIRE)
            add_wire(tow, item, tie);
        else if (item->face == BLY_FACE_PLATE && !add_lip(tow, item, tie, err))
            return false;
    }
    return true;
}

bool bly_tow_make(const BlyLure *lure, BlyVec3 tie, const BlyWater *water, BlyTow **out,
                  BlyError *err) {
    *out = NULL;
    if (!isfinite(tie.x) || !isfinite(tie.z))
        return bly_fail(err, BLY_E_RANGE, "/seats", "the line tie is off the body");
    BlyTow *tow = calloc(1, sizeof *tow);
    if (!tow || !(tow->wires = calloc(lure->count + 1, sizeof *tow->wires))) {
        bly_tow_free(tow);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure on the line");
    }
    BlySums sums;
    bly_balance_sums(lure, water, &sums);
    tow->water = *water;
    tow->net_weight = sums.net_weight;
    tow->moment_x = sums.wx - sums.net_weight * tie.x;
    tow->moment_z = sums.wz - sums.net_weight * tie.z;
    if (!tow_body_of(lure->blank, tie, water, &tow->body, err) || !add_faces(tow, lure, tie, err)) {
        bly_tow_free(tow);
        return false;
    }
    *out = tow;
    return true;
}

void bly_tow_free(BlyTow *tow) {
    if (tow)
        free(tow->wires);
    free(tow);
}

double bly_tow_net_weight(const BlyTow *tow) {
    return tow->net_weight;
}
