/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces inside a glued blank, dashed: the edges of the planes that part its layers, and its
 * solids. Where planes cross, each is drawn as far as its own zone goes along the body and no
 * further. */
#include "figure/shapes.h"

#include <gsl/gsl_math.h>

enum { STEPS = 64, AROUND = 24 };

static double within(const double range[2], double value) {
    return GSL_MIN_DBL(GSL_MAX_DBL(value, range[0]), range[1]);
}

/* Places crowd towards both ends, where joints turn. */
static double place(const double range[2], int step) {
    return range[0] + (range[1] - range[0]) * (0.5 - 0.5 * cos(M_PI * step / STEPS));
}

/* Where along the body a joint begins and ends: false when it is nowhere. */
typedef bool (*IsThere)(const BlyBody *body, double x, double at);

static double edge_between(const BlyBody *body, IsThere there, double at, double out, double in) {
    for (int i = 0; i < 40; i++) {
        double middle = 0.5 * (out + in);
        if (there(body, middle, at))
            in = middle;
        else
            out = middle;
    }
    return in;
}

static bool find_range(const BlyBody *body, const BlyZone *zone, IsThere there, double at,
                       double range[2]) {
    BlyBox box = bly_body_box(body);
    const double whole[2] = {GSL_MAX_DBL(box.low.x, zone->x[0]),
                             GSL_MIN_DBL(box.high.x, zone->x[1])};
    int first = 0, last = STEPS;
    while (first <= STEPS && !there(body, place(whole, first), at))
        first++;
    while (last >= 0 && !there(body, place(whole, last), at))
        last--;
    if (first >= last)
        return false;
    range[0] = place(whole, first);
    range[1] = place(whole, last);
    if (first > 0)
        range[0] = edge_between(body, there, at, place(whole, first - 1), range[0]);
    if (last < STEPS)
        range[1] = edge_between(body, there, at, place(whole, last + 1), range[1]);
    return true;
}

static bool as_high(const BlyBody *body, double x, double z) {
    return bly_body_half_width(body, x, z) > 0;
}

static bool as_wide(const BlyBody *body, double x, double y) {
    BlySection s;
    return bly_body_section(body, x, &s) && 0.5 * s.width > fabs(y);
}

/* A joint at one height: the edge of its plane, to starboard and back along port. */
static void put_level(Figure *figure, const BlyBody *body, const BlyZone *zone, double z,
                      Aspect aspect) {
    double range[2];
    if (!find_range(body, zone, as_high, z, range))
        return;
    figure_begin(figure, SHAPE_HIDDEN, -1, 0, true);
    for (int i = 0; i <= 2 * STEPS + 1; i++) {
        double side = i <= STEPS ? 1 : -1;
        double x = place(range, i <= STEPS ? i : 2 * STEPS + 1 - i);
        double half = GSL_MIN_DBL(bly_body_half_width(body, x, z), zone->off[1]);
        figure_point(figure, bly_aspect_point(aspect, bly_vec(x, side * half, z)));
    }
}

/* A joint across the lure: its section, as far up and down as the zone goes. */
static void put_across(Figure *figure, const BlyBody *body, const BlyZone *zone, double x,
                       Aspect aspect) {
    BlySection s;
    if (!bly_body_section(body, x, &s))
        return;
    double middle = 0.5 * (s.back + s.belly), half = 0.5 * (s.back - s.belly);
    figure_begin(figure, SHAPE_HIDDEN, -1, 0, true);
    for (int i = 0; i < 2 * AROUND; i++) {
        double a = M_PI * i / AROUND, z = within(zone->z, middle - half * cos(a));
        double wide = GSL_MIN_DBL(bly_body_half_width(body, x, z), zone->off[1]);
        figure_point(figure, bly_aspect_point(aspect, bly_vec(x, i <= AROUND ? wide : -wide, z)));
    }
}

/* A joint along the lure, so far off the middle: heights at which the body is that wide. */
static void put_along(Figure *figure, const BlyBody *body, const BlyZone *zone, double y,
                      Aspect aspect) {
    double range[2];
    if (!find_range(body, zone, as_wide, y, range))
        return;
    figure_begin(figure, SHAPE_HIDDEN, -1, 0, true);
    for (int i = 0; i <= 2 * STEPS + 1; i++) {
        BlySection s;
        double up = i <= STEPS ? 1 : -1;
        double x = place(range, i <= STEPS ? i : 2 * STEPS + 1 - i);
        if (!bly_body_section(body, x, &s) || 0.5 * s.width <= fabs(y))
            continue;
        double rise =
            0.5 * s.height * pow(1 - pow(fabs(y) / (0.5 * s.width), s.exponent), 1 / s.exponent);
        double z = within(zone->z, s.centre + up * rise);
        figure_point(figure, bly_aspect_point(aspect, bly_vec(x, y, z)));
    }
}

static void put_layer(Figure *figure, const BlyBody *body, const BlyZone *zone, Aspect aspect) {
    BlyBox box = bly_body_box(body);
    for (int end = 0; end < 2; end++) {
        if (zone->z[end] > box.low.z && zone->z[end] < box.high.z)
            put_level(figure, body, zone, zone->z[end], aspect);
        if (zone->x[end] > box.low.x && zone->x[end] < box.high.x)
            put_across(figure, body, zone, zone->x[end], aspect);
        if (zone->off[end] > 0 && zone->off[end] < box.high.y) {
            put_along(figure, body, zone, zone->off[end], aspect);
            put_along(figure, body, zone, -zone->off[end], aspect);
        }
    }
}

/* A circle about `middle` in the plane of two unit vectors. */
static void put_circle(Figure *figure, BlyVec3 middle, BlyVec3 u, BlyVec3 v, double radius,
                       Aspect aspect) {
    figure_begin(figure, SHAPE_HIDDEN, -1, 0, true);
    for (int i = 0; i < AROUND; i++) {
        double a = 2 * M_PI * i / AROUND;
        BlyVec3 off =
            bly_vec_add(bly_vec_scale(u, radius * cos(a)), bly_vec_scale(v, radius * sin(a)));
        figure_point(figure, bly_aspect_point(aspect, bly_vec_add(middle, off)));
    }
}

/* Both end circles, and the two lines that its sides show. */
static void put_rod(Figure *figure, const BlyForm *rod, Aspect aspect) {
    BlyVec3 along = bly_vec_sub(rod->to, rod->from);
    along = bly_vec_scale(along, 1 / bly_vec_norm(along));
    BlyVec3 u = fabs(along.y) > 0.5 ? bly_vec(1, 0, 0) : bly_vec(0, 1, 0);
    BlyVec3 v = bly_vec_cross(along, u);
    put_circle(figure, rod->from, u, v, rod->radius, aspect);
    put_circle(figure, rod->to, u, v, rod->radius, aspect);
    Pt a = bly_aspect_point(aspect, rod->from), b = bly_aspect_point(aspect, rod->to);
    double length = hypot(b.x - a.x, b.y - a.y);
    if (length < 1e-6)
        return;
    Pt off = {-rod->radius * (b.y - a.y) / length, rod->radius * (b.x - a.x) / length};
    for (int side = -1; side <= 1; side += 2) {
        figure_begin(figure, SHAPE_HIDDEN, -1, 0, false);
        figure_point(figure, (Pt){a.x + side * off.x, a.y + side * off.y});
        figure_point(figure, (Pt){b.x + side * off.x, b.y + side * off.y});
    }
}

static BlyVec3 corner(const BlyForm *box, int i) {
    return bly_vec(i & 1 ? box->to.x : box->from.x, i & 2 ? box->to.y : box->from.y,
                   i & 4 ? box->to.z : box->from.z);
}

static void put_box(Figure *figure, const BlyForm *box, Aspect aspect) {
    for (int i = 0; i < 8; i++) {
        for (int axis = 1; axis < 8; axis *= 2) {
            if (i & axis)
                continue;
            figure_begin(figure, SHAPE_HIDDEN, -1, 0, false);
            figure_point(figure, bly_aspect_point(aspect, corner(box, i)));
            figure_point(figure, bly_aspect_point(aspect, corner(box, i | axis)));
        }
    }
}

static void put_form(Figure *figure, const BlyForm *form, Aspect aspect) {
    Pt middle = bly_aspect_point(aspect, form->from);
    switch (form->kind) {
    case BLY_FORM_BALL:
        figure_begin(figure, SHAPE_HIDDEN, -1, 0, true);
        figure_arc(figure, middle, form->radius, form->radius, 0, 2 * M_PI);
        break;
    case BLY_FORM_ROD:
        put_rod(figure, form, aspect);
        break;
    case BLY_FORM_BOX:
        put_box(figure, form, aspect);
        break;
    }
}

void figure_pieces(Figure *figure, const BlyBlank *blank, Aspect aspect) {
    for (size_t i = 0; i < blank->facts.inset_count; i++) {
        const BlyInset *inset = &blank->facts.insets[i];
        if (inset->is_layer)
            put_layer(figure, blank->bare, &inset->zone, aspect);
        for (size_t f = 0; f < inset->form_count; f++)
            put_form(figure, &inset->form[f], aspect);
    }
}
