/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Net weight and speed of whole lures: published spheres, closed forms, there and back. */
#include "rest/bench.h"
#include "sink/shapes.h"
#include "support/table.h"

#include <gsl/gsl_errno.h>

/* A ball of one material as a lure: the speed of the standard drag curve to its last digit. It has
 * no attitude, and nothing holds it upright. */
static void test_spheres(void **state) {
    (void)state;
    Table *table = table_read("tests/rest/spheres.csv");
    assert_true(table_rows(table) >= 30);
    for (size_t r = 0; r < table_rows(table); r++) {
        double d = table_number(table, r, "diameter_m");
        double density = table_number(table, r, "body_density");
        BlyWater water = {.temperature = 20,
                          .density = table_number(table, r, "density"),
                          .viscosity = table_number(table, r, "viscosity")};
        Bench ball;
        BlyBodyFacts facts = kit_facts(density);
        bench_open(&ball, kit_ellipsoid(0, d, d, d), &facts);
        BlyOutcome out = bench_rest(&ball, &water);
        bool rises = density < water.density;
        double want = table_number(table, r, "speed") * (rises ? -1 : 1);
        assert_close(out.drift, want, 5e-6, 1e-5);
        assert_close(out.sums.net_weight, (density - water.density) * M_PI / 6 * d * d * d, 0,
                     1e-6);
        assert_int_equal(out.state, rises ? BLY_FLOATS : BLY_SINKS);
        assert_int_equal(out.has_surface, rises);
        assert_true(isnan(out.nose_down));
        assert_int_equal(out.rest_count, 0);
        assert_true(out.notes & BLY_NOTE_NO_REST);
        assert_true(out.notes & BLY_NOTE_ROLL_NEUTRAL);
        assert_int_equal(!!(out.notes & BLY_NOTE_FAST_RISE), density < 899);
        assert_close(out.body_drag_share, 1, 1e-12, 0);
        assert_close(out.drag_centre.x, d / 2, 1e-3 * d, 0);
        bench_close(&ball);
    }
    table_free(table);
}

/* Every gram of N by hand: body, coat, shank, loop, chain. */
static void test_net_weight_by_hand(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 90e-3, 14e-3, 18e-3);
    BlyBodyFacts facts = kit_facts(600);
    BlyBlank blank = kit_blank(body, &facts);
    BlyPart eye = kit_eye(), ring = kit_ring(), hook = kit_hook(0.6e-3);
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    BlyRig rig;
    must(bly_rig_init(&rig, 1, err));
    rig.at[0].x = 30e-3;
    rig.at[0].of[BLY_PART_EYE].part = &eye;
    rig.at[0].of[BLY_PART_RING].part = &ring;
    rig.at[0].of[BLY_PART_HOOK].part = &hook;
    BlyLure lure;
    must(bly_lure_make(&blank, &seat, &rig, &lure, err));
    BlyOutcome out;
    must(bly_rest(&lure, &bench_tap, &out, err));
    double volume = M_PI / 6 * 90e-3 * 14e-3 * 18e-3, rho = bench_tap.density;
    double shank = 0.25e-3 / 7850; /* in the wood: it displaces nothing, wood is gone */
    double mass = 600 * (volume - shank) + 0.4e-3 + 0.1e-3 + 0.6e-3;
    double displaced = volume + (0.15e-3 + 0.1e-3 + 0.6e-3) / 7850;
    assert_close(out.sums.mass, mass, 0, 1e-6);
    assert_close(out.sums.net_weight, mass - rho * displaced, 1e-9, 1e-6);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    bly_blank_release(&blank);
    bly_body_free(body);
}

static void test_there_and_back(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(0.1e-3));
    bench_minnow(&bench, 0, &facts);
    for (double t = -3; t < 3.1; t += 0.7) {
        double last = -INFINITY;
        for (int i = -8; i <= 8; i++) {
            double weight = i * 0.3e-3, speed, back;
            must(bly_rest_speed(&bench.lure, &bench_tap, t, weight, &speed, err));
            must(bly_rest_net_weight(&bench.lure, &bench_tap, t, speed, &back, err));
            assert_close(back, weight, 1e-15, 1e-9);
            assert_true(speed > last);
            assert_true((speed < 0) == (weight < 0));
            last = speed;
        }
    }
    double none = 1;
    must(bly_rest_net_weight(&bench.lure, &bench_tap, 0, 0, &none, err));
    assert_true(none == 0.0);
    BlyError err = {0};
    assert_false(bly_rest_net_weight(&bench.lure, &bench_tap, 0, NAN, &none, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    err.code = BLY_OK;
    assert_false(bly_rest_speed(&bench.lure, &bench_tap, NAN, 1e-3, &none, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    err.code = BLY_OK;
    assert_false(bly_rest_speed(&bench.lure, &bench_tap, 0, NAN, &none, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    BlyWater dry = {.density = 0, .viscosity = 1e-3};
    BlyVec3 centre;
    err.code = BLY_OK;
    assert_false(bly_rest_drag_centre(&bench.lure, &dry, 0, 1e-3, &centre, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bench_close(&bench);
}

/* The rest's own drift agrees with speed at its attitude, and drag carries the weight:
 * N g = 1/2 rho v^2 times the sum of Cd A. */
static void test_drag_carries_the_weight(void **state) {
    (void)state;
    const double weights[] = {-1e-3, -20e-6, 5e-6, 0.4e-3};
    for (int i = 0; i < 4; i++) {
        Bench bench;
        BlyBodyFacts facts = kit_facts(bench_minnow_density(weights[i]));
        facts.drag_factor.value = 1.3;
        facts.munk_factor.value = 0.5;
        bench_minnow(&bench, 0, &facts);
        BlyOutcome out = bench_rest(&bench, &bench_tap);
        double speed;
        assert_close(out.sums.net_weight, weights[i], 1e-9, 1e-5);
        must(bly_rest_speed(&bench.lure, &bench_tap, out.nose_down, out.sums.net_weight, &speed,
                            err));
        assert_close(out.drift, speed, 0, 1e-9);
        double force = 0.5 * bench_tap.density * speed * fabs(speed) * out.drag_area;
        assert_close(force, out.sums.net_weight * 9.80665, 0, 1e-7);
        assert_between(out.body_drag_share, 0.3, 0.99);
        bench_close(&bench);
    }
}

static void test_states(void **state) {
    (void)state;
    assert_int_equal(bly_state_of(0), BLY_SUSPENDS);
    assert_int_equal(bly_state_of(0.006), BLY_SUSPENDS);
    assert_int_equal(bly_state_of(-0.006), BLY_SUSPENDS);
    assert_int_equal(bly_state_of(0.0061), BLY_SINKS);
    assert_int_equal(bly_state_of(-0.0061), BLY_FLOATS);
}

/* A lure that weighs nothing stands still, with a centre of drag all the same. */
static void test_weightless(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(0));
    bench_minnow(&bench, 0, &facts);
    BlySums sums;
    bly_balance_sums(&bench.lure, &bench_tap, &sums);
    bench.lure.items[0].mass -= sums.net_weight;
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_close(out.drift, 0, 1e-6, 0);
    assert_int_equal(out.state, BLY_SUSPENDS);
    assert_false(out.has_surface);
    assert_close(out.nose_down, atan2(-out.sums.wx, -out.sums.wz), 1e-6, 0);
    assert_between(out.drag_centre.x, 30e-3, 60e-3);
    bench_close(&bench);
}

/* The whole way from stations to drag: ellipsoids of 4 : 1 that hang upright have Cd 0.25 on their
 * greatest section (White, Fluid Mechanics, Table 7.3, from memory; laminar, Re 1e4), and level
 * what they show times that of short cylinders, or less: 0.72 (data book, length / diameter 4,
 * between the rows of tests/sink/short_cylinder.csv). Between them the sine-squared law. */
static void test_drag_by_attitude(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(900);
    const double length = 80e-3, d = 20e-3;
    bench_open(&bench, kit_ellipsoid(0, length, d, d), &facts);
    double speed = 1e4 * bench_tap.viscosity / (bench_tap.density * d);
    BlyHold level, upright, hold;
    must(bly_rest_hold(&bench.lure, &bench_tap, 0, &speed, 1, &level, err));
    must(bly_rest_hold(&bench.lure, &bench_tap, M_PI_2, &speed, 1, &upright, err));
    assert_close(upright.area, 0.25 * M_PI / 4 * d * d, 0, 0.3);
    assert_between(level.area / (M_PI / 4 * d * length), 0.5, 0.72 * 1.2);
    /* Creeping too, where the areas seen from beside count: the spheroid's closed forms. */
    for (double slow = 1e-6; slow < 1; slow *= 30) {
        for (int end = 0; end < 2; end++) {
            BlyDragBody body = test_spheroid_at(length / 2, d / 2, end);
            double across = bly_drag_diameter(body.volume);
            double re = bench_tap.density * slow * across / bench_tap.viscosity;
            must(bly_rest_hold(&bench.lure, &bench_tap, end * M_PI_2, &slow, 1, &hold, err));
            assert_close(hold.area, bly_drag_body_cd(&body, re) * M_PI / 4 * across * across, 0,
                         2e-3);
        }
    }
    for (double t = -3.2; t < 3.2; t += 0.1) {
        must(bly_rest_hold(&bench.lure, &bench_tap, t, &speed, 1, &hold, err));
        double law = upright.area + (level.area - upright.area) * gsl_pow_2(cos(t));
        assert_close(hold.area, law, 0, 1e-9);
    }
    bench_close(&bench);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_spheres),          cmocka_unit_test(test_net_weight_by_hand),
        cmocka_unit_test(test_there_and_back),   cmocka_unit_test(test_drag_carries_the_weight),
        cmocka_unit_test(test_states),           cmocka_unit_test(test_weightless),
        cmocka_unit_test(test_drag_by_attitude),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
