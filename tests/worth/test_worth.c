/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a reading leaves of the inputs, against brute sampling: truth drawn, reading drawn, and of a
 * million fresh draws those that read alike kept; and the chance after it, against conditioning by
 * that. Also that the best act is the largest gain, the quicker of equals. The builds are the
 * examples. */
#include "support/check.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "build/files.h"
#include "worth/worth.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

/* Independent inputs, one reading: the spread of each among draws that read alike within a tenth of
 * the reading's standard deviation (rejection sampling) against the factor's. 20,000 or more are
 * kept: a standard deviation is good to 0.5 %; the window widens the reading's by 0.2 %. */
static void test_condition(void **state) {
    (void)state;
    enum { N = 4 };
    const TrimKnown known = {.row = {0.7, -0.4, 1.1, 0}, .sigma = 0.5};
    double factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX] = {0}, sum[N] = {0}, square[N * N] = {0};
    BlyError err;
    assert_true(trim_condition(factor, false, N, &known, &err));
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 5);
    size_t kept = 0;
    const double read = 0.8;
    for (int i = 0; i < 1000000; i++) {
        double u[N], y = 0;
        for (int k = 0; k < N; k++) {
            u[k] = gsl_ran_ugaussian(rng);
            y += known.row[k] * u[k];
        }
        y += gsl_ran_gaussian(rng, known.sigma);
        if (fabs(y - read) > 0.1 * known.sigma)
            continue;
        kept++;
        for (int a = 0; a < N; a++) {
            sum[a] += u[a];
            for (int b = 0; b < N; b++)
                square[a * N + b] += u[a] * u[b];
        }
    }
    assert_true(kept > 20000);
    for (int a = 0; a < N; a++) {
        for (int b = 0; b < N; b++) {
            double n = (double)kept, law = 0;
            double seen = square[a * N + b] / n - sum[a] * sum[b] / (n * n);
            for (int k = 0; k < N; k++)
                law += factor[a * N + k] * factor[b * N + k];
            assert_close(seen, law, 0.02, 0);
        }
    }
    gsl_rng_free(rng);
}

/* Readings of one input alone leave a normal law of it with g s / sqrt(g^2 + s^2) for its standard
 * deviation g: the same as a build that gives it so. The reserve of that build, fresh lures drawn
 * with another seed, is the brute force. 8192 lures each: two shares differ by 0.008 (one standard
 * deviation at a half); 0.025 is three of them. */
typedef struct Alone {
    BlyInputKind kind;
    double sigma; /* of the input, SI */
} Alone;

static size_t list_alone(const void *context, const BlyInput *inputs, size_t count,
                         TrimKnown out[TRIM_KNOWN_MAX]) {
    const Alone *alone = context;
    out[0] = (TrimKnown){.sigma = alone->sigma};
    for (size_t i = 0; i < count; i++) {
        if (inputs[i].kind == alone->kind)
            out[0].row[i] = inputs[i].give / BLY_SIGMAS_95;
    }
    return 1;
}

static void against_build(const char *path, Alone alone) {
    BlyCatalog catalog;
    BlyBuild *build = NULL;
    BlyError err;
    BlyFitResult fitted;
    BlyReserve brute;
    size_t size, count;
    char *text = file_bytes(path, &size);
    assert_true(bly_catalog_shipped(&catalog, &err));
    assert_true(bly_build_read(text, size, &catalog, &build, &err));
    const BlyFitOptions one = {.rigs = 1};
    assert_true(bly_fit(build, &catalog, &one, &fitted, &err) && fitted.count == 1);
    const BlyRig *rig = &fitted.rigs[0].rig;
    const BlyReserveOptions options = {.samples = 8192}, other = {.samples = 8192, .seed = 77};
    double now, chance[TRIM_KNOWN_MAX];
    assert_true(trim_knowing(build, &catalog, rig, &options, list_alone, &alone, 1, NULL, &now,
                             chance, &count, &err));
    BlyFigure *figure =
        alone.kind == BLY_IN_VOLUME ? &build->facts.volume_share : &build->facts.balance;
    assert_true(bly_reserve(build, &catalog, rig, &other, &brute, &err));
    assert_close(now, bly_reserve_chance(&brute), 0.025, 0);
    double g = figure->give / BLY_SIGMAS_95;
    figure->give = BLY_SIGMAS_95 * g * alone.sigma / hypot(g, alone.sigma);
    build->blank.facts.volume_share = build->facts.volume_share;
    build->blank.facts.balance = build->facts.balance;
    assert_true(bly_reserve(build, &catalog, rig, &other, &brute, &err));
    print_message("  %-32s %.3f becomes %.3f, brute force %.3f\n", path, now, chance[0],
                  bly_reserve_chance(&brute));
    assert_close(chance[0], bly_reserve_chance(&brute), 0.025, 0);
    bly_fit_release(&fitted);
    bly_build_free(build);
    bly_catalog_release(&catalog);
    free(text);
}

static void test_three_builds(void **state) {
    (void)state;
    against_build("examples/larch-minnow.json", (Alone){BLY_IN_VOLUME, 0.002});
    against_build("examples/board-lip.json", (Alone){BLY_IN_VOLUME, 0.002});
    against_build("examples/light-by-design.json", (Alone){BLY_IN_BALANCE, 0.05e-3});
}

static int set_up(void **state) {
    (void)state;
    (void)gsl_set_error_handler_off();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_condition),
                                       cmocka_unit_test(test_three_builds)};
    return cmocka_run_group_tests(tests, set_up, NULL);
}
