/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scale's readings of one lure, stage after stage: what was on it stays on it, so each bears
 * on all later ones. Held to least squares over all of them at once in tests/tank/test_agree.c. */
#include "tank/tank.h"

#include <math.h>

static double variance(BlyFigure figure) {
    double sigma = figure.give / BLY_SIGMAS_95;
    return sigma * sigma;
}

/* Chi-square of the others when reading `out` had not been taken. `shift` and `more`: how far the
 * mass that is believed then lies below that with it, and how much more its variance is. */
static double without(const TankStage *at, size_t count, size_t out) {
    double sum = 0.0, shift = 0.0, more = 0.0;
    for (size_t i = 0; i < count; i++) {
        double g2 = variance(at[i].planned), n2 = variance(at[i].read);
        double off = at[i].read.value - at[i].planned.value, w = g2 / (g2 + n2);
        if (i == out) {
            shift = w * off;
            more = w * g2;
            continue;
        }
        double wide2 = g2 + more, far = off + shift, v = wide2 / (wide2 + n2);
        sum += far * far / (wide2 + n2);
        shift += w * off - v * far;
        more = v * n2 - w * n2;
    }
    return sum;
}

size_t tank_odd_one(const TankStage *at, size_t count, bool *sure) {
    static const double told_apart = 4.0;
    size_t odd = 0;
    double best = INFINITY, next = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double chi = without(at, count, i);
        if (chi < best) {
            next = best;
            best = chi;
            odd = i;
        } else {
            next = fmin(next, chi);
        }
    }
    *sure = next > best + told_apart;
    return odd;
}
