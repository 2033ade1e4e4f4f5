/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lip in its slot. The plate runs from the slot's mouth on the belly line forward and down; s is
 * measured along it from the mouth, outward positive. What lies within the bare body takes body
 * material away; what lies within the hull displaces nothing; the rest is in the water. */
#include "lure/items.h"

typedef struct Plate {
    const BlyPart *outline;
    double length, depth;
    double thickness, out; /* m: in the slot, and of what stands out of it */
    BlyVec3 mouth, along;
} Plate;

static double half_width(double s, const void *user) {
    const Plate *plate = user;
    return bly_outline_half_width(plate->outline, plate->length, s + plate->depth);
}

static BlyPlateSplit split(const BlyBody *body, const Plate *plate) {
    return bly_body_split_plate(body, plate->mouth, plate->along, -plate->depth,
                                plate->length - plate->depth, half_width, plate);
}

static bool plate_of(const BlyItemList *list, const BlyChoice *choice, Plate *out, BlyError *err) {
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    const BlySeat *seat = list->seat;
    out->outline = choice->of[BLY_PART_OUTLINE].part;
    out->length = choice->length;
    out->depth = known_or_zero(seat->depth);
    out->thickness = isnan(choice->thickness) ? sheet->thickness : choice->thickness;
    out->out = out->thickness - choice->filed;
    out->mouth = bly_seat_surface(list->blank, seat, choice->x);
    out->along = bly_vec(-cos(seat->angle), 0.0, -sin(seat->angle));
    if (!(out->thickness > 0.0) || !isfinite(out->thickness))
        return bly_fail(err, BLY_E_MISSING, NULL, "the thickness of %s is unknown", sheet->id);
    if (!(out->out > 0.0) || choice->filed < 0.0)
        return bly_fail(err, BLY_E_RANGE, NULL, "nothing of the lip is left outside");
    if (!isfinite(seat->angle))
        return bly_fail(err, BLY_E_MISSING, NULL, "the slot's angle is unknown");
    if (!(out->length > 0.0) || !isfinite(out->length) || out->depth < 0.0)
        return bly_fail(err, BLY_E_RANGE, NULL, "the lip has no length");
    return true;
}

/* The wetted line: through the outer piece's centroid and as far as both ends allow with the
 * centroid in its middle, so that a volume spread evenly over it has the right centre. */
static void wet_line(BlyItem *item, const Plate *plate, BlyVec3 centroid) {
    double s = bly_vec_dot(bly_vec_sub(centroid, plate->mouth), plate->along);
    double reach = fmax(fmin(s, plate->length - plate->depth - s), 0.0);
    item->from = bly_vec_sub(centroid, bly_vec_scale(plate->along, reach));
    item->to = bly_vec_add(centroid, bly_vec_scale(plate->along, reach));
}

static void face(BlyItem *item, const Plate *plate, BlyArea outer) {
    double across = plate->outline->width, along = plate->length - plate->depth;
    if (!(across > 0.0) || !(along > 0.0) || !(outer.area > 0.0))
        return;
    item->face = BLY_FACE_PLATE;
    item->face_area = outer.area;
    item->face_size = fmin(across, along);
    item->face_across = across;
    item->face_aspect = fmax(across, along) / item->face_size;
    item->face_normal = bly_vec(-plate->along.z, 0.0, plate->along.x);
    item->face_at = outer.centroid;
}

enum { ALONG = 120, WIDE = 24, THICK = 3 };

/* One line across the plate, at s along it and `off` from its middle plane. */
static void fill_line(BlyFilling *sum, const BlyBody *body, const Plate *plate, double s,
                      double off) {
    BlyVec3 across = bly_vec(-plate->along.z, 0.0, plate->along.x);
    BlyVec3 at = bly_vec_add(bly_vec_add(plate->mouth, bly_vec_scale(plate->along, s)),
                             bly_vec_scale(across, off));
    double half = fmin(half_width(s, plate), bly_body_half_width(body, at.x, at.z));
    for (int k = 0; half > 0.0 && k < WIDE; k++) {
        at.y = half * (2.0 * (k + 0.5) / WIDE - 1.0);
        filling_add(sum, body, at, half);
    }
}

static BlyFilling filling_of(const BlyBody *body, const Plate *plate) {
    BlyFilling sum = {0};
    /* Before the mouth a round belly bulges; not by more than the slot is deep. */
    double length = fmin(plate->length, 2.0 * plate->depth);
    for (int i = 0; i < ALONG && !bly_body_is_solid(body); i++) {
        double s = length * (i + 0.5) / ALONG - plate->depth;
        for (int j = 0; j < THICK; j++)
            fill_line(&sum, body, plate, s, plate->thickness * ((j + 0.5) / THICK - 0.5));
    }
    return sum;
}

bool items_lip(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyChosenPart *piece = &choice->of[BLY_PART_SHEET];
    const BlyPart *sheet = piece->part, *outline = choice->of[BLY_PART_OUTLINE].part;
    Plate plate;
    if (!sheet || !outline)
        return true;
    if (!plate_of(list, choice, &plate, err))
        return false;
    BlyPlateSplit hull = split(list->blank->hull, &plate), bare = split(list->blank->bare, &plate);
    double inside = hull.inner.area * plate.thickness, outside = hull.outer.area * plate.out;
    double whole = inside + outside; /* m3 */
    if (!(whole > 0.0) || !isfinite(whole))
        return bly_fail(err, BLY_E_MISSING, NULL, "the outline %s has no area", outline->id);
    BlyFigure mass;
    if (!inset_mass(piece, whole * sheet->density.value, &mass, err))
        return false;
    if (hull.inner.area > 0.0) {
        BlyItem *inner = items_next(list, sheet, hull.inner.centroid);
        inner->mass = mass.value * inside / whole;
        inner->mass_give = mass.give * inside / whole;
    }
    if (hull.outer.area > 0.0) {
        BlyItem *outer = items_next(list, sheet, hull.outer.centroid);
        outer->mass = mass.value * outside / whole;
        outer->mass_give = mass.give * outside / whole;
        outer->volume = outside;
        wet_line(outer, &plate, hull.outer.centroid);
        face(outer, &plate, hull.outer);
    }
    if (bare.inner.area > 0.0) {
        BlyItem *removed = items_next(list, sheet, bare.inner.centroid);
        BlyFilling filling = filling_of(list->blank->bare, &plate);
        item_remove(list, removed, bare.inner.area * plate.thickness, &filling);
    }
    return true;
}
