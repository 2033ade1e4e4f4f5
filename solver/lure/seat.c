/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a seat is on the body, and where an eye's loop stands off it. */
#include "ballastry/lure.h"
#include "lure/items.h"

/* The section at x; a place off the body by rounding only counts as its end. */
static bool section_at(const BlyBody *body, double x, BlySection *section) {
    BlyBox box = bly_body_box(body);
    double slack = 1e-6 * (box.high.x - box.low.x);
    if (!(x >= box.low.x - slack && x <= box.high.x + slack))
        return false;
    return bly_body_section(body, fmin(fmax(x, box.low.x), box.high.x), section);
}

BlyVec3 bly_seat_surface(const BlyBlank *blank, const BlySeat *seat, double x) {
    BlySection section;
    if (!section_at(blank->bare, x, &section))
        return bly_vec(NAN, NAN, NAN);
    double z = section.centre;
    if (seat->side == BLY_AT_BELLY)
        z = section.belly;
    else if (seat->side == BLY_AT_BACK)
        z = section.back;
    return bly_vec(x, 0.0, z);
}

BlyVec3 seat_outward(BlySeatSide side) {
    switch (side) {
    case BLY_AT_NOSE:
        return bly_vec(-1.0, 0.0, 0.0);
    case BLY_AT_BACK:
        return bly_vec(0.0, 0.0, 1.0);
    case BLY_AT_TAIL:
        return bly_vec(1.0, 0.0, 0.0);
    case BLY_AT_BELLY:
    case BLY_SIDES:
        break;
    }
    return bly_vec(0.0, 0.0, -1.0);
}

BlyVec3 bly_seat_hang(const BlyBlank *blank, const BlySeat *seat, double x, const BlyPart *eye) {
    BlyVec3 surface = bly_seat_surface(blank, seat, x);
    if (!eye)
        return surface;
    double radius = 0.5 * known_or_zero(eye->outer);
    BlyVec3 middle = bly_vec_add(surface, bly_vec_scale(seat_outward(seat->side), radius));
    double drop = fmax(radius - known_or_zero(eye->wire), 0.0);
    return bly_vec_add(middle, bly_vec(0.0, 0.0, -drop));
}
