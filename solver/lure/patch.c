/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Metal on the surface: a strip bent around the section, or dots. It lies on the hull; under the
 * clear coat it lifts the coat by as much, so that it displaces its own volume either way. */
#include "lure/items.h"

#include <gsl/gsl_math.h>

static BlySide side_of(const BlySeat *seat) {
    return seat->side == BLY_AT_BACK ? BLY_BACK : BLY_BELLY;
}

/* A point of the belly or back line of the hull. */
static bool on_line(const BlyItemList *list, double x, BlyVec3 *out, double *slope) {
    BlySection section;
    if (!bly_body_section(list->blank->hull, x, &section))
        return false;
    bool back = list->seat->side == BLY_AT_BACK;
    *out = bly_vec(x, 0.0, back ? section.back : section.belly);
    *slope = back ? section.back_slope : section.belly_slope;
    return true;
}

/* A volume spread along the line between two places, its middle at the true centroid. */
static void spread(const BlyItemList *list, BlyItem *item, double x_from, double x_to) {
    BlyVec3 a, b;
    double slope;
    if (!on_line(list, x_from, &a, &slope) || !on_line(list, x_to, &b, &slope))
        return;
    BlyVec3 half = bly_vec_scale(bly_vec_sub(b, a), 0.5);
    item->from = bly_vec_sub(item->at, half);
    item->to = bly_vec_add(item->at, half);
}

/* Lays the strip from choice->x so that its length along the line is choice->length: the line's
 * slope says how far x goes for a piece of length, three or four steps do. */
static bool lay(const BlyItemList *list, const BlyChoice *choice, const BlyPart *strip,
                BlySolid *solid, double *x_to, BlyError *err) {
    double x = choice->x, length = 0.0, thickness = choice->count * strip->thickness;
    for (int step = 0; step < 20 && fabs(choice->length - length) > 1e-9; step++) {
        BlyVec3 point;
        double slope = 0.0;
        (void)on_line(list, x, &point, &slope);
        x += (choice->length - length) / hypot(1.0, isfinite(slope) ? fmin(fabs(slope), 1e3) : 0.0);
        if (!(x > choice->x) || x > list->seat->x_to + 1e-3)
            break;
        if (!bly_body_strip(list->blank->hull, side_of(list->seat), choice->x, x, strip->width,
                            thickness, solid, &length, err))
            return false;
    }
    *x_to = x;
    if (fabs(choice->length - length) <= 1e-7 && x <= list->seat->x_to + 1e-6)
        return true;
    return bly_fail(err, BLY_E_RANGE, NULL,
                    "a strip of %.2f mm from %.2f mm on ends beyond the patch's end at %.2f mm",
                    1e3 * choice->length, 1e3 * choice->x, 1e3 * list->seat->x_to);
}

static bool add_strip(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyPiece *piece = &choice->piece[BLY_PART_STRIP];
    const BlyPart *strip = piece->part;
    BlySolid solid;
    BlyFigure mass;
    double x_to;
    if (!(strip->width > 0.0) || !(strip->thickness > 0.0))
        return bly_fail(err, BLY_E_MISSING, NULL, "width or thickness of %s is not known",
                        strip->id);
    if (!(choice->length > 0.0) || choice->count < 1)
        return bly_fail(err, BLY_E_RANGE, NULL, "the strip has no length or no layers");
    if (!lay(list, choice, strip, &solid, &x_to, err) ||
        !bly_piece_mass(piece, solid.volume * strip->density.value, &mass, err))
        return false;
    BlyItem *item = bly_items_next(list, strip, solid.centroid);
    item->mass = mass.value;
    item->mass_give = mass.give;
    item->volume = solid.volume;
    spread(list, item, choice->x, x_to);
    return true;
}

/* `count` dots of one row in each of `layers` layers, on top of `below` layers: one item.
 *
 * Only its centre needs the body. A dot of diameter D has the second moment of a square strip with
 * sides of sqrt(3)/2 D, a row of k that of one sqrt(k^2 - 1/4) D long; the centre of a layer at
 * some height is that of a strip reaching twice as high. */
static bool add_row(BlyItemList *list, const BlyPart *dot, double x, int count, int layers,
                    int below, BlyFigure mass_each, BlyError *err) {
    double d = dot->outer, half_row = 0.5 * count * d;
    double reach = list->seat->x_to - list->seat->x_from;
    double middle = 2.0 * half_row > reach
                        ? 0.5 * (list->seat->x_from + list->seat->x_to)
                        : fmin(fmax(x, list->seat->x_from + half_row), list->seat->x_to - half_row);
    double half = 0.5 * d * sqrt((double)count * count - 0.25);
    double height = (2.0 * below + layers) * bly_known(dot->thickness);
    BlySolid solid;
    if (!bly_body_strip(list->blank->hull, side_of(list->seat), middle - half, middle + half,
                        0.5 * M_SQRT3 * d, fmax(height, 1e-9), &solid, NULL, err))
        return false;
    BlyItem *item = bly_items_next(list, dot, solid.centroid);
    item->mass = mass_each.value * count * layers;
    item->mass_give = mass_each.give * count * layers;
    item->volume = bly_known(dot->volume) * count * layers;
    spread(list, item, middle - half, middle + half);
    return true;
}

/* Dots lie side by side, a diameter apart, in a row centred at x and shifted only as far as it must
 * to stay within the patch; when the row is full, the next is laid on top of it. */
static bool add_dots(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyPiece *piece = &choice->piece[BLY_PART_DOT];
    const BlyPart *dot = piece->part;
    BlyFigure mass;
    if (!(dot->outer > 0.0))
        return bly_fail(err, BLY_E_MISSING, NULL, "the size of %s is not known", dot->id);
    if (choice->count < 1)
        return bly_fail(err, BLY_E_RANGE, NULL, "no dots");
    if (!bly_piece_mass(piece, choice->count * dot->mass.value, &mass, err))
        return false;
    BlyFigure each = {mass.value / choice->count, mass.give / choice->count};
    double room = floor((list->seat->x_to - list->seat->x_from) / dot->outer + 1e-6);
    int row = room < 1.0 ? 1 : (room > choice->count ? choice->count : (int)room);
    int full = choice->count / row, rest = choice->count % row;
    if (!add_row(list, dot, choice->x, row, full, 0, each, err))
        return false;
    return rest == 0 || add_row(list, dot, choice->x, rest, 1, full, each, err);
}

bool bly_items_patch(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    size_t before = list->count;
    bool good = true;
    if (list->seat->side != BLY_AT_BELLY && list->seat->side != BLY_AT_BACK)
        good = bly_choice_is_empty(choice) ||
               bly_fail(err, BLY_E_CONFLICT, NULL, "a patch lies on the belly or on the back");
    if (good && choice->piece[BLY_PART_STRIP].part)
        good = add_strip(list, choice, err);
    if (good && choice->piece[BLY_PART_DOT].part)
        good = add_dots(list, choice, err);
    if (!good)
        list->count = before;
    return good;
}
