/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A flat plate in a slot, parted by the body's real surface.
 *
 * At each s along the plate the body is as wide as its section there; the plate is inside as far
 * as the narrower of the two. The integral is parted where the plate's line enters or leaves the
 * body and where the plate becomes wider than the body, so that both kinks lie on ends. */
#include "shape/shape.h"
#include "numeric/numeric.h"

enum { CELLS = 48, NODES = 6 };

typedef struct Plate {
    const BlyBody *body;
    BlyVec3 mouth, along;
    BlyHalfWidth half;
    const void *user;
} Plate;

static BlyVec3 plate_point(const Plate *plate, double s) {
    return bly_vec_add(plate->mouth, bly_vec_scale(plate->along, s));
}

static double body_half(const Plate *plate, double s) {
    BlyVec3 p = plate_point(plate, s);
    return bly_body_half_width(plate->body, p.x, p.z);
}

static double plate_half(const Plate *plate, double s) {
    double half = plate->half(s, plate->user);
    return half > 0.0 ? half : 0.0;
}

/* Above 0 where the plate's middle line is inside the body. */
static double depth_inside(double s, void *user) {
    const Plate *plate = user;
    BlyVec3 p = plate_point(plate, s);
    BlySection at;
    if (!bly_body_section(plate->body, p.x, &at)) {
        BlyBox box = bly_body_box(plate->body);
        return -fmax(box.low.x - p.x, p.x - box.high.x);
    }
    return fmin(p.z - at.belly, at.back - p.z);
}

static double room_beside(double s, void *user) {
    const Plate *plate = user;
    return body_half(plate, s) - plate_half(plate, s);
}

typedef struct SplitSums {
    double inner, inner_s, outer, outer_s;
} SplitSums;

/* Ends double, for the square roots of a body's edge and of a plate with a round end. */
static void add_piece(const Plate *plate, const BlyRule *rule, double a, double b, SplitSums *sum) {
    for (size_t i = 0; i < rule->count; i++) {
        double u = rule->at[i], s = a + (b - a) * u * u * (3.0 - 2.0 * u);
        double step = (b - a) * 6.0 * u * (1.0 - u) * rule->weight[i];
        double half = plate_half(plate, s), inside = fmin(half, body_half(plate, s));
        sum->inner += 2.0 * inside * step;
        sum->inner_s += 2.0 * inside * step * s;
        sum->outer += 2.0 * (half - inside) * step;
        sum->outer_s += 2.0 * (half - inside) * step * s;
    }
}

static bool differ(double a, double b) {
    return (a > 0.0) != (b > 0.0);
}

/* Parts [a, b] at a change of `depth_inside`, then each part at a change of `room_beside`. */
static void add_cell(Plate *plate, const BlyRule *rule, double a, double b, SplitSums *sum) {
    double mark[3] = {a, b, b};
    int pieces = 1;
    if (differ(depth_inside(a, plate), depth_inside(b, plate))) {
        mark[1] = bly_root(depth_inside, plate, a, b);
        pieces = 2;
    }
    for (int i = 0; i < pieces; i++) {
        double from = mark[i], to = mark[i + 1];
        if (differ(room_beside(from, plate), room_beside(to, plate))) {
            double middle = bly_root(room_beside, plate, from, to);
            add_piece(plate, rule, from, middle, sum);
            from = middle;
        }
        add_piece(plate, rule, from, to, sum);
    }
}

BlyPlateSplit bly_body_split_plate(const BlyBody *body, BlyVec3 mouth, BlyVec3 along, double s_from,
                                   double s_to, BlyHalfWidth half, const void *user) {
    Plate plate = {body, mouth, along, half, user};
    SplitSums sum = {0};
    BlyRule rule;
    BlyPlateSplit out = {{0.0, mouth}, {0.0, mouth}};
    if (!bly_rule_make(NODES, &rule, NULL))
        return (BlyPlateSplit){{NAN, mouth}, {NAN, mouth}};
    for (int i = 0; i < CELLS; i++) {
        double a = s_from + (s_to - s_from) * i / CELLS;
        double b = s_from + (s_to - s_from) * (i + 1) / CELLS;
        add_cell(&plate, &rule, a, b, &sum);
    }
    out.inner.area = sum.inner;
    out.outer.area = sum.outer;
    if (sum.inner > 0.0)
        out.inner.centroid = plate_point(&plate, sum.inner_s / sum.inner);
    if (sum.outer > 0.0)
        out.outer.centroid = plate_point(&plate, sum.outer_s / sum.outer);
    return out;
}
