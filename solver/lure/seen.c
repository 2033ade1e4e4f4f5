/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is seen of the hull along the vertical, over the nose-down angle.
 *
 * The same area is seen from above and from below, so the table has the period pi. It holds the
 * area and its first moments. These have corners where a flat end turns edge-on (level) or a flat
 * side does (upright): the table is two curves that meet there. */
#include "lure/items.h"

#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_spline.h>
#include <stdlib.h>

enum { NODES = 37 }; /* over a quarter turn, closer at its ends, where slender bodies change most */

typedef struct Quarter {
    gsl_spline *area, *moment_x, *moment_z; /* m2, m3, m3 */
} Quarter;

struct BlySeenTable {
    Quarter quarter[2]; /* from level to nose down, and on to level back down */
    BlySides sides;
};

void seen_free(BlySeenTable *table) {
    if (!table)
        return;
    for (int q = 0; q < 2; q++) {
        gsl_spline_free(table->quarter[q].area);
        gsl_spline_free(table->quarter[q].moment_x);
        gsl_spline_free(table->quarter[q].moment_z);
    }
    free(table);
}

static bool fill(Quarter *quarter, double begin, const BlyBody *hull, BlyError *err) {
    double angle[NODES], area[NODES], moment_x[NODES], moment_z[NODES];
    for (int i = 0; i < NODES; i++) {
        angle[i] = begin + M_PI_4 * (1.0 - cos(M_PI * i / (NODES - 1)));
        BlyArea seen = bly_body_seen(hull, bly_vec_up(angle[i], 0.0));
        if (!(seen.area > 0.0) || !isfinite(seen.area))
            return bly_fail(err, BLY_E_INTERNAL, NULL, "a body that shows no area");
        area[i] = seen.area;
        moment_x[i] = seen.area * seen.centroid.x;
        moment_z[i] = seen.area * seen.centroid.z;
    }
    if (gsl_spline_init(quarter->area, angle, area, NODES) != 0 ||
        gsl_spline_init(quarter->moment_x, angle, moment_x, NODES) != 0 ||
        gsl_spline_init(quarter->moment_z, angle, moment_z, NODES) != 0)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "no curve through the areas seen");
    return true;
}

static bool reserve(Quarter *quarter, BlyError *err) {
    quarter->area = gsl_spline_alloc(gsl_interp_akima, NODES);
    quarter->moment_x = gsl_spline_alloc(gsl_interp_akima, NODES);
    quarter->moment_z = gsl_spline_alloc(gsl_interp_akima, NODES);
    if (quarter->area && quarter->moment_x && quarter->moment_z)
        return true;
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the areas seen");
}

/* The mean over half a turn from `first` towards `second` and on, by Gauss's rule on each quarter:
 * flat sides make corners at the quarters, and at half a turn all comes again. */
static double mean_seen(const BlyBody *hull, BlyVec3 first, BlyVec3 second,
                        const gsl_integration_glfixed_table *rule) {
    double sum = 0.0;
    for (int quarter = 0; quarter < 2; quarter++) {
        for (size_t i = 0; i < rule->n; i++) {
            double angle, weight;
            gsl_integration_glfixed_point(quarter * M_PI_2, (quarter + 1) * M_PI_2, i, &angle,
                                          &weight, rule);
            BlyVec3 from =
                bly_vec_add(bly_vec_scale(first, cos(angle)), bly_vec_scale(second, sin(angle)));
            sum += weight * bly_body_seen(hull, from).area;
        }
    }
    return sum / M_PI;
}

static bool fill_sides(BlySides *sides, const BlyBody *hull, BlyError *err) {
    const BlyVec3 x = bly_vec(1.0, 0.0, 0.0), y = bly_vec(0.0, 1.0, 0.0),
                  z = bly_vec(0.0, 0.0, 1.0);
    gsl_integration_glfixed_table *rule = gsl_integration_glfixed_table_alloc(6);
    if (!rule)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the areas seen");
    sides->level = mean_seen(hull, x, y, rule);
    sides->upright = mean_seen(hull, y, z, rule);
    gsl_integration_glfixed_table_free(rule);
    bly_body_blunt(hull, sides->blunt);
    return (isfinite(sides->level) && isfinite(sides->upright)) ||
           bly_fail(err, BLY_E_INTERNAL, NULL, "a body that shows no area");
}

BlySides bly_blank_sides(const BlyBlank *blank) {
    return blank->seen->sides;
}

BlySeenTable *seen_make(const BlyBody *hull, BlyError *err) {
    BlySeenTable *table = calloc(1, sizeof *table);
    bool good = table || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the areas seen");
    for (int q = 0; good && q < 2; q++)
        good = reserve(&table->quarter[q], err) && fill(&table->quarter[q], q * M_PI_2, hull, err);
    good = good && fill_sides(&table->sides, hull, err);
    if (good)
        return table;
    seen_free(table);
    return NULL;
}

BlyArea bly_blank_seen(const BlyBlank *blank, double t) {
    double folded = fmin(fmax(t - M_PI * floor(t / M_PI), 0.0), M_PI);
    const Quarter *quarter = &blank->seen->quarter[folded > M_PI_2];
    double area = gsl_spline_eval(quarter->area, folded, NULL);
    double x = gsl_spline_eval(quarter->moment_x, folded, NULL) / area;
    double z = gsl_spline_eval(quarter->moment_z, folded, NULL) / area;
    return (BlyArea){.area = area, .centroid = bly_vec(x, 0.0, z)};
}
