/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is believed of a lure: a normal law over the few figures that tests and trims touch.
 * Readings are linear in them or nearly, so the law stays normal: Bayes' rule for one reading at a
 * time. */
#include "trim/reserve.h"

#include <math.h>

/* cov . h, over the states in use. */
static void along(const Belief *belief, const double *h, double out[BELIEF_STATES]) {
    for (size_t i = 0; i < belief->count; i++) {
        out[i] = 0.0;
        for (size_t k = 0; k < belief->count; k++)
            out[i] += belief->cov[i][k] * h[k];
    }
}

void belief_learn(Belief *belief, const double h[BELIEF_STATES], double off, double variance) {
    double with[BELIEF_STATES], all = variance;
    along(belief, h, with);
    for (size_t i = 0; i < belief->count; i++)
        all += h[i] * with[i];
    if (!(all > 0.0) || !isfinite(off))
        return;
    for (size_t i = 0; i < belief->count; i++) {
        belief->mean[i] -= with[i] * off / all;
        for (size_t k = 0; k < belief->count; k++)
            belief->cov[i][k] -= with[i] * with[k] / all;
    }
}

void belief_move(Belief *belief, const double change[BELIEF_STATES], double share_variance) {
    for (size_t i = 0; i < belief->count; i++) {
        belief->mean[i] += change[i];
        for (size_t k = 0; k < belief->count; k++)
            belief->cov[i][k] += change[i] * change[k] * share_variance;
    }
}

double belief_variance(const Belief *belief, const double h[BELIEF_STATES]) {
    double with[BELIEF_STATES], sum = 0.0;
    along(belief, h, with);
    for (size_t i = 0; i < belief->count; i++)
        sum += h[i] * with[i];
    return fmax(sum, 0.0);
}
