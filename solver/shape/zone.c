/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of a body lies between planes: two cuts where they are parallel, else a quadrature over the
 * half-width, which every kind of body has. */
#include "shape/shape.h"
#include "numeric/numeric.h"

#include <gsl/gsl_math.h>

/* Volume and moment, so that parts can be added up and taken off. */
typedef struct Sum {
    double volume;
    BlyVec3 moment;
} Sum;

static void add(Sum *sum, double sign, double volume, BlyVec3 centroid) {
    sum->volume += sign * volume;
    sum->moment = bly_vec_add(sum->moment, bly_vec_scale(centroid, sign * volume));
}

static void add_below(Sum *sum, double sign, const BlyBody *body, BlyVec3 up, double height) {
    if (height == INFINITY) {
        add(sum, sign, body->solid.volume, body->solid.centroid);
    } else if (height > -INFINITY) {
        BlyCut cut = bly_body_cut(body, (BlyPlane){up, height});
        add(sum, sign, cut.volume, cut.centroid);
    }
}

static Sum between(const BlyBody *body, BlyVec3 up, double from, double to) {
    Sum sum = {0};
    if (to > from) {
        add_below(&sum, 1.0, body, up, to);
        add_below(&sum, -1.0, body, up, from);
    }
    return sum;
}

static bool bounded(const double range[2], double open) {
    return range[0] > open || range[1] < INFINITY;
}

/* One section: from z to z each way, |y| within off. cos runs evenly where a section closes
 * roundly. */
static void add_section(Sum *sum, const BlyBody *body, const BlyZone *zone, const BlyRule *rule,
                        double x, double step) {
    enum { PANELS = 6 };
    BlySection section;
    if (!bly_body_section(body, x, &section))
        return;
    double middle = 0.5 * (section.back + section.belly),
           half = 0.5 * (section.back - section.belly);
    if (!(half > 0.0))
        return;
    double low = acos(GSL_MIN_DBL(GSL_MAX_DBL((zone->z[0] - middle) / half, -1.0), 1.0));
    double high = acos(GSL_MIN_DBL(GSL_MAX_DBL((zone->z[1] - middle) / half, -1.0), 1.0));
    double panel = (low - high) / PANELS;
    for (int p = 0; p < PANELS && panel > 0.0; p++) {
        for (size_t i = 0; i < rule->count; i++) {
            double angle = high + panel * (p + rule->at[i]), z = middle + half * cos(angle);
            double wide = GSL_MIN_DBL(bly_body_half_width(body, x, z), zone->off[1]);
            if (wide > zone->off[0])
                add(sum, 1.0,
                    step * panel * rule->weight[i] * half * sin(angle) * 2.0 *
                        (wide - zone->off[0]),
                    bly_vec(x, 0.0, z));
        }
    }
}

static bool by_quadrature(const BlyBody *body, const BlyZone *zone, Sum *sum, BlyError *err) {
    enum { PANELS = 32, NODES = 10 };
    BlyRule rule;
    double middle = 0.5 * (body->box.low.x + body->box.high.x),
           half = 0.5 * (body->box.high.x - body->box.low.x);
    if (!bly_rule_make(NODES, &rule, err))
        return false;
    double first = acos(GSL_MAX_DBL(GSL_MIN_DBL((zone->x[1] - middle) / half, 1.0), -1.0));
    double last = acos(GSL_MAX_DBL(GSL_MIN_DBL((zone->x[0] - middle) / half, 1.0), -1.0));
    double panel = (last - first) / PANELS;
    for (int p = 0; p < PANELS && panel > 0.0; p++) {
        for (size_t i = 0; i < rule.count; i++) {
            double angle = first + panel * (p + rule.at[i]);
            add_section(sum, body, zone, &rule, middle + half * cos(angle),
                        panel * rule.weight[i] * half * sin(angle));
        }
    }
    return true;
}

bool bly_body_zone(const BlyBody *body, const BlyZone *zone, BlySolid *out, BlyError *err) {
    const BlyVec3 aft = {1.0, 0.0, 0.0}, starboard = {0.0, 1.0, 0.0}, up = {0.0, 0.0, 1.0};
    bool x = bounded(zone->x, -INFINITY), z = bounded(zone->z, -INFINITY),
         off = bounded(zone->off, 0.0);
    Sum sum = {0};
    if (x + z + off > 1) {
        if (!by_quadrature(body, zone, &sum, err))
            return false;
    } else if (x) {
        sum = between(body, aft, zone->x[0], zone->x[1]);
    } else if (off) {
        Sum port = between(body, starboard, -zone->off[1], -zone->off[0]);
        sum = between(body, starboard, zone->off[0], zone->off[1]);
        sum.volume += port.volume;
        sum.moment = bly_vec_add(sum.moment, port.moment);
    } else {
        sum = between(body, up, zone->z[0], zone->z[1]);
    }
    *out = (BlySolid){.volume = sum.volume, .xx = NAN, .yy = NAN, .zz = NAN, .xz = NAN};
    out->centroid =
        sum.volume > 0.0 ? bly_vec_scale(sum.moment, 1.0 / sum.volume) : body->solid.centroid;
    return true;
}
