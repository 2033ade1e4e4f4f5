/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip of sheet, bent around the section and following the belly or back line.
 *
 * Metal keeps its volume when bent: its width is measured along the bend at half its thickness and
 * its length along the line at half its thickness, so that volume = length width thickness. Across
 * the line, at each x, the strip lies on the section as it is in the plane square to the line
 * (heights shortened by cos p). With ds along half of that curve, q its turning from the line,
 * e the height above the line and q1, y1 the values at the strip's edge,
 *
 *     width/2 = int ds + t/2 q1
 *
 * and the rest is strip_lay.c's (int e dq by parts). */
#include "loft/loft_body.h"

#define PI 3.14159265358979323846

typedef struct Bend {
    const BlyRule *rule;
    double b, c, n, thickness, half_width;
} Bend;

typedef struct BendSums {
    double arc, rise_arc, turn_rise; /* int ds, int e ds, int q de */
    double turn, y, rise;            /* q, y and e at the end */
} BendSums;

/* At the polar angle w from the line. */
typedef struct BendPoint {
    double y, rise, rise_speed; /* y, e and its speed */
    double speed, turn;         /* of the arc; of the normal */
} BendPoint;

static BendPoint bend_point(const Bend *bend, double w) {
    double u, v, du, dv;
    bly_oval_point(bend->n, w, &u, &v, &du, &dv);
    double y_speed = bend->b * du, rise_speed = -bend->c * dv;
    return (BendPoint){.y = bend->b * u,
                       .rise = bend->c * (1.0 - v),
                       .rise_speed = rise_speed,
                       .speed = hypot(y_speed, rise_speed),
                       .turn = atan2(rise_speed, y_speed)};
}

/* Goes on from the sums at one polar angle to another, at most an eighth of the circle further. */
static BendSums bend_on(const Bend *bend, BendSums sum, double from, double to) {
    for (size_t i = 0; i < bend->rule->count; i++) {
        double step = (to - from) * bend->rule->weight[i];
        BendPoint at = bend_point(bend, from + (to - from) * bend->rule->at[i]);
        sum.arc += at.speed * step;
        sum.rise_arc += at.rise * at.speed * step;
        sum.turn_rise += at.turn * at.rise_speed * step;
    }
    BendPoint end = bend_point(bend, to);
    sum.turn = end.turn;
    sum.y = end.y;
    sum.rise = end.rise;
    return sum;
}

static double half_width_miss(const Bend *bend, const BendSums *sum) {
    return sum->arc + 0.5 * bend->thickness * sum->turn - bend->half_width;
}

/* The eighth of the circle in which the strip ends. */
typedef struct Eighth {
    const Bend *bend;
    BendSums before;
    double from;
} Eighth;

static double miss_at(double end, void *user) {
    const Eighth *eighth = user;
    BendSums sum = bend_on(eighth->bend, eighth->before, eighth->from, end);
    return half_width_miss(eighth->bend, &sum);
}

/* From the line to the strip's edge; false when it does not fit around. */
static bool bend_to_edge(const Bend *bend, BlyStripBend *out) {
    Eighth eighth = {.bend = bend};
    for (int i = 0;; i++) {
        BendSums after = bend_on(bend, eighth.before, eighth.from, 0.25 * PI * (i + 1));
        if (half_width_miss(bend, &after) >= 0.0)
            break;
        if (i == 3)
            return false;
        eighth.before = after;
        eighth.from = 0.25 * PI * (i + 1);
    }
    double end = bly_root(miss_at, &eighth, eighth.from, eighth.from + 0.25 * PI);
    BendSums sum = bend_on(bend, eighth.before, eighth.from, end);
    *out = (BlyStripBend){.arc = sum.arc,
                          .rise_arc = sum.rise_arc,
                          .rise_turn = sum.rise * sum.turn - sum.turn_rise,
                          .turn = sum.turn,
                          .y = sum.y};
    return true;
}

bool loft_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at) {
    const Loft *loft = loft_of(body);
    double way = spec->side == BLY_BELLY ? 1.0 : -1.0;
    const Panel *panel = loft_panel(loft, at->x);
    double s = fmin(1.0, fmax(0.0, (at->x - panel->x) / panel->length));
    Slice slice = panel_slice(panel, s);
    at->x = slice.x;
    at->z = slice.mid - way * slice.c;
    at->slope = way * slice.mid_slope - slice.c_slope;
    double cosine = 1.0 / hypot(1.0, at->slope);
    Bend bend = {&loft->coarse, slice.b,         slice.c * cosine,
                 slice.n,       spec->thickness, 0.5 * spec->width};
    BlyStripBend bent;
    if (!bend_to_edge(&bend, &bent))
        return false;
    bly_strip_heights(&bent, spec, at);
    return true;
}
