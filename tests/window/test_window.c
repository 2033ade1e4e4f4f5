/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water window of a spheroid: its net weight is density times volume less water's density times
 * the swollen volume, so every crossing is a root of published water density (Tanaka 2001 through
 * bly_water_fresh_density), found here by plain bisection. */
#include "ballastry/window.h"
#include "spread/bench.h"

/* Net weight at which the plain spheroid drifts at `drift`, by the full physics. */
static double weight_at(const BlyBuild *build, double t, double s, double drift) {
    BlyLure lure;
    BlyWater water;
    double net;
    must(bly_lure_make(&build->blank, NULL, &build->fitted, &lure, err));
    must(bly_water_at(t, s, &water, err));
    must(bly_rest_net_weight(&lure, &water, 0, drift, &net, err));
    bly_lure_release(&lure);
    return net;
}

/* How much too heavy (kg) for `drift` in this water. */
static double too_heavy(const BlyBuild *build, double t, double s, double drift) {
    BlyWater water;
    must(bly_water_at(t, s, &water, err));
    double alpha = build->facts.expansion.value,
           swell = isnan(alpha) ? 1 : 1 + 3 * alpha * (t - 20);
    double v = bly_body_solid(build->shape)->volume;
    return v * (build->facts.density.value - water.density * swell) - weight_at(build, t, s, drift);
}

static double bisect(const BlyBuild *build, bool salt, double fixed, double a, double b,
                     double drift) {
    bool sign = (salt ? too_heavy(build, fixed, a, drift) : too_heavy(build, a, fixed, drift)) > 0;
    for (int i = 0; i < 60; i++) {
        double m = 0.5 * (a + b);
        double f = salt ? too_heavy(build, fixed, m, drift) : too_heavy(build, m, fixed, drift);
        *((f > 0) == sign ? &a : &b) = m;
    }
    return 0.5 * (a + b);
}

/* A body that does not swell, neutral at 12 C: floats in the cold, sinks in the warm. */
static void test_rigid_body(void **state) {
    (void)state;
    BlyBuild build;
    BlyWindow *w = malloc(sizeof *w);
    plain_open(&build, 999.4975); /* fresh water at 12 C, Tanaka 2001 */
    build.water.temperature.value = 12;
    plain_make(&build);
    must(bly_water_window(&build, &build.fitted, NULL, w, err));
    assert_true(w->notes & BLY_NOTE_EXPANSION_UNKNOWN);
    assert_int_equal(w->line_count, 5); /* own water is the fresh line */
    const BlyWindowLine *fresh = &w->temperature[0];
    assert_int_equal(fresh->span_count, 3);
    assert_int_equal(fresh->span[0].state, BLY_FLOATS);
    assert_int_equal(fresh->span[1].state, BLY_SUSPENDS);
    assert_int_equal(fresh->span[2].state, BLY_SINKS);
    assert_true(!fresh->span[0].keeps && fresh->span[1].keeps && !fresh->span[2].keeps);
    assert_close(fresh->span[1].from, bisect(&build, false, 0, 5, 20, -BLY_SUSPEND_SPEED), 1e-3, 0);
    assert_close(fresh->span[1].to, bisect(&build, false, 0, 5, 20, BLY_SUSPEND_SPEED), 1e-3, 0);
    assert_true(fresh->span[2].ends_at_range && !fresh->span[1].ends_at_range);
    /* In 35 g/kg it floats from end to end. */
    assert_int_equal(w->temperature[4].span_count, 1);
    assert_int_equal(w->temperature[4].span[0].state, BLY_FLOATS);
    assert_close(w->temperature[4].fixed, 0.035, 0, 0);
    assert_int_equal(w->salinity.span_count, 2);
    assert_close(w->salinity.span[0].to, bisect(&build, true, 12, 0, 0.042, -BLY_SUSPEND_SPEED),
                 1e-6, 0);
    /* The small table: 0, 5 .. 40 C. */
    assert_close(fresh->point[3].at, 15, 0, 1e-12);
    assert_int_equal(fresh->point[0].state, BLY_FLOATS);
    assert_int_equal(fresh->point[8].state, BLY_SINKS);
    assert_close(fresh->point[4].net_weight,
                 too_heavy(&build, 20, 0, 6e-3) + weight_at(&build, 20, 0, 6e-3), 1e-9, 1e-3);
    free(w);
    plain_close(&build);
}

/* Neutral at 8 C it is neutral at about 0 C, too, and between them it rises: water is densest at
 * 4 C. The way out and back is seen although both lie within a few steps. */
static void test_densest_at_four(void **state) {
    (void)state;
    BlyBuild build;
    BlyWindow *w = malloc(sizeof *w);
    double there = bly_water_fresh_density(7.0);
    plain_open(&build, there);
    build.water.temperature.value = 7;
    plain_make(&build);
    BlyTarget target = {.state = BLY_SUSPENDS,
                        .drift_low = -3e-3,
                        .drift_high = 5e-3,
                        .nose_low = -INFINITY,
                        .nose_high = INFINITY};
    must(bly_water_window(&build, &build.fitted, &target, w, err));
    const BlyWindowLine *fresh = &w->temperature[0];
    size_t kept = 0;
    for (size_t i = 0; i < fresh->span_count; i++)
        kept += fresh->span[i].keeps;
    assert_int_equal(kept, 2);
    double warm = bisect(&build, false, 0, 4, 20, -3e-3),
           cold = bisect(&build, false, 0, 0, 4, -3e-3);
    assert_close(fresh->span[0].to, cold, 1e-3, 0);
    bool found = false;
    for (size_t i = 1; i < fresh->span_count; i++)
        found = found || (fresh->span[i].keeps && fabs(fresh->span[i].from - warm) < 1e-3);
    assert_true(found);
    /* A band that is left about the turning point alone, between two steps of the walk (they lie at
     * 3.3 and 5 C, where the lure keeps). */
    BlyLure lure;
    BlyWater step, densest;
    double at_step, at_densest;
    must(bly_lure_make(&build.blank, NULL, &build.fitted, &lure, err));
    must(bly_water_at(10.0 / 3, 0, &step, err));
    must(bly_water_at(3.98, 0, &densest, err));
    must(bly_rest_speed(&lure, &step, 0, plain_volume() * (there - step.density), &at_step, err));
    must(bly_rest_speed(&lure, &densest, 0, plain_volume() * (there - densest.density), &at_densest,
                        err));
    bly_lure_release(&lure);
    assert_true(at_densest < at_step);
    target.drift_low = 0.5 * (at_step + at_densest);
    must(bly_water_window(&build, &build.fitted, &target, w, err));
    size_t left = 0;
    for (size_t i = 0; i < fresh->span_count; i++) {
        const BlyWindowSpan *span = &fresh->span[i];
        left += !span->keeps && span->from > 10.0 / 3 && span->to < 5;
    }
    assert_int_equal(left, 1);
    free(w);
    plain_close(&build);
}

/* A body that shrinks faster than water grows denser sinks in the cold. */
static void test_swelling_turns_it_round(void **state) {
    (void)state;
    BlyBuild build;
    BlyWindow *w = malloc(sizeof *w);
    plain_open(&build, 0);
    build.facts.expansion = (BlyFigure){90e-6, 20e-6};
    build.facts.expansion_origin = BLY_FROM_MEMORY;
    build.facts.density.value = bly_water_fresh_density(12) * (1 + 3 * 90e-6 * (12 - 20));
    build.water.temperature.value = 12;
    plain_make(&build);
    must(bly_water_window(&build, &build.fitted, NULL, w, err));
    const BlyWindowLine *fresh = &w->temperature[0];
    assert_true(w->notes & BLY_NOTE_EXPANSION_MEMORY);
    assert_int_equal(fresh->span[0].state, BLY_SINKS);
    assert_int_equal(fresh->span[1].state, BLY_SUSPENDS);
    assert_close(fresh->span[0].to, bisect(&build, false, 0, 0, 12, BLY_SUSPEND_SPEED), 1e-3, 0);
    free(w);
    plain_close(&build);
}

/* Every crossing of a whole lure: just inside it keeps, just outside it does not (full physics). */
static void test_edges_of_a_lure(void **state) {
    (void)state;
    Bench bench;
    BlyLure lure;
    BlyWindow *w = malloc(sizeof *w);
    bench_open(&bench, "tests/spread/suspender.json");
    BlyBuild *build = bench.build;
    must(bly_water_window(build, &build->fitted, &build->target, w, err));
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    int edges = 0;
    for (size_t l = 0; l < w->line_count; l++) {
        const BlyWindowLine *line = &w->temperature[l];
        assert_true(line->span_count >= 1);
        assert_true(line->span[0].from == 0 && line->span[line->span_count - 1].to == 40);
        for (size_t i = 0; i + 1 < line->span_count; i++) {
            const BlyWindowSpan *side[2] = {&line->span[i], &line->span[i + 1]};
            assert_true(side[0]->to == side[1]->from);
            for (int k = 0; k < 2; k++) {
                BlyWater water;
                BlyOutcome out;
                must(bly_water_at(side[0]->to + (k == 0 ? -0.002 : 0.002), line->fixed, &water,
                                  err));
                must(bly_rest_under_water(&lure, &water, &out, err));
                assert_int_equal(out.state, side[k]->state);
                assert_true(bly_judge(&build->target, &out).met == side[k]->keeps);
            }
            edges++;
        }
    }
    assert_true(edges >= 2);
    bly_lure_release(&lure);
    free(w);
    bench_close(&bench);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rigid_body),
        cmocka_unit_test(test_densest_at_four),
        cmocka_unit_test(test_swelling_turns_it_round),
        cmocka_unit_test(test_edges_of_a_lure),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
