/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip of sheet, bent around the section and following the belly or back line.
 *
 * Metal keeps its volume when bent: its width is measured along the bend at half its thickness and
 * its length along the line at half its thickness, so that volume = length width thickness. Across
 * the line, at each x, the strip lies on the section as it is in the plane square to the line
 * (heights shortened by cos p). With ds along half of that curve, q its turning from the line,
 * e the height above the line and q1, y1 the values at the strip's edge,
 *
 *     width/2         = int ds + t/2 q1
 *     moment of e / 1 = t int e ds + t^2/2 int e dq - t^2/2 y1 - t^3/3 sin q1
 *
 * (from (e - r cos q)(1 + r dq/ds) dr ds over 0 < r < t; int e dq by parts). */
#include "shape/loft.h"

#define PI 3.14159265358979323846

typedef struct Bend {
    const BlyRule *rule;
    double b, c, n, thickness, half_width;
} Bend;

typedef struct BendSums {
    double arc, rise_arc, turn_rise; /* int ds, int e ds, int q de */
    double turn, y, rise;            /* q, y and e at the end */
} BendSums;

/* Point at the polar angle w from the line: y, e, their speeds, and the normal's turn. */
static double bend_point(const Bend *bend, double w, double *y, double *rise, double *rise_speed) {
    double u, v, du, dv;
    bly_oval_point(bend->n, w, &u, &v, &du, &dv);
    *y = bend->b * u;
    *rise = bend->c * (1.0 - v);
    *rise_speed = -bend->c * dv;
    return atan2(-bend->c * dv, bend->b * du);
}

/* From the line to the polar angle `end`, in steps of at most an eighth of the circle. */
static BendSums bend_to(const Bend *bend, double end) {
    BendSums sum = {0};
    double y, rise, rise_speed, u, v, du, dv;
    int pieces = (int)fmax(1.0, ceil(end / (0.25 * PI) - 1e-9));
    for (int piece = 0; piece < pieces; piece++) {
        double from = 0.25 * PI * piece, to = fmin(end, from + 0.25 * PI);
        for (size_t i = 0; i < bend->rule->count; i++) {
            double w = from + (to - from) * bend->rule->at[i];
            double step = (to - from) * bend->rule->weight[i];
            double turn = bend_point(bend, w, &y, &rise, &rise_speed);
            bly_oval_point(bend->n, w, &u, &v, &du, &dv);
            double arc = hypot(bend->b * du, bend->c * dv) * step;
            sum.arc += arc;
            sum.rise_arc += rise * arc;
            sum.turn_rise += turn * rise_speed * step;
        }
    }
    sum.turn = bend_point(bend, end, &sum.y, &sum.rise, &rise_speed);
    return sum;
}

static double half_width_miss(double end, void *user) {
    const Bend *bend = user;
    BendSums sum = bend_to(bend, end);
    return sum.arc + 0.5 * bend->thickness * sum.turn - bend->half_width;
}

/* Mean height of the bent strip above the line it is laid on; false when it does not fit around.*/
static bool mean_rise(Bend *bend, double *rise) {
    if (half_width_miss(PI, bend) < 0.0)
        return false;
    double t = bend->thickness;
    BendSums sum = bend_to(bend, bly_root(half_width_miss, bend, 0.0, PI));
    double e_dq = sum.rise * sum.turn - sum.turn_rise;
    double moment =
        t * sum.rise_arc + 0.5 * t * t * (e_dq - sum.y) - t * t * t / 3.0 * sin(sum.turn);
    *rise = moment / (t * bend->half_width);
    return true;
}

bool bly_loft_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at) {
    const BlyLoft *loft = bly_loft(body);
    double way = spec->side == BLY_BELLY ? 1.0 : -1.0;
    const BlyPanel *panel = bly_loft_panel(loft, at->x);
    double s = fmin(1.0, fmax(0.0, (at->x - panel->x) / panel->length));
    BlySlice slice = bly_panel_slice(panel, s);
    at->x = slice.x;
    at->z = slice.mid - way * slice.c;
    at->slope = way * slice.mid_slope - slice.c_slope;
    double cosine = 1.0 / hypot(1.0, at->slope);
    Bend bend = {&loft->coarse, slice.b,         slice.c * cosine,
                 slice.n,       spec->thickness, 0.5 * spec->width};
    return mean_rise(&bend, &at->rise);
}
