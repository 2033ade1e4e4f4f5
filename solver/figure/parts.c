/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is fixed to the body: eyes, lip, metal on the surface. */
#include "figure/shapes.h"

#include <gsl/gsl_math.h>

static const BlyVec3 outward_of[BLY_SIDES] = {
    [BLY_AT_NOSE] = {-1, 0, 0},
    [BLY_AT_BELLY] = {0, 0, -1},
    [BLY_AT_BACK] = {0, 0, 1},
    [BLY_AT_TAIL] = {1, 0, 0},
};

static double known(double size) {
    return isfinite(size) ? size : 0;
}

static void put(Figure *figure, Aspect aspect, BlyVec3 p) {
    figure_point(figure, bly_aspect_point(aspect, p));
}

static BlyVec3 along_by(BlyVec3 from, BlyVec3 direction, double by) {
    return bly_vec_add(from, bly_vec_scale(direction, by));
}

void figure_eye(Figure *figure, const FigureOf *of, int seat, Aspect aspect) {
    const BlySeat *place = &of->build->seats[seat];
    const BlyChoice *choice = &of->rig->at[seat];
    const BlyPart *eye = choice->of[BLY_PART_EYE].part;
    if (eye == NULL)
        return;
    BlyVec3 surface = bly_seat_surface(of->lure->blank, place, choice->x);
    BlyVec3 outward = outward_of[place->side];
    double wire = known(eye->wire), radius = 0.5 * (known(eye->outer) - wire);
    figure_begin(figure, SHAPE_HIDDEN, seat, 0, false);
    put(figure, aspect, surface);
    put(figure, aspect, along_by(surface, outward, -known(eye->length)));
    BlyVec3 middle = along_by(surface, outward, 0.5 * known(eye->outer));
    figure_begin(figure, SHAPE_WIRE, seat, wire, true);
    for (int i = 0; i < 24; i++) {
        double a = 2 * M_PI * i / 24;
        put(figure, aspect, bly_vec_add(middle, bly_vec(radius * cos(a), 0, radius * sin(a))));
    }
}

/* --- the lip --------------------------------------------------------------------------------- */

typedef struct Plate {
    const BlyPart *outline;
    BlyVec3 mouth, along, across; /* across: square to the plate, in the x-z plane */
    double length, depth, thickness;
} Plate;

static bool plate_of(const FigureOf *of, int seat, Plate *out) {
    const BlySeat *place = &of->build->seats[seat];
    const BlyChoice *choice = &of->rig->at[seat];
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    out->outline = choice->of[BLY_PART_OUTLINE].part;
    if (place->kind != BLY_SEAT_SLOT || sheet == NULL || out->outline == NULL)
        return false;
    out->mouth = bly_seat_surface(of->lure->blank, place, choice->x);
    out->along = bly_vec(-cos(place->angle), 0, -sin(place->angle));
    out->across = bly_vec(-out->along.z, 0, out->along.x);
    out->length = choice->length;
    out->depth = known(place->depth);
    out->thickness = known(isnan(choice->thickness) ? sheet->thickness : choice->thickness);
    return true;
}

/* The plate from one place along it to another: its edge from the side, its face from elsewhere. */
static void put_plate(Figure *figure, const Plate *plate, double from, double to, Aspect aspect) {
    enum { STEPS = 40 };
    if (fabs(sin(aspect.h)) < 0.02 && !aspect.front) {
        double half = 0.5 * plate->thickness;
        const double corner[4][2] = {{from, half}, {to, half}, {to, -half}, {from, -half}};
        for (int i = 0; i < 4; i++)
            put(figure, aspect,
                along_by(along_by(plate->mouth, plate->along, corner[i][0]), plate->across,
                         corner[i][1]));
        return;
    }
    for (int side = 1; side >= -1; side -= 2) {
        for (int i = 0; i <= STEPS; i++) {
            double share = 0.5 - 0.5 * cos(M_PI * (side > 0 ? i : STEPS - i) / STEPS);
            double s = from + share * (to - from);
            double half = bly_outline_half_width(plate->outline, plate->length, s + plate->depth);
            BlyVec3 p = along_by(plate->mouth, plate->along, s);
            p.y = side * known(half);
            put(figure, aspect, p);
        }
    }
}

void figure_lip(Figure *figure, const FigureOf *of, int seat, Aspect aspect) {
    Plate plate;
    if (!plate_of(of, seat, &plate))
        return;
    figure_begin(figure, SHAPE_LIP, seat, 0, true);
    put_plate(figure, &plate, 0, plate.length - plate.depth, aspect);
    figure_begin(figure, SHAPE_HIDDEN, seat, 0, true);
    put_plate(figure, &plate, -plate.depth, 0, aspect);
}

/* --- metal on the surface -------------------------------------------------------------------- */

typedef struct Band {
    const BlyBody *hull;
    bool back;
    double thickness;
    int seat;
    Aspect aspect;
} Band;

/* The point of the section's outline that lies `arc` along it from its lowest (highest) point. */
static BlyVec3 around(const Band *band, double x, double arc, double thickness) {
    enum { STEPS = 60 };
    BlySection section;
    if (!bly_body_section(band->hull, x, &section))
        return bly_vec(NAN, NAN, NAN);
    double b = 0.5 * section.width, c = 0.5 * section.height, power = 2 / section.exponent;
    double way = band->back ? 1 : -1, gone = 0, y = 0, z = c;
    for (int i = 1; i <= STEPS && gone < arc; i++) {
        double a = M_PI_2 * i / STEPS;
        double next_y = b * pow(sin(a), power), next_z = c * pow(fmax(cos(a), 0), power);
        double step = hypot(next_y - y, next_z - z);
        double share = step > 0 ? fmin(1, (arc - gone) / step) : 1;
        y += share * (next_y - y);
        z += share * (next_z - z);
        gone += step;
    }
    return bly_vec(x, y, section.centre + way * (z + thickness));
}

/* How far the metal at x reaches to one side of the view: its edges and its middle, on the skin and
 * on top of it. */
static double reach_across(const Band *band, double x, double arc, int side) {
    Aspect level = {.h = band->aspect.h};
    double best = -INFINITY;
    for (int layer = 0; layer < 2; layer++) {
        double thickness = layer * band->thickness;
        BlyVec3 edge = around(band, x, arc, thickness), middle = around(band, x, 0, thickness);
        const BlyVec3 points[3] = {edge, bly_vec(edge.x, -edge.y, edge.z), middle};
        for (int k = 0; k < 3; k++)
            best = fmax(best, side * bly_aspect_point(level, points[k]).y);
    }
    return best;
}

/* Metal on the back is hidden from below, metal on the belly from above. */
static bool behind(const Band *band) {
    double from_below = sin(band->aspect.h);
    return band->back ? from_below > 0.9 : from_below < -0.9;
}

/* A band of metal along the line: at each place how far it reaches across, seen from the aspect. */
static void put_band(Figure *figure, const Band *band, double from, double to, BandHalf half,
                     const void *user) {
    enum { STEPS = 32 };
    figure_begin(figure, behind(band) ? SHAPE_HIDDEN : SHAPE_METAL, band->seat, 0, true);
    for (int side = 1; side >= -1; side -= 2) {
        for (int i = 0; i <= STEPS; i++) {
            double share = 0.5 - 0.5 * cos(M_PI * (side > 0 ? i : STEPS - i) / STEPS);
            double x = from + share * (to - from);
            double best = reach_across(band, x, half(x, user), side);
            figure_point(figure, bly_aspect_point((Aspect){.t = band->aspect.t},
                                                  bly_vec(x, 0, side * best)));
        }
    }
}

static double even_half(double x, const void *user) {
    (void)x;
    return 0.5 * *(const double *)user;
}

typedef struct Dot {
    double x, radius;
} Dot;

static double dot_half(double x, const void *user) {
    const Dot *dot = user;
    return sqrt(fmax(0, dot->radius * dot->radius - (x - dot->x) * (x - dot->x)));
}

/* Where a strip of this length ends: along the line of the hull in small steps. */
static double strip_end(const Band *band, double from, double length, double limit) {
    enum { STEPS = 200 };
    double x = from, step = (limit - from) / STEPS;
    for (int i = 0; i < STEPS && length > 0 && step > 0; i++) {
        BlySection section;
        if (!bly_body_section(band->hull, x + 0.5 * step, &section))
            break;
        double slope = band->back ? section.back_slope : section.belly_slope;
        double gone = step * hypot(1, isfinite(slope) ? slope : 0);
        x += step * fmin(1, length / gone);
        length -= gone;
    }
    return x;
}

static void put_dots(Figure *figure, const Band *base, const BlySeat *place,
                     const BlyChoice *choice, const BlyPart *dot) {
    double d = known(dot->outer), reach = place->x_to - place->x_from;
    if (!(d > 0) || choice->count < 1)
        return;
    int row = (int)fmin(fmax(1, floor(reach / d + 1e-6)), choice->count);
    int layers = (choice->count + row - 1) / row;
    double half_row = 0.5 * row * d, middle = 0.5 * (place->x_from + place->x_to);
    if (2 * half_row <= reach)
        middle = fmin(fmax(choice->x, place->x_from + half_row), place->x_to - half_row);
    Band band = *base;
    band.thickness = layers * known(dot->thickness);
    for (int i = 0; i < row; i++) {
        Dot one = {middle + (i - 0.5 * (row - 1)) * d, 0.5 * d};
        put_band(figure, &band, one.x - one.radius, one.x + one.radius, dot_half, &one);
    }
}

void figure_metal(Figure *figure, const FigureOf *of, int seat, Aspect aspect) {
    const BlySeat *place = &of->build->seats[seat];
    const BlyChoice *choice = &of->rig->at[seat];
    const BlyPart *strip = choice->of[BLY_PART_STRIP].part;
    const BlyPart *dot = choice->of[BLY_PART_DOT].part;
    Band band = {.hull = of->lure->blank->hull,
                 .back = place->side == BLY_AT_BACK,
                 .seat = seat,
                 .aspect = aspect};
    if (strip != NULL) {
        double width = known(strip->width);
        band.thickness = choice->count * known(strip->thickness);
        double end = strip_end(&band, choice->x, choice->length, place->x_to);
        put_band(figure, &band, choice->x, end, even_half, &width);
    }
    if (dot != NULL)
        put_dots(figure, &band, place, choice, dot);
}
