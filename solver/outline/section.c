/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The superellipse nearest to a drawn section: same breadth, height and area. */
#include "outline/cubic.h"
#include "numeric/numeric.h"
#include "oval/oval.h"

#include <gsl/gsl_math.h>

static const double exponent_least = 1.2, exponent_most = 20.0;

static double area_miss(double exponent, void *user) {
    const double *want = user;
    return bly_oval_quarter(exponent) - *want;
}

/* Area between the drawing's edges and the superellipse's, over the box. */
static double apart(const BlyEdges *section, double exponent) {
    enum { STEPS = 400 };
    BlyExtent all = bly_edges_extent(section);
    double half = 0.5 * (all.x_high - all.x_low), up = 0.5 * (all.y_high - all.y_low);
    double x_mid = 0.5 * (all.x_high + all.x_low), y_mid = 0.5 * (all.y_high + all.y_low);
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        double angle = M_PI * (i + 0.5) / STEPS, low, high, u = cos(angle);
        bly_edges_at(section, x_mid + half * u, &low, &high);
        double oval = up * pow(1.0 - pow(fabs(u), exponent), 1.0 / exponent);
        double off = fabs(high - y_mid - oval) + fabs(y_mid - low - oval);
        sum += off * half * sin(angle) * M_PI / STEPS;
    }
    return sum;
}

bool bly_section_fit(const BlyEdges *section, BlySectionFit *out, BlyError *err) {
    BlyExtent all = bly_edges_extent(section);
    double breadth = all.x_high - all.x_low, height = all.y_high - all.y_low, y_mean;
    double area = bly_edges_area(section, NULL, &y_mean);
    double want = area / (breadth * height);
    if (want < bly_oval_quarter(exponent_least) - 1e-6 || want > 1.0 + 1e-6)
        return bly_fail(err, BLY_E_RANGE, NULL,
                        "fills %.0f %% of its box; expected at least %.0f %%: sections may not be "
                        "hollow",
                        100.0 * want, 100.0 * bly_oval_quarter(exponent_least));
    *out = (BlySectionFit){
        .exponent = bly_root(area_miss, &want, exponent_least, exponent_most),
        .lean = (y_mean - 0.5 * (all.y_high + all.y_low)) / height,
        .aspect = breadth / height,
    };
    out->miss = apart(section, out->exponent) / area;
    return true;
}
