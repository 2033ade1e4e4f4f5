/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Metal on the surface: a strip bent around the section, or dots. It lies on the bare skin; the
 * coat over it keeps its volume and bulges, so that the metal's own volume is displaced there. */
#include "lure/items.h"

#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>

static BlySide side_of(const BlySeat *seat) {
    return seat->side == BLY_AT_BACK ? BLY_BACK : BLY_BELLY;
}

/* A point of the belly or back line of the bare skin. */
static bool on_line(const BlyItemList *list, double x, BlyVec3 *out, double *slope) {
    BlySection section;
    if (!bly_body_section(list->blank->bare, x, &section))
        return false;
    bool back = list->seat->side == BLY_AT_BACK;
    *out = bly_vec(x, 0.0, back ? section.back : section.belly);
    *slope = back ? section.back_slope : section.belly_slope;
    return true;
}

/* A volume spread along the line between two places, its middle at the true centroid. */
static void spread(const BlyItemList *list, BlyItem *item, BlyVec3 middle, double x_from,
                   double x_to) {
    BlyVec3 a, b;
    double slope;
    if (!on_line(list, x_from, &a, &slope) || !on_line(list, x_to, &b, &slope))
        return;
    BlyVec3 half = bly_vec_scale(bly_vec_sub(b, a), 0.5);
    item->from = bly_vec_sub(middle, half);
    item->to = bly_vec_add(middle, half);
}

static double slope_at(const BlyItemList *list, double x) {
    BlyVec3 point;
    double slope = 0.0;
    (void)on_line(list, x, &point, &slope);
    return isfinite(slope) ? GSL_MAX_DBL(GSL_MIN_DBL(slope, 1e3), -1e3) : 1e3;
}

static double stretch(double x, const BlyItemList *list) {
    return hypot(1.0, slope_at(list, x));
}

/* A piece of the line; r from 0 to 1 runs slowly at both ends, where it is steep at a round tip. */
typedef struct Stretch {
    const BlyItemList *list;
    double from, span;
} Stretch;

static double stretch_at(double r, void *user) {
    const Stretch *piece = user;
    double x = piece->from + piece->span * r * r * (3.0 - 2.0 * r);
    return piece->span * 6.0 * r * (1.0 - r) * stretch(x, piece->list);
}

/* Length along the line from x_from to x_to at half the thickness of what lies on it: the line's
 * own, and half the thickness times the angle by which it turns outward. */
static double line_length(const BlyItemList *list, const gsl_integration_glfixed_table *rule,
                          double x_from, double x_to, double thickness) {
    Stretch piece = {list, x_from, x_to - x_from};
    gsl_function function = {stretch_at, &piece};
    double turn = atan(slope_at(list, x_to)) - atan(slope_at(list, x_from));
    return gsl_integration_glfixed(&function, 0.0, 1.0, rule) +
           0.5 * thickness * (list->seat->side == BLY_AT_BACK ? -turn : turn);
}

/* Nobody cuts tape to better than this; a strip that reaches over by less ends at the patch's end.
 */
static const double end_slack = 2e-4; /* m */

/* Where a strip ends that is so long and begins at choice->x: Newton's method, for the slope of the
 * line is the slope of its length. */
static bool strip_end(BlyItemList *list, const BlyChoice *choice, double thickness, double *x_to,
                      BlyError *err) {
    gsl_integration_glfixed_table *rule = gsl_integration_glfixed_table_alloc(10);
    if (!rule)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the strip's length");
    double x = choice->x, missing = choice->length;
    for (int step = 0; step < 20 && fabs(missing) > 1e-10; step++) {
        x += missing / stretch(x, list);
        if (!(x > choice->x) || x > list->seat->x_to + 1e-3)
            break;
        missing = choice->length - line_length(list, rule, choice->x, x, thickness);
    }
    gsl_integration_glfixed_table_free(rule);
    *x_to = fmin(x, list->seat->x_to);
    if (fabs(missing) <= 1e-10 && x <= list->seat->x_to + end_slack)
        return true;
    return bly_fail(err, BLY_E_RANGE, NULL,
                    "a strip of %.2f mm from %.2f mm on ends beyond the patch's end at %.2f mm",
                    1e3 * choice->length, 1e3 * choice->x, 1e3 * list->seat->x_to);
}

/* Metal between two places, under all of the blank's coats. */
static bool lay(const BlyItemList *list, double x_from, double x_to, double width, double thickness,
                BlyStripLaid *out, BlyError *err) {
    BlyStripSpec spec = {side_of(list->seat),        x_from, x_to, width, thickness,
                         list->blank->coat_thickness};
    return bly_body_strip_coated(list->blank->bare, &spec, out, err);
}

static bool add_strip(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyChosenPart *piece = &choice->of[BLY_PART_STRIP];
    const BlyPart *strip = piece->part;
    BlyStripLaid laid;
    BlyFigure mass;
    double x_to = NAN;
    if (!(strip->width > 0.0) || !(strip->thickness > 0.0))
        return bly_fail(err, BLY_E_MISSING, NULL, "the width or thickness of %s is unknown",
                        strip->id);
    if (!(choice->length > 0.0) || choice->count < 1)
        return bly_fail(err, BLY_E_RANGE, NULL, "the strip has no length or no layers");
    double thickness = choice->count * strip->thickness;
    if (!strip_end(list, choice, thickness, &x_to, err) ||
        !lay(list, choice->x, x_to, strip->width, thickness, &laid, err) ||
        !inset_mass(piece, laid.metal.volume * strip->density.value, &mass, err))
        return false;
    BlyItem *item = items_next(list, strip, laid.metal.centroid);
    item->mass = mass.value;
    item->mass_give = mass.give;
    item->volume = laid.metal.volume;
    spread(list, item, laid.bulge, choice->x, x_to);
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
    double height = (2.0 * below + layers) * known_or_zero(dot->thickness);
    BlyStripLaid laid;
    if (!lay(list, middle - half, middle + half, 0.5 * M_SQRT3 * d, fmax(height, 1e-9), &laid, err))
        return false;
    BlyItem *item = items_next(list, dot, laid.metal.centroid);
    item->mass = mass_each.value * count * layers;
    item->mass_give = mass_each.give * count * layers;
    BlyChosenPart one = {dot, mass_each};
    item->volume = bly_chosen_volume(&one, dot->mass.value, dot->volume) * count * layers;
    spread(list, item, laid.bulge, middle - half, middle + half);
    return true;
}

/* Dots lie side by side, a diameter apart, in a row centred at x and shifted only as far as it must
 * to stay within the patch; when the row is full, the next is laid on top of it. */
static bool add_dots(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    const BlyChosenPart *piece = &choice->of[BLY_PART_DOT];
    const BlyPart *dot = piece->part;
    BlyFigure mass;
    if (!(dot->outer > 0.0))
        return bly_fail(err, BLY_E_MISSING, NULL, "the size of %s is unknown", dot->id);
    if (choice->count < 1)
        return bly_fail(err, BLY_E_RANGE, NULL, "no dots");
    if (!inset_mass(piece, choice->count * dot->mass.value, &mass, err))
        return false;
    BlyFigure each = {mass.value / choice->count, mass.give / choice->count};
    double room = floor((list->seat->x_to - list->seat->x_from) / dot->outer + 1e-6);
    int row = room < 1.0 ? 1 : (room > choice->count ? choice->count : (int)room);
    int full = choice->count / row, rest = choice->count % row;
    if (!add_row(list, dot, choice->x, row, full, 0, each, err))
        return false;
    return rest == 0 || add_row(list, dot, choice->x, rest, 1, full, each, err);
}

bool items_patch(BlyItemList *list, const BlyChoice *choice, BlyError *err) {
    size_t before = list->count;
    bool good = true;
    if (list->seat->side != BLY_AT_BELLY && list->seat->side != BLY_AT_BACK)
        good = bly_choice_is_empty(choice) ||
               bly_fail(err, BLY_E_CONFLICT, NULL, "a patch lies on the belly or on the back");
    if (good && choice->of[BLY_PART_STRIP].part)
        good = add_strip(list, choice, err);
    if (good && choice->of[BLY_PART_DOT].part)
        good = add_dots(list, choice, err);
    if (!good)
        list->count = before;
    return good;
}
