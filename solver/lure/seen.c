/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is seen of the hull along the vertical, over the nose-down angle.
 *
 * The same area is seen from above and from below, so the table has the period pi. It holds the
 * area and its first moments. These have corners where a flat end turns edge-on (level) or a flat
 * side does (upright): the table is two curves that meet there. */
#include "lure/items.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_spline.h>
#include <stdlib.h>

enum { NODES = 37 }; /* over a quarter turn, closer at its ends, where slender bodies change most */

typedef struct Quarter {
    gsl_spline *area, *moment_x, *moment_z; /* m2, m3, m3 */
} Quarter;

struct BlySeenTable {
    Quarter quarter[2]; /* from level to nose down, and on to level back down */
};

void bly_seen_free(BlySeenTable *table) {
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

BlySeenTable *bly_seen_make(const BlyBody *hull, BlyError *err) {
    BlySeenTable *table = calloc(1, sizeof *table);
    bool good = table || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the areas seen");
    for (int q = 0; good && q < 2; q++)
        good = reserve(&table->quarter[q], err) && fill(&table->quarter[q], q * M_PI_2, hull, err);
    if (good)
        return table;
    bly_seen_free(table);
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
