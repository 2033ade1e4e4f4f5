/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The skin of a loft: its area, and the curvature integrals that parallel layers need.
 *
 * Let the normal be n = (-sin p, cos p nu): nu the unit normal of the section's own curve at the
 * angle q, p the slope angle of the skin there, so that tan p is the speed at which the curve
 * spreads along nu as x goes on. With ds along the curve and dq its turning,
 *
 *     dA = ds dx / cos p,   2 H dA = cos p dq dx/cos p - dp ds,   K dA = -d(sin p) dq.
 *
 * Integrating dp and d(sin p) by parts leaves first derivatives only, and the end faces with their
 * edges, wedges and points come in as boundary terms (p = 90 deg at the nose, -90 deg at the
 * tail), G being the girth of an end face, m its middle, x its place:
 *
 *     int H       = pi L + 1/2 int int p tan p dq dx + pi/4 (G0 + G1)
 *     int H x     = pi int x dx + 1/2 int int (x p tan p dq + p ds) dx + pi/4 (x0 G0 + x1 G1)
 *     int H z     = pi int m dx + 1/2 int int (z p tan p dq + p tan p cos q ds) dx
 *                   + pi/4 (m0 G0 + m1 G1)
 *     int K x     = 2 pi (x0 + x1) + int int sin p dq dx
 *     int K z     = 2 pi (m0 + m1) + int int (sin p tan p + 1/cos p) cos q dq dx
 *
 * Derived here; tests/loft/test_layer.c checks them on bodies with known Steiner polynomials. */
#include "loft/contour.h"
#include "loft/loft_body.h"

#define PI 3.14159265358979323846

typedef struct SkinSums {
    double area, area_x, area_z;
    double mean, mean_x, mean_z; /* the double integrals of the comment above */
    double total_x, total_z;
    double middle; /* integral of m dx */
} SkinSums;

static void add_ring(const Slice *at, const Contour *contour, double dx, SkinSums *sum) {
    for (size_t j = 0; j < contour->count; j++) {
        double ny = at->c * contour->nu[j], nz = at->b * contour->nv[j];
        double arc2 = ny * ny + nz * nz, arc = sqrt(arc2);
        double y_speed = at->b_slope * contour->u[j] + at->n_slope * at->b * contour->un[j];
        double z_speed =
            at->mid_slope + at->c_slope * contour->v[j] + at->n_slope * at->c * contour->vn[j];
        double spread = (y_speed * ny + z_speed * nz) / arc; /* tan p */
        double rise = sqrt(1.0 + spread * spread), angle = atan(spread);
        double w = 2.0 * contour->weight[j] * dx, z = at->mid + at->c * contour->v[j];
        double ds = arc * w, dq = at->b * at->c * contour->bend[j] / arc2 * w, cos_q = nz / arc;
        double bent = angle * spread;
        sum->area += rise * ds;
        sum->area_x += rise * ds * at->x;
        sum->area_z += rise * ds * z;
        sum->mean += bent * dq;
        sum->mean_x += at->x * bent * dq + angle * ds;
        sum->mean_z += z * bent * dq + bent * cos_q * ds;
        sum->total_x += spread / rise * dq;
        sum->total_z += (spread * spread / rise + rise) * cos_q * dq;
    }
}

/* The quadrature around one section: the body's own, bent to this section's proportions, or a new
 * one where the exponent runs along the body. */
static const Contour *contour_at(const Loft *loft, const Slice *at, const Contour *base,
                                 Contour *own) {
    if (!loft->uniform)
        contour_oval(at->n, &loft->coarse, own);
    else if (loft->oval.ellipse && at->b != at->c && at->b > 0.0 && at->c > 0.0)
        contour_bend(base, at->b / at->c, own);
    else
        return base;
    return own;
}

static void add_panel(const Loft *loft, const Panel *panel, const Contour *base, SkinSums *sum) {
    const BlyRule *rule = panel->tip_low || panel->tip_high ? &loft->fine : &loft->coarse;
    Contour own;
    for (size_t i = 0; i < rule->count; i++) {
        double ds, s = panel_map(panel, rule->at[i], &ds);
        Slice at = panel_slice(panel, s);
        double dx = rule->weight[i] * ds * panel->length;
        add_ring(&at, contour_at(loft, &at, base, &own), dx, sum);
        sum->middle += at.mid * dx;
    }
}

typedef struct Face {
    double x, mid, area, girth;
} Face;

static Face end_face(const Loft *loft, bool tail, const Contour *base) {
    Slice at = panel_middle(&loft->panel[tail ? loft->count - 1 : 0], tail ? 1.0 : 0.0);
    Face face = {at.x, at.mid, 4.0 * bly_oval_quarter(at.n) * at.b * at.c, 0.0};
    Contour own;
    const Contour *contour = contour_at(loft, &at, base, &own);
    for (size_t j = 0; j < contour->count; j++)
        face.girth +=
            2.0 * contour->weight[j] * hypot(at.c * contour->nu[j], at.b * contour->nv[j]);
    if (at.b == 0.0 || at.c == 0.0) /* a knife edge, seen from both sides */
        face.girth = 4.0 * fmax(at.b, at.c);
    return face;
}

static void store(Loft *loft, const SkinSums *sum, const Face *nose, const Face *tail) {
    double area = sum->area + nose->area + tail->area;
    double x = sum->area_x + nose->area * nose->x + tail->area * tail->x;
    double z = sum->area_z + nose->area * nose->mid + tail->area * tail->mid;
    loft->body.surface = (BlyArea){area, bly_vec(x / area, 0.0, z / area)};
    double g0 = 0.25 * PI * nose->girth, g1 = 0.25 * PI * tail->girth;
    BlyCurvature *bend = &loft->body.curvature;
    bend->mean = PI * (tail->x - nose->x) + 0.5 * sum->mean + g0 + g1;
    bend->total = 4.0 * PI;
    bend->mean_moment =
        bly_vec(0.5 * PI * (tail->x - nose->x) * (tail->x + nose->x) + 0.5 * sum->mean_x +
                    g0 * nose->x + g1 * tail->x,
                0.0, PI * sum->middle + 0.5 * sum->mean_z + g0 * nose->mid + g1 * tail->mid);
    bend->total_moment = bly_vec(2.0 * PI * (nose->x + tail->x) + sum->total_x, 0.0,
                                 2.0 * PI * (nose->mid + tail->mid) + sum->total_z);
}

/* A body of revolution needs few angles, a flat one many. */
static size_t ellipse_half_count(const Loft *loft) {
    double flattest = 1.0;
    bool turned = true;
    for (size_t i = 0; i < loft->count; i++) {
        const Panel *panel = &loft->panel[i];
        Slice at = panel_middle(panel, 0.5);
        flattest = fmax(flattest, fmax(at.b / at.c, at.c / at.b));
        for (int k = 0; k < 4; k++) {
            turned = turned && panel->cubic[LOFT_B2][k] == panel->cubic[LOFT_C2][k];
            turned = turned && (k == 0 || panel->cubic[LOFT_MID][k] == 0.0);
        }
    }
    return turned ? 4 : flattest < 1.5 ? 12 : flattest < 3.0 ? 16 : flattest < 6.0 ? 24 : 40;
}

void loft_skin(Loft *loft) {
    Contour base;
    bool medium = loft->oval.n > 3.0 && loft->oval.n < 6.0; /* two pieces of six nodes do */
    if (loft->uniform && loft->oval.ellipse)
        contour_ellipse(ellipse_half_count(loft), &base);
    else
        contour_oval(loft->oval.n, medium ? &loft->coarse : &loft->fine, &base);
    SkinSums sum = {0};
    for (size_t i = 0; i < loft->count; i++)
        add_panel(loft, &loft->panel[i], &base, &sum);
    Face nose = end_face(loft, false, &base), tail = end_face(loft, true, &base);
    store(loft, &sum, &nose, &tail);
}
