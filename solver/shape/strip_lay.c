/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip of sheet laid along the belly or back line of any kind of body: what follows the line.
 * How it bends across the line is the kind's (strip.c, mesh_strip.c). */
#include "shape/shape.h"
#include "numeric/numeric.h"

#include <math.h>

/* How far the line turns outwards from one end to the other: length grows by half t times this. */
static double line_turn(const BlyBody *body, const BlyStripSpec *spec) {
    BlySection from, to;
    (void)body->kind->section(body, spec->x_from, &from);
    (void)body->kind->section(body, spec->x_to, &to);
    if (spec->side == BLY_BELLY)
        return atan(to.belly_slope) - atan(from.belly_slope);
    return atan(from.back_slope) - atan(to.back_slope);
}

/* Half a section between the skin and r off it, along the normals:
 *
 *     area            r int ds + r^2/2 q1
 *     moment of e     r int e ds + r^2/2 (int e dq - y1) - r^3/3 sin q1
 *
 * (from (e - r cos q)(1 + r dq/ds) dr ds). */
static double bent_area(const BlyStripBend *bend, double r) {
    return r * bend->arc + 0.5 * r * r * bend->turn;
}

static double bent_moment(const BlyStripBend *bend, double r) {
    return r * bend->rise_arc + 0.5 * r * r * (bend->rise_turn - bend->y) -
           r * r * r / 3.0 * sin(bend->turn);
}

void bly_strip_heights(const BlyStripBend *bend, const BlyStripSpec *spec, BlyStripPoint *at) {
    double t = spec->thickness, c = spec->coat;
    at->rise = bent_moment(bend, t) / bent_area(bend, t);
    at->bulge = (bent_moment(bend, c + t) - bent_moment(bend, c)) /
                (bent_area(bend, c + t) - bent_area(bend, c));
}

/* A point so high above the line, square to it; `way` is 1 where inwards is up. */
static BlyVec3 inwards(const BlyStripPoint *at, double way, double height) {
    double step = hypot(1.0, at->slope);
    return bly_vec(at->x - at->slope / step * height, 0.0, at->z + way / step * height);
}

bool strip_put(const BlyBody *body, const BlyStripSpec *spec, BlyStripLaid *out, BlyError *err) {
    BlyRule along;
    if (!bly_rule_make(body->kind->strip_nodes, &along, err))
        return false;
    double way = spec->side == BLY_BELLY ? 1.0 : -1.0, total = 0.0;
    BlyVec3 metal = {0}, bulge = {0};
    for (size_t i = 0; i < along.count; i++) {
        /* ends double: the line is steep at a round tip */
        double r = along.at[i], span = spec->x_to - spec->x_from;
        BlyStripPoint at = {.x = spec->x_from + span * r * r * (3.0 - 2.0 * r)};
        if (!body->kind->strip_at(body, spec, &at))
            return bly_fail(err, BLY_E_RANGE, "/width",
                            "a strip %g mm wide does not go around the body at x = %g mm",
                            1e3 * spec->width, 1e3 * at.x);
        double arc = span * along.weight[i] * 6.0 * r * (1.0 - r) * hypot(1.0, at.slope);
        total += arc;
        metal = bly_vec_add(metal, bly_vec_scale(inwards(&at, way, at.rise), arc));
        bulge = bly_vec_add(bulge, bly_vec_scale(inwards(&at, way, at.bulge), arc));
    }
    out->length = total + 0.5 * spec->thickness * line_turn(body, spec);
    out->bulge = bly_vec_scale(bulge, 1.0 / total);
    out->metal = (BlySolid){.volume = out->length * spec->width * spec->thickness,
                            .centroid = bly_vec_scale(metal, 1.0 / total),
                            .xx = NAN,
                            .yy = NAN,
                            .zz = NAN,
                            .xz = NAN};
    return true;
}
