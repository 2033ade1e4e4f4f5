/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Partial pooling against the worked example of the literature and closed forms. */
#include "lure/kit.h"
#include "book/pool.h"

#include <gsl/gsl_errno.h>
#include <math.h>

/* Coaching in eight schools, Rubin 1981 (Journal of Educational Statistics 6), as Gelman and
 * others, Bayesian Data Analysis, section 5.5, take them up: effects and standard errors with all
 * digits. */
static const double effect[8] = {28.39, 7.94, -2.75, 6.82, -0.64, 0.63, 18.01, 12.16};
static const double error[8] = {14.9, 10.2, 16.3, 11.0, 9.4, 11.4, 10.4, 17.6};
static const double rounded[8] = {28, 8, -3, 7, -1, 1, 18, 12};
static const double rounded_error[8] = {15, 10, 16, 11, 9, 11, 10, 18};

/* One figure a lure, theta all but free before. */
static void solve(const double *y, const double *sigma, size_t count, const PoolScatter *scatter,
                  double *mean, double *variance, double *tau2) {
    static const size_t only[1] = {0};
    double weight[64], pull[64];
    PoolLure lures[64];
    const PoolKey key = {0.0, 1e4, *scatter};
    for (size_t i = 0; i < count; i++) {
        weight[i] = 1.0 / (sigma[i] * sigma[i]);
        pull[i] = y[i] * weight[i];
        lures[i] = (PoolLure){1, only, &weight[i], &pull[i]};
    }
    const PoolProblem problem = {&key, 1, lures, count};
    must(pool_solve(&problem, mean, variance, tau2, err));
}

static PoolScatter fixed(double tau) {
    return (PoolScatter){1, {tau}, {1.0}};
}

/* Bayesian Data Analysis, section 5.5: pooled completely 7.9, variance 17.4; with the rounded data
 * that the book prints, 7.7 and 16.6 (a reader's note, public). */
static void schools_pooled_completely(void **state) {
    (void)state;
    const PoolScatter none = fixed(0.0);
    double mean, variance, tau2;
    solve(effect, error, 8, &none, &mean, &variance, &tau2);
    assert_close(mean, 7.9, 0.05, 0);
    assert_close(variance, 17.4, 0.05, 0);
    solve(rounded, rounded_error, 8, &none, &mean, &variance, &tau2);
    assert_close(mean, 7.7, 0.05, 0);
    assert_close(variance, 16.6, 0.05, 0);
}

/* By tau the formulas of section 5.4: theta's mean is that of the lures weighted by
 * 1 / (sigma^2 + tau^2), its variance the inverse of their sum. */
static void given_tau_closed_form(void **state) {
    (void)state;
    for (double tau = 0.0; tau < 30.0; tau += 5.0) {
        const PoolScatter at = fixed(tau);
        double mean, variance, tau2, sum = 0.0, weights = 0.0;
        solve(effect, error, 8, &at, &mean, &variance, &tau2);
        for (int i = 0; i < 8; i++) {
            double weight = 1.0 / (error[i] * error[i] + tau * tau);
            weights += weight;
            sum += weight * effect[i];
        }
        assert_close(mean, sum / weights, 1e-5, 0);
        assert_close(variance, 1.0 / weights, 0, 1e-5);
        assert_close(tau2, tau * tau, 0, 1e-12);
    }
}

/* Integrated over tau, even before: p(tau | y) of section 5.4, by a sum of our own as fine again.
 */
static void over_tau(void **state) {
    (void)state;
    PoolScatter even = {.count = POOL_NODES};
    for (int i = 0; i < POOL_NODES; i++) {
        even.at[i] = 60.0 * (i + 0.5) / POOL_NODES;
        even.share[i] = 1.0;
    }
    double mean, variance, tau2, sum = 0.0, m = 0.0, square = 0.0, t2 = 0.0;
    solve(effect, error, 8, &even, &mean, &variance, &tau2);
    for (int k = 0; k < 960; k++) {
        double tau = 60.0 * (k + 0.5) / 960, weights = 0.0, middle = 0.0, log_p = 0.0;
        for (int i = 0; i < 8; i++) {
            double weight = 1.0 / (error[i] * error[i] + tau * tau);
            weights += weight;
            middle += weight * effect[i];
        }
        middle /= weights;
        for (int i = 0; i < 8; i++) {
            double v = error[i] * error[i] + tau * tau;
            log_p -= 0.5 * log(v) + 0.5 * (effect[i] - middle) * (effect[i] - middle) / v;
        }
        double p = exp(log_p) / sqrt(weights);
        sum += p;
        m += p * middle;
        square += p * (middle * middle + 1.0 / weights);
        t2 += p * tau * tau;
    }
    m /= sum;
    assert_close(mean, m, 0.02, 0);
    assert_close(variance, square / sum - m * m, 0, 0.01);
    assert_close(tau2, t2 / sum, 0, 0.01);
    /* The published analysis: about 8 for the mean effect, its standard deviation about 5 (from
     * memory, of the book's simulations and others' since). */
    assert_close(mean, 8.0, 0.5, 0);
    assert_close(sqrt(variance), 5.0, 0.5, 0);
}

/* Balanced one-way random effects, the analysis of variance: with known scatter the middle's
 * variance is (tau^2 + sigma^2) / n, and before it (normal prior, variance a^2) it shrinks by
 * a^2 / (a^2 + that). Two figures a lure that hang together: the same by their sum alone. */
static void balanced_and_prior(void **state) {
    (void)state;
    enum { N = 12 };
    static const size_t only[1] = {0};
    const double a = 0.8, tau = 0.5, sigma = 0.3, y = 1.7;
    const double weight = 1.0 / (sigma * sigma), pull = y * weight;
    const PoolKey key = {0.0, a, fixed(tau)};
    PoolLure lures[N];
    for (int i = 0; i < N; i++)
        lures[i] = (PoolLure){1, only, &weight, &pull};
    for (size_t n = 0; n <= N; n++) {
        const PoolProblem problem = {&key, 1, lures, n};
        double mean, variance, tau2;
        double of_mean = n > 0 ? (tau * tau + sigma * sigma) / (double)n : INFINITY;
        must(pool_solve(&problem, &mean, &variance, &tau2, err));
        assert_close(mean, n > 0 ? y * a * a / (a * a + of_mean) : 0.0, 1e-9, 0);
        assert_close(variance, 1.0 / (1.0 / (a * a) + 1.0 / of_mean), 0, 1e-9);
    }
}

/* Only the sum of two figures is read: the middles' sum is learnt, as by one figure of their joint
 * variance, and the difference not at all. */
static void a_sum_alone(void **state) {
    (void)state;
    enum { N = 7 };
    static const size_t both[2] = {0, 1};
    const double a[2] = {0.9, 0.4}, tau[2] = {0.2, 0.3}, sigma = 0.1, y = 1.2;
    const double w = 1.0 / (sigma * sigma);
    const double weight[4] = {w, w, w, w}, pull[2] = {y * w, y * w};
    const PoolKey keys[2] = {{0.0, a[0], fixed(tau[0])}, {0.0, a[1], fixed(tau[1])}};
    PoolLure lures[N];
    for (int i = 0; i < N; i++)
        lures[i] = (PoolLure){2, both, weight, pull};
    const PoolProblem problem = {keys, 2, lures, N};
    double mean[2], c[4], tau2[2];
    must(pool_solve(&problem, mean, c, tau2, err));
    double before = a[0] * a[0] + a[1] * a[1];
    double noise = (tau[0] * tau[0] + tau[1] * tau[1] + sigma * sigma) / N;
    assert_close(mean[0] + mean[1], y * before / (before + noise), 1e-9, 0);
    assert_close(c[0] + c[3] + 2.0 * c[1], before * noise / (before + noise), 0, 1e-9);
    /* Each alone: a^2 less its share of what the sum took away. */
    for (int i = 0; i < 2; i++)
        assert_close(c[3 * i], a[i] * a[i] - pow(a[i], 4) / (before + noise), 0, 1e-9);
    assert_close(c[1], -a[0] * a[0] * a[1] * a[1] / (before + noise), 0, 1e-9);
}

/* Lures without a word change nothing. */
static void nothing_said(void **state) {
    (void)state;
    static const size_t both[2] = {0, 1};
    const double weight[4] = {0}, pull[2] = {0};
    PoolScatter scatter = {3, {0.2, 0.4, 0.8}, {1, 2, 1}};
    const PoolKey keys[2] = {{0.3, 0.9, scatter}, {-0.1, 0.5, scatter}};
    const PoolLure lures[1] = {{2, both, weight, pull}};
    const PoolProblem problem = {keys, 2, lures, 1};
    double mean[2], c[4], tau2[2];
    must(pool_solve(&problem, mean, c, tau2, err));
    assert_close(mean[0], 0.3, 1e-12, 0);
    assert_close(mean[1], -0.1, 1e-12, 0);
    assert_close(c[0], 0.81, 0, 1e-12);
    assert_close(c[3], 0.25, 0, 1e-12);
    assert_close(c[1], 0.0, 1e-12, 0);
    assert_close(tau2[0], (0.04 + 2 * 0.16 + 0.64) / 4, 0, 1e-12);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(schools_pooled_completely),
        cmocka_unit_test(given_tau_closed_form),
        cmocka_unit_test(over_tau),
        cmocka_unit_test(balanced_and_prior),
        cmocka_unit_test(a_sum_alone),
        cmocka_unit_test(nothing_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
