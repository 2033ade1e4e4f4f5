/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip of sheet laid along the belly or back line of any kind of body: what follows the line.
 * How it bends across the line is the kind's (strip.c, mesh_strip.c). */
#include "shape/body.h"
#include "shape/numeric.h"

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

bool bly_strip_lay(const BlyBody *body, const BlyStripSpec *spec, BlySolid *out, double *length,
                   BlyError *err) {
    BlyRule along;
    if (!bly_rule_make(body->kind->strip_nodes, &along, err))
        return false;
    double way = spec->side == BLY_BELLY ? 1.0 : -1.0, total = 0.0, x = 0.0, z = 0.0;
    for (size_t i = 0; i < along.count; i++) {
        /* ends double: the line is steep at a round tip */
        double r = along.at[i], span = spec->x_to - spec->x_from;
        BlyStripPoint at = {.x = spec->x_from + span * r * r * (3.0 - 2.0 * r)};
        if (!body->kind->strip_at(body, spec, &at))
            return bly_fail(err, BLY_E_RANGE, "/width",
                            "a strip %g mm wide does not go around the body at x = %g mm",
                            1e3 * spec->width, 1e3 * at.x);
        double step = hypot(1.0, at.slope), cosine = 1.0 / step, sine = at.slope / step;
        double arc = span * along.weight[i] * 6.0 * r * (1.0 - r) * step;
        total += arc;
        x += arc * (at.x - sine * at.rise);
        z += arc * (at.z + way * cosine * at.rise);
    }
    double line = total + 0.5 * spec->thickness * line_turn(body, spec);
    *out = (BlySolid){.volume = line * spec->width * spec->thickness,
                      .centroid = bly_vec(x / total, 0.0, z / total),
                      .xx = NAN,
                      .yy = NAN,
                      .zz = NAN,
                      .xz = NAN};
    if (length != NULL)
        *length = line;
    return true;
}
