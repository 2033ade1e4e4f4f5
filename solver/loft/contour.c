/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "loft/contour.h"

#include <math.h>

#define PI 3.14159265358979323846

/* For ellipses the trapezoidal rule converges geometrically on the closed curve. */
void contour_ellipse(size_t half, Contour *out) {
    out->count = half + 1;
    for (size_t j = 0; j <= half; j++) {
        double w = PI * (double)j / (double)half;
        out->u[j] = out->nu[j] = j == half ? 0.0 : sin(w);
        out->v[j] = out->nv[j] = cos(w);
        out->bend[j] = 1.0;
        out->un[j] = out->vn[j] = 0.0;
        out->weight[j] = PI / (double)half * (j == 0 || j == half ? 0.5 : 1.0);
    }
}

/* A very flat ellipse, next to a knife edge: equal steps of q = log tan(angle). Turning and length
 * are both spread over about one unit of q, the one around log(ratio), the other around 0, and fall
 * off like exp(-|q|) outside. */
static void knife_contour(double ratio, Contour *out) {
    enum { STEPS = 48 };
    double from = fmin(0.0, log(ratio)) - 13.0, to = fmax(0.0, log(ratio)) + 13.0;
    double h = (to - from) / (STEPS - 1);
    out->count = 2 * STEPS;
    for (size_t j = 0; j < 2 * STEPS; j++) {
        double t = exp(from + h * (double)(j / 2)), size = sqrt(1.0 + t * t);
        double s = t / size, c = (j % 2 == 0 ? 1.0 : -1.0) / size, speed = s * fabs(c);
        out->u[j] = s;
        out->v[j] = c;
        out->nu[j] = s * speed;
        out->nv[j] = c * speed;
        out->bend[j] = speed * speed * speed;
        out->un[j] = out->vn[j] = 0.0;
        out->weight[j] = h;
    }
}

/* A flat ellipse turns within angles of about b/c around its sharp ends, and most of its length
 * lies in as little of the normal's angle. Half-way between both angles each is spread over
 * sqrt(b/c): tan(angle) = sqrt(ratio) tan(w). */
void contour_bend(const Contour *base, double ratio, Contour *out) {
    if (ratio < 0.1 || ratio > 10.0) {
        knife_contour(ratio, out);
        return;
    }
    double k = sqrt(ratio);
    out->count = base->count;
    for (size_t j = 0; j < base->count; j++) {
        double s = k * base->u[j], c = base->v[j], size = sqrt(s * s + c * c);
        double speed = k / (size * size);
        out->u[j] = s / size;
        out->v[j] = c / size;
        out->nu[j] = out->u[j] * speed;
        out->nv[j] = out->v[j] * speed;
        out->bend[j] = speed * speed * speed;
        out->un[j] = out->vn[j] = 0.0;
        out->weight[j] = base->weight[j];
    }
}

/* One node of the octant next to the v axis, u = k v with k from 0 to 1, and its three images. */
static void octant_node(double n, double k, double k_speed, double weight, Contour *out) {
    double kn = pow(k, n), v = pow(1.0 + kn, -1.0 / n);
    double lean = kn / k; /* k^(n-1): how far the normal leans */
    double speed = v / (1.0 + kn) * k_speed;
    double vn = v * (log1p(kn) / (n * n) - kn * log(k) / (n * (1.0 + kn)));
    double bend = (n - 1.0) * lean / k * k_speed * speed * speed;
    for (int image = 0; image < 4; image++) {
        size_t j = out->count++;
        bool swap = (image & 1) != 0;
        double down = (image & 2) != 0 ? -1.0 : 1.0;
        out->u[j] = swap ? v : k * v;
        out->v[j] = down * (swap ? k * v : v);
        out->nu[j] = swap ? speed : speed * lean;
        out->nv[j] = down * (swap ? speed * lean : speed);
        out->un[j] = swap ? vn : k * vn;
        out->vn[j] = down * (swap ? k * vn : vn);
        out->bend[j] = bend;
        out->weight[j] = weight;
    }
}

/* Where it meets the axes the contour is flat (n > 2) or sharp (n < 2), which the power below
 * smooths away; and nearly a corner at 45 deg for large n, which gets its own piece. */
void contour_oval(double n, const BlyRule *rule, Contour *out) {
    double power = n < 2.0 ? ceil(3.0 * (n - 1.0) - 1e-9) / (n - 1.0) : 3.0;
    double split = n > 3.0 ? pow(0.02, 1.0 / (power * n)) : 1.0;
    out->count = 0;
    for (int piece = 0; piece < (n > 3.0 ? 2 : 1); piece++) {
        double from = piece == 0 ? 0.0 : split, to = piece == 0 ? split : 1.0;
        for (size_t i = 0; i < rule->count; i++) {
            double s = from + (to - from) * rule->at[i];
            double k = pow(s, power);
            octant_node(n, k, power * k / s, (to - from) * rule->weight[i], out);
        }
    }
}
