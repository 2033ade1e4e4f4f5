/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which of the scale's readings is the odd one, against the whole worked at once: a random walk of
 * masses (blank, and what each step adds) read with noise is a normal law in closed form, whose
 * chi-square without one reading is that of the others' vector by their covariance (any textbook on
 * the multivariate normal law). Numbers are drawn by GSL, fixed seed. */
#include "support/check.h"
#include "tank/tank.h"

#include <gsl/gsl_linalg.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

static const double sigmas = 1.959963984540054;
enum { STAGES = 5 };

typedef struct Walk {
    double plan[STAGES], step[STAGES], noise[STAGES], read[STAGES];
    size_t count;
} Walk;

/* Covariance of readings i and j: what was on the lure by the earlier. */
static double covariance(const Walk *w, size_t i, size_t j) {
    double sum = i == j ? w->noise[i] * w->noise[i] : 0;
    for (size_t k = 0; k <= (i < j ? i : j); k++)
        sum += w->step[k] * w->step[k];
    return sum;
}

/* Of those in `use`: x' C^-1 x, and what they say of reading `at` (mean and variance, noise left
 * out), by Cholesky. */
static double joint(const Walk *w, const size_t *use, size_t n, size_t at, double *mean,
                    double *var) {
    double c[STAGES * STAGES], x[STAGES], k[STAGES];
    for (size_t a = 0; a < n; a++) {
        x[a] = w->read[use[a]] - w->plan[use[a]];
        k[a] = covariance(w, use[a], at);
        for (size_t b = 0; b < n; b++)
            c[a * n + b] = covariance(w, use[a], use[b]);
    }
    double chi = 0;
    *mean = w->plan[at];
    *var = covariance(w, at, at) - w->noise[at] * w->noise[at];
    if (n == 0)
        return 0;
    gsl_matrix_view m = gsl_matrix_view_array(c, n, n);
    assert_int_equal(gsl_linalg_cholesky_decomp1(&m.matrix), 0);
    double y[STAGES], g[STAGES];
    gsl_vector_view vy = gsl_vector_view_array(y, n), vg = gsl_vector_view_array(g, n),
                    vx = gsl_vector_view_array(x, n), vk = gsl_vector_view_array(k, n);
    gsl_linalg_cholesky_solve(&m.matrix, &vx.vector, &vy.vector);
    gsl_linalg_cholesky_solve(&m.matrix, &vk.vector, &vg.vector);
    for (size_t a = 0; a < n; a++) {
        chi += x[a] * y[a];
        *mean += k[a] * y[a];
        *var -= k[a] * g[a];
    }
    return chi;
}

static void brute(const Walk *w, size_t *odd, double *margin) {
    double best = INFINITY, next = INFINITY, mean, var;
    for (size_t out = 0; out < w->count; out++) {
        size_t use[STAGES], n = 0;
        for (size_t i = 0; i < w->count; i++) {
            if (i != out)
                use[n++] = i;
        }
        double chi = joint(w, use, n, 0, &mean, &var);
        if (chi < best) {
            next = best;
            best = chi;
            *odd = out;
        } else {
            next = fmin(next, chi);
        }
    }
    *margin = next - best;
}

static void test_odd_one(void **state) {
    (void)state;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 41);
    size_t told = 0, found = 0;
    for (int trial = 0; trial < 500; trial++) {
        Walk w = {.count = 2 + gsl_rng_uniform_int(rng, STAGES - 1)};
        TankStage at[STAGES];
        double truth = 0, plan = 0;
        size_t wrong = gsl_rng_uniform_int(rng, w.count);
        for (size_t i = 0; i < w.count; i++) {
            w.step[i] = 0.02 * exp(gsl_ran_gaussian(rng, 1));
            w.noise[i] = 0.01 * exp(gsl_ran_gaussian(rng, 0.3));
            plan += gsl_rng_uniform(rng);
            w.plan[i] = plan;
            truth += gsl_ran_gaussian(rng, w.step[i]);
            w.read[i] = plan + truth + gsl_ran_gaussian(rng, w.noise[i]) + (i == wrong ? 0.4 : 0);
        }
        for (size_t i = 0; i < w.count; i++) { /* what was known before each */
            size_t use[STAGES];
            double mean, var;
            for (size_t k = 0; k < i; k++)
                use[k] = k;
            (void)joint(&w, use, i, i, &mean, &var);
            at[i] = (TankStage){{w.read[i], sigmas * w.noise[i]}, {mean, sigmas * sqrt(var)}};
        }
        size_t odd;
        double margin;
        bool sure;
        brute(&w, &odd, &margin);
        size_t got = tank_odd_one(at, w.count, &sure);
        assert_int_equal(sure, margin > 4.0);
        if (margin > 1e-6)
            assert_int_equal(got, odd);
        told += sure;
        found += sure && got == wrong;
    }
    print_message("  told apart in %zu of 500, the false one named in %zu of those\n", told, found);
    assert_true(told > 200 && found > 0.95 * (double)told);
    gsl_rng_free(rng);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_odd_one)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
