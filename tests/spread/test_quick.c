/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each stand-in of a sample (solver/spread/quick_*.c) against what it stands for: published
 * formulas of water, the lure room's own sums, the full physics of rest and balance. Builds
 * invented. The whole of them, lure by lure: test_sampling.c. */
#include "spread/bench.h"
#include "spread/quick.h"

#include <gsl/gsl_statistics.h>

static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/sinker.json",
                                    "tests/spread/floater.json"};
enum { FILES = sizeof files / sizeof files[0] };

typedef struct Stand {
    Bench bench;
    QuickLure *quick;
    BlyOutcome nominal[BLY_SPREAD_WATERS_MAX];
} Stand;

static void stand_open(Stand *s, const char *file, const BlyWaterFacts *waters, size_t count) {
    bench_open(&s->bench, file);
    BlyBuild *build = s->bench.build;
    s->quick = quick_lure_make(build, &build->fitted, waters ? waters : &build->water,
                               waters ? count : 1, &build->target, s->nominal, NULL);
    assert_non_null(s->quick);
}

static void stand_close(Stand *s) {
    free(s->quick);
    bench_close(&s->bench);
}

/* Density within 2e-6 and viscosity within 2e-4 of the published formulas, three gives off. */
static void near_water(void **state) {
    (void)state;
    static const BlyWaterFacts waters[] = {{{0.3, 1}, {0, 0}},
                                           {{10, 1}, {0, 0}},
                                           {{25, 2}, {0.035, 0.00175}},
                                           {{39.5, 1}, {0.041, 0.002}},
                                           {{15, 1}, {0.002, 0.0001}}};
    for (size_t i = 0; i < sizeof waters / sizeof waters[0]; i++) {
        QuickWater near;
        must(quick_water_make(&waters[i], &near, err));
        for (int k = 0; k < 25; k++) {
            double u = 1.5 * (k % 5 - 2), w = 1.5 * (k / 5 - 2), t, density, nu;
            BlyWater exact;
            quick_water_at(&near, u, w, &t, &density, &nu);
            double s = waters[i].salinity.value + w * waters[i].salinity.give / bench_give_sigma;
            must(bly_water_at(t, fmin(s, 0.042), &exact, err));
            assert_close(density, exact.density, 0, 2e-6);
            assert_close(nu, exact.viscosity / exact.density, 0, 2e-4);
        }
    }
}

/* The polynomial against the sums of lures put together, mass by mass, 60 of each build: off by
 * three hundredths of what the sum itself is spread at most, in the mean square. */
static void sums_of_lures(void **state) {
    (void)state;
    enum { LURES = 60, OF_LURE = SUM_PZ + 1 };
    static double exact[OF_LURE][LURES], off[OF_LURE][LURES];
    for (int k = 0; k < FILES; k++) {
        Stand s;
        stand_open(&s, files[k], NULL, 0);
        SpreadDraw *draw = spread_draw_make(s.quick->set.input_count, BLY_SOURCE_RANDOM, 7, NULL);
        for (int i = 0; i < LURES; i++) {
            double u[BLY_INPUTS_MAX], by_lure[SUMS], by_polynomial[SUMS];
            MovedLure lure;
            spread_draw_next(draw, u);
            quick_lure_clamp(s.quick, u);
            must(moved_lure_make(&s.quick->set, u, &lure, err));
            quick_sums_of(&lure.lure, by_lure);
            moved_lure_release(&lure);
            quick_sums_at(&s.quick->sums, u, by_polynomial);
            for (int m = 0; m < OF_LURE; m++) {
                exact[m][i] = by_lure[m];
                off[m][i] = by_polynomial[m] - by_lure[m];
            }
        }
        for (int m = 0; m < OF_LURE; m++) {
            double rms = sqrt(gsl_stats_tss_m(off[m], 1, LURES, 0.0) / LURES);
            assert_between(rms, 0, 0.03 * gsl_stats_sd(exact[m], 1, LURES));
        }
        spread_draw_free(draw);
        stand_close(&s);
    }
}

/* One table, made in the first water, against bly_rest in cold, warm and salt water; and the weight
 * that a lure seen to drift must have against bly_rest_net_weight. */
static void rest_in_other_waters(void **state) {
    (void)state;
    static const BlyWaterFacts waters[] = {
        {{15, 0}, {0, 0}}, {{2, 0}, {0, 0}}, {{34, 0}, {0, 0}}, {{10, 0}, {0.035, 0}}};
    enum { WATERS = sizeof waters / sizeof waters[0] };
    const double zero[BLY_INPUTS_MAX] = {0};
    for (int k = 0; k < FILES; k++) {
        Stand s;
        BlyLure lure;
        stand_open(&s, files[k], waters, WATERS);
        BlyBuild *build = s.bench.build;
        must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
        for (size_t w = 0; w < WATERS; w++) {
            GripLoad load;
            GripCell hold;
            double hull, net;
            const BlyOutcome *full = &s.nominal[w];
            quick_lure_load(s.quick, zero, s.quick->sums.at_zero, w, &load, &hull);
            GripRest rest = quick_grip_rest(&s.quick->grip, &load);
            assert_close(load.net_weight, full->sums.net_weight, 1e-9, 1e-6);
            assert_close(rest.nose_down, full->nose_down, 0.3 * M_PI / 180, 0);
            assert_close(rest.drift, full->drift, 0.1e-3, 0.01);
            for (double drift = -0.15; drift < 0.2; drift += 0.1) {
                must(bly_rest_net_weight(&lure, &full->water, full->nose_down, drift, &net, err));
                assert_close(
                    quick_grip_weight(&s.quick->grip, &load, full->nose_down, drift, &hold), net, 0,
                    0.01);
            }
        }
        bly_lure_release(&lure);
        stand_close(&s);
    }
}

/* What shows, the angle and the roll height of a floater with each input a standard deviation off,
 * against bly_balance_float of that very lure. */
static void loads_at_the_surface(void **state) {
    (void)state;
    Stand s;
    stand_open(&s, "tests/spread/floater.json", NULL, 0);
    for (size_t i = 0; i < s.quick->set.input_count; i++) {
        for (int way = -1; way <= 1; way += 2) {
            double u[BLY_INPUTS_MAX] = {0}, sums[SUMS];
            MovedLure lure;
            BlyWater water;
            BlyFloat full;
            BlyOutcome fast;
            u[i] = way;
            must(moved_lure_make(&s.quick->set, u, &lure, err));
            must(uncertain_water(&s.quick->set, &s.quick->facts[0], u, &water, err));
            must(bly_balance_float(&lure.lure, &water, &full, err));
            moved_lure_release(&lure);
            quick_sums_at(&s.quick->sums, u, sums);
            quick_lure_sample(s.quick, u, sums, 0, &fast);
            assert_true(fast.has_surface);
            assert_close(fast.surface.shows, full.shows, 2e-4, 0);
            assert_close(fast.surface.nose_down, full.nose_down, 0.3 * M_PI / 180, 0);
            assert_close(fast.surface.roll_height, full.roll_height, 5e-5, 0);
        }
    }
    stand_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(near_water),
        cmocka_unit_test(sums_of_lures),
        cmocka_unit_test(rest_in_other_waters),
        cmocka_unit_test(loads_at_the_surface),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
