/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Superellipses. With w = |v|^n as parameter a sector between the u axis and the point (u, v) has
 *
 *     area            1/(2n) B_w(1/n, 1/n)
 *     integral of v   1/(3n) B_w(2/n, 1/n)
 *     integral of u   1/(3n) B_w(1/n, 2/n)
 *
 * with B_w the incomplete beta function (Abramowitz and Stegun 6.6.1; the integrals follow from
 * dA = (u dv - v du)/2). Its power series converges like w^k; w is kept below 1/2 by
 * measuring from the nearer axis, and 44 terms then leave 1e-15. */
#include "oval/oval.h"

#include <math.h>

double bly_oval_quarter(double n) {
    if (n == 2.0)
        return atan(1.0);
    double g = tgamma(1.0 + 1.0 / n);
    return g * g / tgamma(1.0 + 2.0 / n);
}

/* Dirichlet's integral of u^(p-1) over the quadrant. */
static double power_moment(double n, double p) {
    return tgamma(1.0 / n) * tgamma(p / n) / (n * n * tgamma((1.0 + p) / n + 1.0));
}

double bly_oval_square(double n) {
    return n == 2.0 ? atan(1.0) / 4.0 : power_moment(n, 3.0);
}

void bly_oval_init(BlyOval *oval, double n) {
    oval->n = n;
    oval->ellipse = n == 2.0;
    oval->quarter = bly_oval_quarter(n);
    oval->lever = oval->ellipse ? 1.0 / 3.0 : power_moment(n, 2.0);
    oval->square = bly_oval_square(n);
    if (oval->ellipse)
        return;
    double p1 = 1.0, p2 = 1.0; /* (1 - 1/n)_k / k! and (1 - 2/n)_k / k! */
    for (int k = 0; k < BLY_OVAL_TERMS; k++) {
        oval->sector[k] = p1 / (2.0 * (1.0 + n * k));
        oval->across[k] = p1 / (3.0 * (2.0 + n * k));
        oval->along[k] = p2 / (3.0 * (1.0 + n * k));
        p1 *= (1.0 - 1.0 / n + k) / (k + 1.0);
        p2 *= (1.0 - 2.0 / n + k) / (k + 1.0);
    }
}

double bly_oval_support(double n, double b, double c, double uy, double uz) {
    double p = fabs(uy) * b, r = fabs(uz) * c;
    if (n == 2.0)
        return sqrt(p * p + r * r);
    double big = fmax(p, r), small = fmin(p, r);
    if (small == 0.0)
        return big;
    double dual = n / (n - 1.0);
    return big * pow(1.0 + pow(small / big, dual), 1.0 / dual);
}

typedef struct Sector {
    double area, across, along;
} Sector;

/* The sector between an axis and the point that lies `off` from it and `on` along it. */
static Sector sector(const BlyOval *oval, double off, double on) {
    double w = pow(off, oval->n);
    bool far = w > 0.5;
    if (far) {
        double swap = off;
        off = on;
        on = swap;
        w = pow(off, oval->n);
    }
    double area = 0.0, across = 0.0, along = 0.0;
    for (int k = BLY_OVAL_TERMS - 1; k >= 0; k--) {
        area = area * w + oval->sector[k];
        across = across * w + oval->across[k];
        along = along * w + oval->along[k];
    }
    Sector out = {area * off, across * off * off, along * off};
    if (far)
        out = (Sector){oval->quarter - out.area, oval->lever - out.along, oval->lever - out.across};
    return out;
}

/* From the point (u, v) inside, where the line p u + r v = const comes nearest to the contour's
 * own measure S = |u|^n + |v|^n, walk along (-r, p) to the contour, S = 1. Starts outside, on the
 * square around the contour; Halley's method on log S, whose derivatives cost no further powers. */
static void walk_to_contour(double n, double p, double r, double *u, double *v) {
    double u0 = *u, v0 = *v;
    double s = fmin(r > 0.0 ? (u0 + 1.0) / r : HUGE_VAL, p > 0.0 ? (1.0 - v0) / p : HUGE_VAL);
    for (int i = 0; i < 60; i++) {
        double a = u0 - s * r, e = v0 + s * p;
        double wa = pow(fabs(a), n), we = pow(fabs(e), n), sum = wa + we;
        double ga = a != 0.0 ? -r / a : 0.0, ge = e != 0.0 ? p / e : 0.0;
        double log_sum = log(sum), first = n * (wa * ga + we * ge) / sum;
        double second = n * (n - 1.0) * (wa * ga * ga + we * ge * ge) / sum - first * first;
        double newton = log_sum / first, bend = 1.0 - 0.5 * newton * second / first;
        double step = bend > 0.5 ? newton / bend : newton;
        s -= step;
        if (!(fabs(step) > 1e-6)) /* convergence is cubic: 1e-14 is left */
            break;
    }
    *u = u0 - s * r;
    *v = v0 + s * p;
}

typedef struct Cap {
    double area, u, v;     /* first moments */
    double u1, v1, u2, v2; /* chord */
} Cap;

/* Where the line p u + r v = d (p, r, d >= 0, p^2 + r^2 = 1) meets the contour: (u1, v1) on the v
 * axis' side, (u2, v2) on the u axis' side. */
static void find_chord(double n, double p, double r, double t, Cap *cap) {
    if (p == 0.0 || r == 0.0) {
        double reach = pow(1.0 - pow(t, n), 1.0 / n);
        cap->u1 = p == 0.0 ? -reach : t;
        cap->v1 = p == 0.0 ? t : reach;
        cap->u2 = p == 0.0 ? reach : t;
        cap->v2 = p == 0.0 ? t : -reach;
        return;
    }
    /* where the contour's normal is (p, r): v/u = (r/p)^(1/(n - 1)) = k, and then k^n = k r/p */
    double lean = fmin(p, r) / fmax(p, r), k = pow(lean, 1.0 / (n - 1.0));
    double far = t * pow(1.0 + k * lean, -1.0 / n);
    cap->u1 = cap->u2 = p < r ? k * far : far;
    cap->v1 = cap->v2 = p < r ? far : k * far;
    walk_to_contour(n, p, r, &cap->u1, &cap->v1);
    walk_to_contour(n, r, p, &cap->v2, &cap->u2);
}

/* The part of the unit superellipse beyond the line, which is 0 <= t < 1 of the way out. */
static Cap cap_beyond(const BlyOval *oval, double p, double r, double t) {
    Cap cap;
    find_chord(oval->n, p, r, t, &cap);
    Sector one = sector(oval, fmin(fabs(cap.u1), 1.0), fmin(fabs(cap.v1), 1.0));
    Sector two = sector(oval, fmin(fabs(cap.v2), 1.0), fmin(fabs(cap.u2), 1.0));
    double sign1 = cap.u1 < 0.0 ? -1.0 : 1.0, sign2 = cap.v2 < 0.0 ? -1.0 : 1.0;
    double triangle = 0.5 * (cap.u2 * cap.v1 - cap.u1 * cap.v2);
    cap.area = oval->quarter - sign1 * one.area - sign2 * two.area - triangle;
    cap.u = oval->lever - one.across - sign2 * two.along - triangle * (cap.u1 + cap.u2) / 3.0;
    cap.v = oval->lever - sign1 * one.along - two.across - triangle * (cap.v1 + cap.v2) / 3.0;
    return cap;
}

static BlyBelow ellipse_below(double b, double c, double uy, double uz, double d, double q) {
    double t = d / q, s = sqrt(fmax(0.0, (q - d) * (q + d))) / q;
    double p = uy * b / q, r = uz * c / q;
    double moment = -2.0 / 3.0 * s * s * s * b * c;
    return (BlyBelow){.area = b * c * (acos(-t) + t * s),
                      .y = b * p * moment,
                      .z = c * r * moment,
                      .y1 = b * (t * p - s * r),
                      .z1 = c * (t * r + s * p),
                      .y2 = b * (t * p + s * r),
                      .z2 = c * (t * r - s * p)};
}

BlyBelow bly_oval_below(const BlyOval *oval, double b, double c, double uy, double uz, double d,
                        double q) {
    if (oval->ellipse)
        return ellipse_below(b, c, uy, uz, d, q);
    double p = fabs(uy) * b, r = fabs(uz) * c, norm = hypot(p, r);
    Cap cap = cap_beyond(oval, p / norm, r / norm, fmin(fabs(d) / q, 1.0));
    /* The cap lies above the line when d >= 0, else it is turned by half a turn and lies below. */
    double turn = d < 0.0 ? -1.0 : 1.0;
    double y = b * (uy < 0.0 ? -1.0 : 1.0), z = c * (uz < 0.0 ? -1.0 : 1.0);
    return (BlyBelow){.area = b * c * (d < 0.0 ? cap.area : 4.0 * oval->quarter - cap.area),
                      .y = -y * b * c * cap.u,
                      .z = -z * b * c * cap.v,
                      .y1 = turn * y * cap.u1,
                      .z1 = turn * z * cap.v1,
                      .y2 = turn * y * cap.u2,
                      .z2 = turn * z * cap.v2};
}

/* The shape near the axes decides the parameter: a flat contour (n > 2) takes the polar angle, a
 * sharp one (n < 2) the power of it for which the normal of the unit contour has the angle w. Both
 * are u/v = tan(w)^e, and keep the octants in place. */
void bly_oval_point(double n, double w, double *u, double *v, double *du, double *dv) {
    double s = sin(w), c = cos(w);
    if (n == 2.0) {
        *u = s, *v = c, *du = c, *dv = -s;
        return;
    }
    double e = n < 2.0 ? 1.0 / (n - 1.0) : 1.0, low = fmin(fabs(s), fabs(c)),
           high = fmax(fabs(s), fabs(c));
    double k = pow(low / high, e), kn = pow(k, n), far = pow(1.0 + kn, -1.0 / n);
    /* k = (low/high)^e grows by e k/(low high) per unit of angle */
    double grow = (e == 1.0 ? 1.0 : e * pow(low / high, e - 1.0)) / (high * high);
    double near_speed = far / (1.0 + kn) * grow;
    double far_speed = k > 0.0 ? -near_speed * kn / k : 0.0;
    bool u_near = fabs(s) < fabs(c);
    double sign_u = s < 0.0 ? -1.0 : 1.0, sign_v = c < 0.0 ? -1.0 : 1.0, way = sign_u * sign_v;
    *u = sign_u * (u_near ? k * far : far);
    *v = sign_v * (u_near ? far : k * far);
    /* |s| grows with w where s and c have one sign; |c| the other way round */
    *du = sign_u * way * (u_near ? near_speed : -far_speed);
    *dv = sign_v * way * (u_near ? far_speed : -near_speed);
}
