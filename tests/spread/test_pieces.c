/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The gives of a glued blank's pieces reach net weight and attitude: closed forms on a spheroid
 * whose lower half is another wood, a ball in it. */
#include "spread/bench.h"

static char belly_name[] = "belly", ball_name[] = "ball", none[] = "";

static void glue(BlyBuild *build, BlyInset pieces[2]) {
    const BlyFigure unknown = {NAN, 0};
    pieces[0] = (BlyInset){.name = belly_name,
                           .material = none,
                           .density = {1400, 60},
                           .mass = unknown,
                           .expansion = unknown,
                           .is_layer = true,
                           .zone = {{-INFINITY, INFINITY}, {-INFINITY, 0}, {0, INFINITY}}};
    pieces[1] = (BlyInset){.name = ball_name,
                           .material = none,
                           .density = unknown,
                           .mass = {0.6e-3, 0.05e-3},
                           .expansion = unknown,
                           .form = {{BLY_FORM_BALL, {52e-3, 0, -4e-3}, {0, 0, 0}, 2e-3, 0}},
                           .form_count = 1};
    must(bly_insets_place(build->shape, pieces, 2, err));
    build->facts.insets = pieces;
    build->facts.inset_count = 2;
}

/* Independent gives add as squares; what the ball weighs for sure it does not take twice. */
static void net_weight(void **state) {
    (void)state;
    BlyBuild build;
    BlyInset pieces[2];
    plain_open(&build, 640);
    build.facts.density.give = 20;
    glue(&build, pieces);
    plain_make(&build);
    double half = plain_volume() / 2, ball = 4.0 / 3 * M_PI * 8e-9;
    double gives[3] = {20 * half, 60 * (half - ball), 0.05e-3};
    double sigma = hypot(hypot(gives[0], gives[1]), gives[2]) / bench_give_sigma;
    BlySpread *spread = spread_of(&build, NULL, NULL);
    const BlyRange *range = &spread->water[0].range[BLY_Q_NET_WEIGHT];
    assert_int_equal(spread->input_count, 3);
    assert_int_equal(spread->inputs[1].kind, BLY_IN_INSET_DENSITY);
    assert_int_equal(spread->inputs[2].kind, BLY_IN_INSET_MASS);
    assert_close(range->sigma, sigma, 0, 1e-4);
    for (int i = 0; i < 3; i++)
        assert_close(spread->share[BLY_Q_NET_WEIGHT][i],
                     pow(gives[i] / bench_give_sigma / sigma, 2), 1e-3, 0);
    free(spread);
    plain_close(&build);
}

/* Of a blank that was weighed whole the woods' gives move nothing but the attitude: where the
 * weight sits, not how much there is. The ball's mass comes off the core's. */
static void weighed_whole(void **state) {
    (void)state;
    BlyBuild build;
    BlyInset pieces[2];
    plain_open(&build, NAN);
    build.facts.mass = (BlyFigure){17.2e-3, 0.02e-3};
    glue(&build, pieces);
    plain_make(&build);
    BlySpread *spread = spread_of(&build, NULL, NULL);
    assert_close(spread->water[0].range[BLY_Q_NET_WEIGHT].sigma, 0.02e-3 / bench_give_sigma, 0,
                 1e-4);
    /* Level lure, nose-down by little: tan t = (x_g - x_b)/(z_b - z_g), moments by hand. */
    double half = plain_volume() / 2, ball = 4.0 / 3 * M_PI * 8e-9, up = 3.0 / 8 * 10e-3;
    double belly = 1400 * (half - ball), core = 17.2e-3 - belly - 0.6e-3;
    BlyBlank *blank = &build.blank;
    assert_close(blank->items[0].mass, core, 0, 1e-9);
    assert_close(blank->items[1].at.x, (half * 40e-3 - ball * 52e-3) / (half - ball), 1e-9, 0);
    assert_close(blank->items[1].at.z, (-half * up + ball * 4e-3) / (half - ball), 1e-9, 0);
    assert_true(spread->share[BLY_Q_NOSE_DOWN][2] > 0.3);
    free(spread);
    plain_close(&build);
}

/* Sampling and first order agree; a sample is the full physics. */
static void samples(void **state) {
    (void)state;
    const BlySpreadOptions sampled = {.samples = 50000, .sample_all = true};
    BlyBuild build;
    BlyInset pieces[2];
    plain_open(&build, 300);
    build.facts.density.give = 10;
    build.facts.volume_share.give = 0.02;
    glue(&build, pieces);
    plain_make(&build);
    BlySpread *one = spread_of(&build, NULL, NULL), *other = spread_of(&build, NULL, &sampled);
    for (int q = BLY_Q_NET_WEIGHT; q <= BLY_Q_NOSE_DOWN; q++) {
        double wide = one->water[0].range[q].high - one->water[0].range[q].low;
        assert_close(other->water[0].range[q].low, one->water[0].range[q].low, 0.03 * wide, 0);
        assert_close(other->water[0].range[q].high, one->water[0].range[q].high, 0.03 * wide, 0);
    }
    free(one);
    free(other);
    plain_close(&build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(net_weight),
        cmocka_unit_test(weighed_whole),
        cmocka_unit_test(samples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
