/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parallel layers by Steiner's formula. A point p of the skin with outward normal n and principal
 * curvatures k1, k2 carries the volume (1 + k1 s)(1 + k2 s) ds dA at the height s, at p + n s. Over
 * a closed surface the integrals of n, of H n and of K n vanish, so that
 *
 *     volume below d    A d + M d^2 + 4/3 pi d^3       M = integral of H = (k1 + k2)/2
 *     its moment        [p] d + [H p] d^2 + [K p] d^3/3
 *
 * where [.] is the integral over the skin with its edges and corners. Exact for a convex body, and
 * for a hollow as long as d is below its least radius of curvature. */
#include "shape/shape.h"

BlySolid bly_body_layer(const BlyBody *body, double from, double to) {
    const BlyCurvature *bend = &body->curvature;
    double d1 = to - from, d2 = to * to - from * from;
    double d3 = (to * to * to - from * from * from) / 3.0;
    BlySolid out = {.xx = NAN, .yy = NAN, .zz = NAN, .xz = NAN};
    out.volume = body->surface.area * d1 + bend->mean * d2 + bend->total * d3;
    BlyVec3 moment = bly_vec_scale(body->surface.centroid, body->surface.area * d1);
    moment = bly_vec_add(moment, bly_vec_scale(bend->mean_moment, d2));
    moment = bly_vec_add(moment, bly_vec_scale(bend->total_moment, d3));
    out.centroid =
        out.volume > 0.0 ? bly_vec_scale(moment, 1.0 / out.volume) : body->surface.centroid;
    return out;
}
