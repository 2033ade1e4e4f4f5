/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A spheroid balanced below its middle. Its net weight is (density - water) times volume, it lies
 * level, and its drift is a function of net weight alone: ranges and chances follow from the normal
 * distribution (GSL's cumulative functions) and from the full physics at one point. */
#include "spread/bench.h"

#include <gsl/gsl_cdf.h>

static const BlySpreadOptions many = {.samples = 100000};

static double water_density(const BlyBuild *build) {
    BlyWater water;
    must(bly_water_at(build->water.temperature.value, 0, &water, err));
    return water.density;
}

/* A give is the half-width that 95 of 100 keep: GSL's normal quantile. */
static void test_what_a_give_is(void **state) {
    (void)state;
    double quantile = gsl_cdf_ugaussian_Pinv(0.975);
    assert_close(bench_give_sigma, quantile, 0, 1e-12);
    assert_close(BLY_SIGMAS_95, quantile, 0, 1e-12);
}

/* Closed form: independent gives add as squares. */
static void test_net_weight(void **state) {
    (void)state;
    BlyBuild build;
    plain_open(&build, 1010);
    build.facts.density.give = 8;
    build.facts.volume_share.give = 0.02;
    build.facts.expansion = (BlyFigure){60e-6, 30e-6};
    build.water.temperature.give = 2;
    plain_make(&build);
    double v = plain_volume(), rho = water_density(&build), swell = 1 + 3 * 60e-6 * -5;
    double by_density = v * 8, by_volume = v * (1010 - rho * swell) * 0.02;
    double by_expansion = rho * v * 3 * 5 * 30e-6;
    /* Slope of water's density at 15 C by its published neighbours; it and the swelling pull
     * against each other. */
    double slope = (bly_water_fresh_density(15.5) - bly_water_fresh_density(14.5));
    double by_temperature = v * (slope * swell + rho * 3 * 60e-6) * 2;
    double sigma =
        hypot(hypot(by_density, by_volume), hypot(by_expansion, by_temperature)) / bench_give_sigma;
    BlySpread *spread = spread_of(&build, NULL, &many);
    const BlyRange *range = &spread->water[0].range[BLY_Q_NET_WEIGHT];
    assert_int_equal(range->method, BLY_BY_FIRST_ORDER);
    assert_close(range->nominal, v * (1010 - rho * swell), 1e-9, 1e-5);
    assert_close(range->sigma, sigma, 0, 1e-3);
    assert_close(range->high - range->nominal, 1.6448536 * sigma, 0, 1e-3);
    assert_close(spread->share[BLY_Q_NET_WEIGHT][0], pow(by_density / sigma / bench_give_sigma, 2),
                 2e-3, 0);
    free(spread);
    BlySpreadOptions sampled = {.samples = 100000, .sample_all = true};
    spread = spread_of(&build, NULL, &sampled);
    range = &spread->water[0].range[BLY_Q_NET_WEIGHT];
    assert_int_equal(range->method, BLY_BY_SAMPLING);
    assert_close(range->sigma, sigma, 0, 3e-3);
    assert_close(range->low, range->nominal - 1.6448536 * sigma, 0.01 * sigma, 0);
    assert_close(range->high, range->nominal + 1.6448536 * sigma, 0.01 * sigma, 0);
    free(spread);
    plain_close(&build);
}

/* Neutral to within a milligram: drift goes with the root of net weight and first order is wrong;
 * the tool samples by itself, and its quantiles are the drifts at the quantiles of net weight. */
static void test_drift_about_neutral(void **state) {
    (void)state;
    BlyBuild build;
    BlyLure lure;
    BlyWater water;
    plain_open(&build, 999.2);
    build.facts.density.give = 2;
    plain_make(&build);
    BlyTarget target = {.state = BLY_SUSPENDS,
                        .drift_low = -10e-3,
                        .drift_high = 8e-3,
                        .nose_low = -INFINITY,
                        .nose_high = INFINITY};
    must(bly_water_at(15, 0, &water, err));
    must(bly_lure_make(&build.blank, NULL, &build.fitted, &lure, err));
    double mean = plain_volume() * (999.2 - water.density);
    double sigma = plain_volume() * 2 / bench_give_sigma;
    BlySpread *spread = spread_of(&build, &target, &many);
    const BlyRange *range = spread->water[0].range;
    double low, high;
    must(bly_rest_speed(&lure, &water, 0, mean - 1.6448536 * sigma, &low, err));
    must(bly_rest_speed(&lure, &water, 0, mean + 1.6448536 * sigma, &high, err));
    assert_int_equal(range[BLY_Q_NET_WEIGHT].method, BLY_BY_FIRST_ORDER);
    assert_int_equal(range[BLY_Q_DRIFT].method, BLY_BY_SAMPLING);
    assert_close(range[BLY_Q_DRIFT].low, low, 0, 0.01);
    assert_close(range[BLY_Q_DRIFT].high, high, 0, 0.01);
    double at_low, at_high;
    must(bly_rest_net_weight(&lure, &water, 0, -10e-3, &at_low, err));
    must(bly_rest_net_weight(&lure, &water, 0, 8e-3, &at_high, err));
    double chance =
        gsl_cdf_gaussian_P(at_high - mean, sigma) - gsl_cdf_gaussian_P(at_low - mean, sigma);
    assert_between(chance, 0.1, 0.9);
    assert_close(spread->chance, chance, 0.003, 0);
    assert_close(spread->water[0].chance, chance, 0.003, 0);
    assert_close(spread->miss[BLY_MISS_DRIFT], 1 - chance, 0.003, 0);
    must(bly_rest_net_weight(&lure, &water, 0, -BLY_SUSPEND_SPEED, &at_low, err));
    assert_close(spread->water[0].state[BLY_FLOATS], gsl_cdf_gaussian_P(at_low - mean, sigma),
                 0.003, 0);
    free(spread);
    bly_lure_release(&lure);
    plain_close(&build);
}

/* Neutral, gravity off the middle by dx and 2 mm below it: tan t = -dx / 2 mm (nose-down when
 * gravity is forward). With a wide give of dx first order is not enough. */
static void test_attitude(void **state) {
    (void)state;
    BlyBuild build;
    plain_open(&build, 999.10);
    double give = 3e-3;
    build.facts.balance.give = give;
    plain_make(&build);
    BlySpread *spread = spread_of(&build, NULL, &many);
    const BlyRange *range = &spread->water[0].range[BLY_Q_NOSE_DOWN];
    double end = atan(1.6448536 * give / bench_give_sigma / 2e-3);
    assert_int_equal(range->method, BLY_BY_SAMPLING);
    assert_close(range->low, -end, 0.01 * end, 0);
    assert_close(range->high, end, 0.01 * end, 0);
    assert_close(spread->share[BLY_Q_NOSE_DOWN][0], 1, 1e-6, 0);
    free(spread);
    bly_blank_release(&build.blank);
    build.facts.balance.give = 0.3e-3;
    plain_make(&build);
    spread = spread_of(&build, NULL, &many);
    range = &spread->water[0].range[BLY_Q_NOSE_DOWN];
    assert_int_equal(range->method, BLY_BY_FIRST_ORDER);
    assert_close(range->sigma, 0.3e-3 / bench_give_sigma / 2e-3, 0, 0.01);
    free(spread);
    plain_close(&build);
}

/* Closed form: what shows is 1 - density over water's. */
static void test_shows(void **state) {
    (void)state;
    BlyBuild build;
    plain_open(&build, 800);
    build.facts.density.give = 40;
    build.facts.balance.give = 0.2e-3;
    plain_make(&build);
    double rho = water_density(&build), sigma = 40 / bench_give_sigma / rho;
    BlySpreadOptions sampled = {.samples = 50000, .sample_all = true};
    BlySpread *first = spread_of(&build, NULL, &many), *fast = spread_of(&build, NULL, &sampled);
    const BlyRange *range = &first->water[0].range[BLY_Q_SHOWS];
    assert_int_equal(range->method, BLY_BY_FIRST_ORDER);
    assert_close(range->nominal, 1 - 800 / rho, 1e-5, 0);
    assert_close(range->sigma, sigma, 0, 0.01);
    range = &fast->water[0].range[BLY_Q_SHOWS];
    assert_close(range->sigma, sigma, 0, 0.01);
    assert_close(range->low, 1 - 800 / rho - 1.6448536 * sigma, 0.02 * sigma, 0);
    /* Attitude at the surface by both ways. */
    assert_close(fast->water[0].range[BLY_Q_NOSE_DOWN].sigma,
                 first->water[0].range[BLY_Q_NOSE_DOWN].sigma, 0, 0.05);
    free(first);
    free(fast);
    plain_close(&build);
}

/* No give anywhere: the ranges are points, the chance is 0 or 1. */
static void test_nothing_uncertain(void **state) {
    (void)state;
    BlyBuild build;
    plain_open(&build, 1100);
    plain_make(&build);
    BlyTarget target = {.state = BLY_SINKS,
                        .drift_low = -INFINITY,
                        .drift_high = INFINITY,
                        .nose_low = -0.1,
                        .nose_high = 0.1};
    BlySpreadOptions few = {.samples = 100};
    BlySpread *spread = spread_of(&build, &target, &few);
    assert_int_equal(spread->input_count, 0);
    assert_close(spread->chance, 1, 0, 0);
    assert_close(spread->water[0].range[BLY_Q_DRIFT].low, spread->water[0].range[BLY_Q_DRIFT].high,
                 0, 0);
    assert_close(spread->water[0].state[BLY_SINKS], 1, 0, 0);
    free(spread);
    target.state = BLY_FLOATS;
    spread = spread_of(&build, &target, &few);
    assert_close(spread->chance, 0, 0, 0);
    free(spread);
    plain_close(&build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_a_give_is),
        cmocka_unit_test(test_net_weight),
        cmocka_unit_test(test_drift_about_neutral),
        cmocka_unit_test(test_attitude),
        cmocka_unit_test(test_shows),
        cmocka_unit_test(test_nothing_uncertain),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
