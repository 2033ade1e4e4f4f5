/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From knots to panels, and what a loft's sections add up to. */
#include "loft/loft_body.h"

#include <stdlib.h>

const BlyBodyKind loft_kind = {
    .section = loft_section,
    .half_width = loft_half_width,
    .seen = loft_seen,
    .blunt = loft_blunt,
    .cut = loft_cut,
    .support = loft_support,
    .coated = loft_coated,
    .strip_at = loft_strip_at,
    .strip_nodes = 12,
    .free = loft_free,
};

double panel_curve(const Panel *panel, int curve, double s) {
    const double *c = panel->cubic[curve];
    return c[0] + s * (c[1] + s * (c[2] + s * c[3]));
}

static double curve_slope(const Panel *panel, int curve, double s) {
    const double *c = panel->cubic[curve];
    return (c[1] + s * (2.0 * c[2] + s * 3.0 * c[3])) / panel->length;
}

Slice panel_middle(const Panel *panel, double s) {
    return (Slice){.x = panel->x + s * panel->length,
                   .b = sqrt(fmax(0.0, panel_curve(panel, LOFT_B2, s))),
                   .c = sqrt(fmax(0.0, panel_curve(panel, LOFT_C2, s))),
                   .mid = panel_curve(panel, LOFT_MID, s),
                   .n = panel_curve(panel, LOFT_EXP, s)};
}

Slice panel_slice(const Panel *panel, double s) {
    Slice at = panel_middle(panel, s);
    at.b_slope = curve_slope(panel, LOFT_B2, s) / (2.0 * at.b);
    at.c_slope = curve_slope(panel, LOFT_C2, s) / (2.0 * at.c);
    at.mid_slope = curve_slope(panel, LOFT_MID, s);
    at.n_slope = curve_slope(panel, LOFT_EXP, s);
    return at;
}

/* The panel that holds x; the first or last one for an x off the body. */
const Panel *loft_panel(const Loft *loft, double x) {
    size_t low = 0, high = loft->count;
    while (high - low > 1) {
        size_t half = low + (high - low) / 2;
        if (loft->panel[half].x <= x)
            low = half;
        else
            high = half;
    }
    return &loft->panel[low];
}

/* The cubic through two knots, seen from a piece [s0, s0 + ds] of the way between them. */
static void piece_cubic(const Knot *a, const Knot *b, int curve, double s0, double ds,
                        double *out) {
    double h = b->x - a->x, rise = b->value[curve] - a->value[curve];
    double m0 = h * a->slope[curve], m1 = h * b->slope[curve];
    double c[4] = {a->value[curve], m0, 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise};
    out[0] = c[0] + s0 * (c[1] + s0 * (c[2] + s0 * c[3]));
    out[1] = ds * (c[1] + s0 * (2.0 * c[2] + s0 * 3.0 * c[3]));
    out[2] = ds * ds * (c[2] + 3.0 * s0 * c[3]);
    out[3] = ds * ds * ds * c[3];
}

/* Long intervals are cut so that no panel is longer than a twentieth of the body, and steep ones by
 * the ratio of their widths or heights: then a few nodes per panel serve, however few stations
 * there are. */
static size_t pieces_between(const Knot *a, const Knot *b, double total) {
    double pieces = fmax(1.0, ceil((b->x - a->x) / total * 20.0 - 1e-9));
    for (int curve = LOFT_B2; curve <= LOFT_C2; curve++) {
        double low = fmin(a->value[curve], b->value[curve]);
        double high = fmax(a->value[curve], b->value[curve]);
        if (low > 0.0)
            pieces = fmax(pieces, fmin(8.0, ceil(sqrt(high / low) - 0.5)));
    }
    return (size_t)pieces;
}

static void fill_panels(Loft *loft, const Knot *knots, size_t count) {
    double total = knots[count - 1].x - knots[0].x;
    size_t used = 0;
    for (size_t i = 0; i + 1 < count; i++) {
        size_t pieces = pieces_between(&knots[i], &knots[i + 1], total);
        double h = knots[i + 1].x - knots[i].x, ds = 1.0 / (double)pieces;
        for (size_t k = 0; k < pieces; k++) {
            Panel *panel = &loft->panel[used++];
            panel->x = knots[i].x + h * ds * (double)k;
            panel->length = h * ds;
            for (int curve = 0; curve < LOFT_CURVES; curve++)
                piece_cubic(&knots[i], &knots[i + 1], curve, ds * (double)k, ds,
                            panel->cubic[curve]);
        }
    }
    const double *low = knots[0].value, *high = knots[count - 1].value;
    loft->panel[0].tip_low = low[LOFT_B2] == 0.0 || low[LOFT_C2] == 0.0;
    loft->panel[used - 1].tip_high = high[LOFT_B2] == 0.0 || high[LOFT_C2] == 0.0;
}

static bool loft_allocate(const Knot *knots, size_t count, Loft **out, BlyError *err) {
    double total = knots[count - 1].x - knots[0].x;
    size_t panels = 0;
    for (size_t i = 0; i + 1 < count; i++)
        panels += pieces_between(&knots[i], &knots[i + 1], total);
    Loft *loft = calloc(1, sizeof *loft);
    if (loft != NULL)
        loft->panel = calloc(panels, sizeof *loft->panel);
    if (loft == NULL || loft->panel == NULL) {
        free(loft);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a body of %zu panels", panels);
    }
    loft->body.kind = &loft_kind;
    loft->count = panels;
    *out = loft;
    return true;
}

static bool make_rules(Loft *loft, BlyError *err) {
    return bly_rule_make(5, &loft->octant, err) && bly_rule_make(6, &loft->coarse, err) &&
           bly_rule_make(10, &loft->cut, err) && bly_rule_make(12, &loft->fine, err) &&
           bly_rule_make(16, &loft->finest, err);
}

bool loft_new(const Knot *knots, size_t count, Loft **out, BlyError *err) {
    Loft *loft = NULL;
    if (!loft_allocate(knots, count, &loft, err))
        return false;
    if (!make_rules(loft, err)) {
        loft_free(&loft->body);
        return false;
    }
    fill_panels(loft, knots, count);
    loft->uniform = true;
    for (size_t i = 1; i < count; i++)
        loft->uniform = loft->uniform && knots[i].value[LOFT_EXP] == knots[0].value[LOFT_EXP];
    bly_oval_init(&loft->oval, knots[0].value[LOFT_EXP]);
    loft_solid(loft);
    *out = loft;
    return true;
}

void loft_free(BlyBody *body) {
    Loft *loft = (Loft *)body;
    free(loft->panel);
    free(loft);
}

typedef struct Sums {
    double volume, x, z, xx, yy, zz, xz;
    double plan, plan_x, plan_z, side, side_x, side_z;
} Sums;

/* `dx` is the weight of this slice; x counts from the panel row's start, to keep digits. */
static void add_slice(const Loft *loft, const Slice *at, double x0, double dx, Sums *sum) {
    double quarter = loft->uniform ? loft->oval.quarter : bly_oval_quarter(at->n);
    double square = loft->uniform ? loft->oval.square : bly_oval_square(at->n);
    double area = 4.0 * quarter * at->b * at->c * dx, x = at->x - x0, z = at->mid;
    double inner = 4.0 * square * at->b * at->c * dx;
    sum->volume += area;
    sum->x += area * x;
    sum->z += area * z;
    sum->xx += area * x * x;
    sum->xz += area * x * z;
    sum->yy += inner * at->b * at->b;
    sum->zz += inner * at->c * at->c + area * z * z;
    sum->plan += 2.0 * at->b * dx;
    sum->plan_x += 2.0 * at->b * dx * x;
    sum->plan_z += 2.0 * at->b * dx * z;
    sum->side += 2.0 * at->c * dx;
    sum->side_x += 2.0 * at->c * dx * x;
    sum->side_z += 2.0 * at->c * dx * z;
}

static BlyArea area_of(double area, double x, double z) {
    return (BlyArea){area, bly_vec(x / area, 0.0, z / area)};
}

/* Volume, centroid and second moments, side and plan, for the whole and (first moments) by panel.
 */
void loft_solid(Loft *loft) {
    double x0 = loft_start(loft);
    Sums sum = {0};
    for (size_t i = 0; i < loft->count; i++) {
        Panel *panel = &loft->panel[i];
        bool tip = panel->tip_low || panel->tip_high;
        const BlyRule *rule = tip ? &loft->fine : &loft->coarse;
        Sums before = sum;
        for (size_t k = 0; k < rule->count; k++) {
            double ds, s = panel_map(panel, rule->at[k], &ds);
            Slice at = panel_middle(panel, s);
            add_slice(loft, &at, x0, rule->weight[k] * ds * panel->length, &sum);
        }
        panel->volume = sum.volume - before.volume;
        panel->x_moment = sum.x - before.x + x0 * panel->volume;
        panel->z_moment = sum.z - before.z;
    }
    double v = sum.volume, x = sum.x / v, z = sum.z / v;
    loft->body.solid = (BlySolid){v,      bly_vec(x + x0, 0.0, z), sum.xx - v * x * x,
                                  sum.yy, sum.zz - v * z * z,      sum.xz - v * x * z};
    loft->body.material = loft->body.solid;
    loft->body.plan = area_of(sum.plan, sum.plan_x + x0 * sum.plan, sum.plan_z);
    loft->body.side = area_of(sum.side, sum.side_x + x0 * sum.side, sum.side_z);
}

/* The greatest value of sign mid + sqrt(square) along a panel, refined by a parabola. */
static double greatest(const Panel *panel, int square, double sign) {
    enum { STEPS = 8 };
    double value[STEPS + 1], best = -HUGE_VAL;
    int top = 0;
    for (int i = 0; i <= STEPS; i++) {
        double s = (double)i / STEPS;
        value[i] =
            sign * panel_curve(panel, LOFT_MID, s) + sqrt(fmax(0.0, panel_curve(panel, square, s)));
        if (value[i] > best)
            best = value[i], top = i;
    }
    if (top == 0 || top == STEPS)
        return best;
    double left = value[top - 1], right = value[top + 1], bend = left - 2.0 * best + right;
    double s = (top + (bend < 0.0 ? 0.5 * (left - right) / bend : 0.0)) / STEPS;
    return fmax(best, sign * panel_curve(panel, LOFT_MID, s) +
                          sqrt(fmax(0.0, panel_curve(panel, square, s))));
}

static void find_box(Loft *loft) {
    double back = -HUGE_VAL, depth = -HUGE_VAL, side = 0.0;
    for (size_t i = 0; i < loft->count; i++) {
        back = fmax(back, greatest(&loft->panel[i], LOFT_C2, 1.0));
        depth = fmax(depth, greatest(&loft->panel[i], LOFT_C2, -1.0));
        side = fmax(side, greatest(&loft->panel[i], LOFT_B2, 0.0));
    }
    loft->body.box =
        (BlyBox){bly_vec(loft_start(loft), -side, -depth), bly_vec(loft_end(loft), side, back)};
}

void loft_finish(Loft *loft) {
    find_box(loft);
    loft_skin(loft);
    loft_rings(loft);
}

/* Where x lies on the body, with a nanometre of forgiveness for what units round. */
static bool on_body(const Loft *loft, double x) {
    return x >= loft_start(loft) - 1e-9 && x <= loft_end(loft) + 1e-9;
}

bool loft_section(const BlyBody *body, double x, BlySection *out) {
    const Loft *loft = loft_of(body);
    *out = (BlySection){0};
    if (!on_body(loft, x))
        return false;
    const Panel *panel = loft_panel(loft, x);
    double s = fmin(1.0, fmax(0.0, (x - panel->x) / panel->length));
    Slice at = panel_middle(panel, s);
    /* The slope of a round tip is infinite; a little inside it is only large. */
    double inset = 1e-6 / (double)loft->count;
    double s_in = panel->tip_low ? fmax(s, inset) : s;
    Slice slope = panel_slice(panel, panel->tip_high ? fmin(s_in, 1.0 - inset) : s_in);
    if (slope.c == 0.0)
        slope.c_slope = 0.0;
    *out = (BlySection){.width = 2.0 * at.b,
                        .height = 2.0 * at.c,
                        .centre = at.mid,
                        .exponent = at.n,
                        .belly = at.mid - at.c,
                        .back = at.mid + at.c,
                        .belly_slope = slope.mid_slope - slope.c_slope,
                        .back_slope = slope.mid_slope + slope.c_slope};
    return true;
}

double loft_half_width(const BlyBody *body, double x, double z) {
    const Loft *loft = loft_of(body);
    if (!on_body(loft, x))
        return 0.0;
    const Panel *panel = loft_panel(loft, x);
    double s = fmin(1.0, fmax(0.0, (x - panel->x) / panel->length));
    Slice at = panel_middle(panel, s);
    double part = fabs(z - at.mid) / at.c;
    if (!(part < 1.0))
        return 0.0;
    if (at.n == 2.0)
        return at.b * sqrt((1.0 - part) * (1.0 + part));
    return at.b * pow(1.0 - pow(part, at.n), 1.0 / at.n);
}
