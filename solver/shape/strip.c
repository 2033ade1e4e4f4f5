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

enum { NODES_ALONG = 12 };

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

/* The section at x as seen from the line: place, slope there (inwards positive), sizes. */
typedef struct LinePoint {
    double x, z, slope, b, c, n;
} LinePoint;

static LinePoint line_at(const BlyLoft *loft, BlySide side, double x) {
    double way = side == BLY_BELLY ? 1.0 : -1.0;
    const BlyPanel *panel = bly_loft_panel(loft, x);
    double s = fmin(1.0, fmax(0.0, (x - panel->x) / panel->length));
    BlySlice at = bly_panel_slice(panel, s);
    return (LinePoint){at.x, at.mid - way * at.c, way * at.mid_slope - at.c_slope, at.b, at.c,
                       at.n};
}

/* How far the line turns outwards from one end to the other: length grows by half t times this. */
static double line_turn(const BlyBody *body, const BlyStripSpec *spec) {
    BlySection from, to;
    (void)bly_loft_section(body, spec->x_from, &from);
    (void)bly_loft_section(body, spec->x_to, &to);
    if (spec->side == BLY_BELLY)
        return atan(to.belly_slope) - atan(from.belly_slope);
    return atan(from.back_slope) - atan(to.back_slope);
}

bool bly_loft_strip(const BlyBody *body, const BlyStripSpec *spec, BlySolid *out, double *length,
                    BlyError *err) {
    const BlyLoft *loft = bly_loft(body);
    BlyRule along;
    if (!bly_rule_make(NODES_ALONG, &along, err))
        return false;
    double way = spec->side == BLY_BELLY ? 1.0 : -1.0, total = 0.0, x = 0.0, z = 0.0;
    for (size_t i = 0; i < along.count; i++) {
        /* ends double: the line is steep at a round tip */
        double r = along.at[i], span = spec->x_to - spec->x_from;
        LinePoint at = line_at(loft, spec->side, spec->x_from + span * r * r * (3.0 - 2.0 * r));
        double step = hypot(1.0, at.slope), cosine = 1.0 / step, sine = at.slope / step;
        Bend bend = {&loft->coarse, at.b, at.c * cosine, at.n, spec->thickness, 0.5 * spec->width};
        double rise;
        if (!mean_rise(&bend, &rise))
            return bly_fail(err, BLY_E_RANGE, "/width",
                            "a strip %g mm wide does not go around the body at x = %g mm",
                            1e3 * spec->width, 1e3 * at.x);
        double arc = span * along.weight[i] * 6.0 * r * (1.0 - r) * step;
        total += arc;
        x += arc * (at.x - sine * rise);
        z += arc * (at.z + way * cosine * rise);
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
