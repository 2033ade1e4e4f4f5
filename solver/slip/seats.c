/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seats that get in each other's way. */
#include "ballastry/slip.h"
#include "lure/blank.h"

#include <gsl/gsl_math.h>
#include <stdio.h>

static const double in_mm = 1e3;
static const double flattest = 5 * M_PI / 180; /* a lip's angle, rad */
static const double left_least = 0.1;          /* of the height, above a slot's inner end */
static const double leader_most = 0.25;        /* of what the lure displaces */

/* The lip points forward and down from the slot's mouth, its inner end lies behind and above. */
static bool slip_hanger(BlySlips *to, const BlySeat *slot, const BlySeat *hanger, BlyError *err) {
    double inner = slot->x_from + slot->depth * cos(slot->angle);
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s", hanger->name);
    if (hanger->x_to < slot->x_from)
        return bly_slip_add(to, err, place,
                            "hangs at %.4g mm, ahead of the lip slot %s at %.4g mm: the hook would "
                            "hang under the lip",
                            in_mm * hanger->x_to, slot->name, in_mm * slot->x_from);
    return hanger->x_from < slot->x_to || hanger->x_to > inner ||
           bly_slip_add(to, err, place,
                        "stands at %.4g mm, within the slot %s, which runs from %.4g to %.4g mm "
                        "behind the nose: the eye's shank may meet the lip",
                        in_mm * hanger->x_from, slot->name, in_mm * slot->x_from, in_mm * inner);
}

static bool slip_slot(BlySlips *to, const BlyBlank *blank, const BlySeat *slot, BlyError *err) {
    BlySection mouth, inner;
    BlyBox box = bly_body_box(blank->bare);
    double x = fmin(slot->x_from + slot->depth * cos(slot->angle), box.high.x);
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s/depth", slot->name);
    if (!bly_body_section(blank->bare, slot->x_from, &mouth) ||
        !bly_body_section(blank->bare, x, &inner))
        return true;
    double left = inner.back - (mouth.belly + slot->depth * sin(slot->angle));
    if (left < left_least * (inner.back - inner.belly))
        return bly_slip_add(to, err, place,
                            "the slot leaves %.2g mm of the body above its inner end, which is "
                            "%.3g mm high there: it would be sawn through",
                            in_mm * fmax(left, 0), in_mm * (inner.back - inner.belly));
    double middle = 0.5 * (box.high.x + box.low.x);
    (void)snprintf(place, sizeof place, "/seats/%.80s/x", slot->name);
    return slot->x_from <= middle ||
           bly_slip_add(to, err, place,
                        "the lip slot is at %.4g mm, in the rear half of the body: x counts from "
                        "the nose",
                        in_mm * slot->x_from);
}

/* A limit that a seat sets, against the body's own size. */
static bool slip_limit(BlySlips *to, const BlySeat *seat, const char *key, double given, double own,
                       const char *what, BlyError *err) {
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s/%s", seat->name, key);
    return !(given > own) ||
           bly_slip_add(to, err, place, "is %.4g mm, the body only %.4g mm %s: is the unit right?",
                        in_mm * given, in_mm * own, what);
}

static bool slip_angle(BlySlips *to, const BlySeat *slot, BlyError *err) {
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s/angle", slot->name);
    return slot->angle >= flattest ||
           bly_slip_add(to, err, place,
                        "a lip at %.2g deg lies along the body; most stand at 15 to 90 deg, and a "
                        "bare number is deg",
                        slot->angle * 180 / M_PI);
}

static bool slip_leader(BlySlips *to, const BlyBlank *blank, const BlySeat *tie, BlyError *err) {
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s/leader", tie->name);
    double lifts = 1e3 * blank->hull_volume; /* kg of water */
    return !(fabs(tie->load.value) > leader_most * lifts) ||
           bly_slip_add(to, err, place,
                        "weighs %.3g g in water, the lure lifts %.3g g in all: is the unit right?",
                        2e3 * tie->load.value, 1e3 * lifts); /* half of it hangs at the tie */
}

/* At nose and tail there is one place only; an x far from it is of another seat. */
static bool slip_end(BlySlips *to, const BlySeat *seat, double length, BlyError *err) {
    char place[128];
    bool nose = seat->side == BLY_AT_NOSE, tail = seat->side == BLY_AT_TAIL;
    (void)snprintf(place, sizeof place, "/seats/%.80s/x", seat->name);
    if (!(nose && seat->x_from > 0.5 * length) && !(tail && seat->x_to < 0.5 * length))
        return true;
    return bly_slip_add(to, err, place,
                        "is %.4g mm, but the side is the %s; x counts from the nose",
                        in_mm * seat->x_from, nose ? "nose" : "tail");
}

static bool slip_seat(BlySlips *to, const BlyBlank *blank, const BlySeat *seat, BlyError *err) {
    BlyBox box = bly_body_box(blank->bare);
    BlyVec3 size = bly_vec_sub(box.high, box.low);
    if (seat->kind == BLY_SEAT_SLOT)
        return slip_slot(to, blank, seat, err) && slip_angle(to, seat, err) &&
               slip_limit(to, seat, "length", seat->length_from, size.x, "long", err);
    if (seat->kind == BLY_SEAT_PATCH)
        return slip_limit(to, seat, "width", seat->width, 2 * size.y, "wide, both sides of it",
                          err);
    return slip_end(to, seat, size.x, err) &&
           (seat->kind != BLY_SEAT_TIE || slip_leader(to, blank, seat, err));
}

/* What lies on a patch is taken as lying on the skin: where two overlap, metal would be counted in
 * one place twice. */
static bool slip_overlap(BlySlips *to, const BlySeat *patch, const BlySeat *other, BlyError *err) {
    double from = fmax(patch->x_from, other->x_from), end = fmin(patch->x_to, other->x_to);
    char place[128];
    (void)snprintf(place, sizeof place, "/seats/%.80s/x", other->name);
    return patch->side != other->side || end - from < 1e-6 ||
           bly_slip_add(to, err, place,
                        "lies on the patch %s from %.4g to %.4g mm: metal on both would lie in one "
                        "place",
                        patch->name, in_mm * from, in_mm * end);
}

bool bly_slip_seats(BlySlips *to, const BlyBlank *blank, const BlySeat *seats, size_t count,
                    BlyError *err) {
    for (size_t i = 0; i < count; i++) {
        if (!slip_seat(to, blank, &seats[i], err))
            return false;
        for (size_t k = 0; k < count && seats[i].kind == BLY_SEAT_SLOT; k++) {
            if (seats[k].kind == BLY_SEAT_HANGER && seats[k].side == BLY_AT_BELLY &&
                !slip_hanger(to, &seats[i], &seats[k], err))
                return false;
        }
        for (size_t k = i + 1; k < count && seats[i].kind == BLY_SEAT_PATCH; k++) {
            if (seats[k].kind == BLY_SEAT_PATCH && !slip_overlap(to, &seats[i], &seats[k], err))
                return false;
        }
    }
    return true;
}
