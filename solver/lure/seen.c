/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is seen of the hull along the vertical, over the nose-down angle.
 *
 * The same area is seen from above and from below, so the table has the period pi. It holds the
 * area and its first moments, which have corners where a flat face turns edge-on (level and
 * upright): nodes lie there, and Akima's local cubics do not swing beside them. */
#include "lure/items.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_spline.h>
#include <stdlib.h>

enum { NODES = 65 }; /* 64 steps of 2.8 degrees; level and upright among them */

struct BlySeenTable {
    gsl_spline *area, *moment_x, *moment_z; /* m2, m3, m3 */
};

void bly_seen_free(BlySeenTable *table) {
    if (!table)
        return;
    gsl_spline_free(table->area);
    gsl_spline_free(table->moment_x);
    gsl_spline_free(table->moment_z);
    free(table);
}

static bool fill(BlySeenTable *table, const BlyBody *hull, BlyError *err) {
    double angle[NODES], area[NODES], moment_x[NODES], moment_z[NODES];
    for (int i = 0; i < NODES; i++) {
        angle[i] = M_PI * i / (NODES - 1);
        BlyArea seen = bly_body_seen(hull, bly_vec_up(i == NODES - 1 ? 0.0 : angle[i], 0.0));
        if (!(seen.area > 0.0) || !isfinite(seen.area))
            return bly_fail(err, BLY_E_INTERNAL, NULL, "a body that shows no area");
        area[i] = seen.area;
        moment_x[i] = seen.area * seen.centroid.x;
        moment_z[i] = seen.area * seen.centroid.z;
    }
    if (gsl_spline_init(table->area, angle, area, NODES) != 0 ||
        gsl_spline_init(table->moment_x, angle, moment_x, NODES) != 0 ||
        gsl_spline_init(table->moment_z, angle, moment_z, NODES) != 0)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "no curve through the areas seen");
    return true;
}

BlySeenTable *bly_seen_make(const BlyBody *hull, BlyError *err) {
    BlySeenTable *table = calloc(1, sizeof *table);
    if (table) {
        table->area = gsl_spline_alloc(gsl_interp_akima_periodic, NODES);
        table->moment_x = gsl_spline_alloc(gsl_interp_akima_periodic, NODES);
        table->moment_z = gsl_spline_alloc(gsl_interp_akima_periodic, NODES);
    }
    bool good = table && table->area && table->moment_x && table->moment_z;
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the areas seen");
    if (good && fill(table, hull, err))
        return table;
    bly_seen_free(table);
    return NULL;
}

BlyArea bly_blank_seen(const BlyBlank *blank, double t) {
    double folded = t - M_PI * floor(t / M_PI);
    folded = fmin(fmax(folded, 0.0), M_PI);
    double area = gsl_spline_eval(blank->seen->area, folded, NULL);
    double x = gsl_spline_eval(blank->seen->moment_x, folded, NULL) / area;
    double z = gsl_spline_eval(blank->seen->moment_z, folded, NULL) / area;
    return (BlyArea){.area = area, .centroid = bly_vec(x, 0.0, z)};
}
