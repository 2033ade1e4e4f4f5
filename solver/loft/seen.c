/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The area seen along a direction d: half the integral of |n.d| over the skin; how blunt the ends
 * are.
 *
 * The skin's vector area is stored on rings at fixed places along the body, on the Gauss nodes of
 * each octant around, so that a direction costs one pass of products. On a ring |n.d| has two
 * kinks, at the silhouette. There the rule's known error for |w - w0| (the kink's place w0 and
 * slope read off the two nodes beside it) is taken off, which lifts it from second to third order.
 */
#include "loft/loft_body.h"

#define PI 3.14159265358979323846

static const double octant = 0.25 * PI;
enum { PER_OCTANT = 5 };

static void fill_ring(const Slice *at, const BlyRule *rule, double dx, Ring *ring) {
    ring->x = at->x;
    for (int j = 0; j < LOFT_RING_NODES; j++) {
        int i = j % PER_OCTANT;
        double u, v, du, dv, step = octant * rule->weight[i] * dx;
        bly_oval_point(at->n, octant * (j / PER_OCTANT + rule->at[i]), &u, &v, &du, &dv);
        double ny = -at->c * dv * step, nz = at->b * du * step;
        ring->y[j] = at->b * u;
        ring->z[j] = at->mid + at->c * v;
        ring->ay[j] = ny;
        ring->az[j] = nz;
        ring->ax[j] = -at->b_slope * u * ny - (at->mid_slope + at->c_slope * v) * nz;
    }
}

/* Rings crowd towards both ends, x = start + L (1 - cos t)/2, where a round tip turns fastest. */
void loft_rings(Loft *loft) {
    double start = loft_start(loft), length = loft_end(loft) - start;
    for (int i = 0; i < LOFT_RINGS; i++) {
        double t = PI * (i + 0.5) / LOFT_RINGS;
        /* Equal steps of t: with this factor the midpoint rule integrates sin t exactly. */
        double step = 2.0 * sin(0.5 * PI / LOFT_RINGS);
        double x = start + 0.5 * length * (1.0 - cos(t));
        const Panel *panel = loft_panel(loft, x);
        Slice at = panel_slice(panel, (x - panel->x) / panel->length);
        fill_ring(&at, &loft->octant, 0.5 * length * sin(t) * step, &loft->ring[i]);
    }
}

typedef struct SeenSums {
    double area, x, y, z;
} SeenSums;

/* How much the rule overrates the integral of |w - w0| over [0, 1]. */
static double kink_error(const BlyRule *rule, double w0) {
    double error = -0.5 * (w0 * w0 + (1.0 - w0) * (1.0 - w0));
    for (int i = 0; i < PER_OCTANT; i++)
        error += rule->weight[i] * fabs(rule->at[i] - w0);
    return error;
}

/* The excess of the rule between the nodes j and j + 1, where f changes its sign; *part is the
 * share of the way from j at which it does. */
static double kink_excess(const BlyRule *rule, const double *f, int j, double *part) {
    int a = j % PER_OCTANT, b = (j + 1) % PER_OCTANT;
    double wa = j / PER_OCTANT + rule->at[a], wb = (j + 1) / PER_OCTANT + rule->at[b];
    double fa = f[j] / rule->weight[a], fb = f[j + 1] / rule->weight[b];
    *part = fabs(fa) / fabs(fb - fa);
    double w0 = wa + *part * (wb - wa), slope = fabs(fb - fa) / (wb - wa);
    return slope * kink_error(rule, w0 - floor(w0));
}

/* One half of a ring; side is +1 to starboard, -1 to port. */
static void add_half(const Ring *ring, const BlyRule *rule, BlyVec3 d, double side, SeenSums *sum) {
    double f[LOFT_RING_NODES], area = 0.0, y = 0.0, z = 0.0;
    for (int j = 0; j < LOFT_RING_NODES; j++)
        f[j] = ring->ax[j] * d.x + side * ring->ay[j] * d.y + ring->az[j] * d.z;
    for (int j = 0; j < LOFT_RING_NODES; j++) {
        double w = fabs(f[j]);
        area += w;
        y += w * ring->y[j];
        z += w * ring->z[j];
    }
    for (int j = 0; j + 1 < LOFT_RING_NODES; j++) {
        if ((f[j] < 0.0) == (f[j + 1] < 0.0))
            continue;
        double part, excess = kink_excess(rule, f, j, &part);
        area -= excess;
        y -= excess * (ring->y[j] + part * (ring->y[j + 1] - ring->y[j]));
        z -= excess * (ring->z[j] + part * (ring->z[j + 1] - ring->z[j]));
    }
    sum->area += area;
    sum->x += area * ring->x;
    sum->y += side * y;
    sum->z += z;
}

static void add_face(const Panel *panel, double s, double d_x, SeenSums *sum) {
    Slice at = panel_middle(panel, s);
    if (at.b == 0.0 || at.c == 0.0)
        return;
    double area = 4.0 * bly_oval_quarter(at.n) * at.b * at.c * fabs(d_x);
    sum->area += area;
    sum->x += area * at.x;
    sum->z += area * at.mid;
}

BlyArea loft_seen(const BlyBody *body, BlyVec3 direction) {
    const Loft *loft = loft_of(body);
    SeenSums sum = {0};
    for (int i = 0; i < LOFT_RINGS; i++)
        add_half(&loft->ring[i], &loft->octant, direction, 1.0, &sum);
    if (direction.y == 0.0) /* both sides show the same */
        sum = (SeenSums){2.0 * sum.area, 2.0 * sum.x, 0.0, 2.0 * sum.z};
    for (int i = 0; direction.y != 0.0 && i < LOFT_RINGS; i++)
        add_half(&loft->ring[i], &loft->octant, direction, -1.0, &sum);
    add_face(&loft->panel[0], 0.0, direction.x, &sum);
    add_face(&loft->panel[loft->count - 1], 1.0, direction.x, &sum);
    if (!(sum.area > 0.0))
        return (BlyArea){0.0, body->surface.centroid};
    return (BlyArea){0.5 * sum.area, bly_vec(sum.x / sum.area, sum.y / sum.area, sum.z / sum.area)};
}

static double half_face(const Panel *panel, double s) {
    Slice at = panel_middle(panel, s);
    return at.b > 0.0 && at.c > 0.0 ? 2.0 * bly_oval_quarter(at.n) * at.b * at.c : 0.0;
}

/* Both sides are alike: the rings of starboard. */
void loft_blunt(const BlyBody *body, BlyBluntSums *sums) {
    const Loft *loft = loft_of(body);
    for (int i = 0; i < LOFT_RINGS; i++) {
        const Ring *ring = &loft->ring[i];
        for (int j = 0; j < LOFT_RING_NODES; j++)
            bly_blunt_add(sums, ring->ax[j], ring->ay[j], ring->az[j]);
    }
    bly_blunt_add(sums, -half_face(&loft->panel[0], 0.0), 0.0, 0.0);
    bly_blunt_add(sums, half_face(&loft->panel[loft->count - 1], 1.0), 0.0, 0.0);
}
