/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums and rest angles under water. */
#include "balance/lures.h"

#include <gsl/gsl_errno.h>

static const double pound_foot3 = 0.45359237 / 0.028316846592; /* kg/m3, NIST SP 811 */

/* A hull of which only volume and centroid count. */
static void lump_start(TestLure *test, double volume) {
    *test = (TestLure){.lure = {.count = 0}};
    test->blank.hull_volume = volume;
    test->blank.facts.expansion.value = NAN;
    test->blank.facts.reference_t = 20;
    test->lure.blank = &test->blank;
    test->lure.items = test->items;
}

/* Abulencia and Theodore 2009, Example 10.4: 200 lbf in air and 120 lbf in water of 62.4 lb/ft3
 * give a volume of 1.282051 ft3. */
static void test_block_in_air_and_water(void **state) {
    (void)state;
    TestLure test;
    BlySums sums;
    BlyWater water = water_of(62.4 * pound_foot3);
    lump_start(&test, 1.282051 * 0.028316846592);
    add_lump(&test, 200 * 0.45359237, 0, bly_vec(0, 0, 0));
    bly_balance_sums(&test.lure, &water, &sums);
    assert_close(sums.net_weight / 0.45359237, 120, 0, 1e-6);
}

/* Cengel and Cimbala, Example 3-11: rope tension 6.004 kN in sea water of 1025 kg/m3 at
 * g = 9.81 for a block of 0.4 x 0.4 x 3 m and 2300 kg/m3. */
static void test_block_on_a_rope(void **state) {
    (void)state;
    TestLure test;
    BlySums sums;
    BlyWater water = water_of(1025);
    lump_start(&test, 0);
    add_lump(&test, 2300 * 0.48, 0.48, bly_vec(0, 0, 0));
    bly_balance_sums(&test.lure, &water, &sums);
    assert_close(sums.net_weight * 9.81, 6004, 0.5, 0);
}

/* Two lumps on a lever: centres and sums by hand. */
static void test_centres(void **state) {
    (void)state;
    TestLure test;
    BlySums sums;
    BlyWater water = water_of(1000);
    lump_start(&test, 10e-6);
    test.blank.hull_centroid = bly_vec(0.05, 0, 0.001);
    add_lump(&test, 0.006, 0, bly_vec(0.04, 0, 0));
    add_lump(&test, 0.002, 0.25e-6, bly_vec(0.08, 0, -0.012));
    bly_balance_sums(&test.lure, &water, &sums);
    assert_close(sums.mass, 0.008, 0, 1e-14);
    assert_close(sums.gravity.x, 0.05, 0, 1e-14);
    assert_close(sums.gravity.z, -0.003, 0, 1e-14);
    assert_close(sums.volume, 10.25e-6, 0, 1e-14);
    assert_close(sums.buoyancy.x, (10 * 0.05 + 0.25 * 0.08) / 10.25, 0, 1e-14);
    assert_close(sums.net_weight, 0.008 - 0.01025, 0, 1e-12);
    assert_close(sums.wx, 0.0004 - 1000 * (10e-6 * 0.05 + 0.25e-6 * 0.08), 0, 1e-12);
    /* From the definition: N X_drag is the moment that any origin leaves over. */
    double arm = bly_balance_roll_arm(&sums, sums.buoyancy.z);
    assert_close(arm, sums.buoyancy.z - sums.gravity.z, 1e-15, 1e-12);
}

/* Law: the roll arm does not depend on the origin when the drag centre moves along. */
static void test_roll_arm_without_origin(void **state) {
    (void)state;
    double arm[2];
    for (int k = 0; k < 2; k++) {
        TestLure test;
        BlySums sums;
        BlyWater water = water_of(1000);
        double up = k * 0.37;
        lump_start(&test, 10e-6);
        test.blank.hull_centroid = bly_vec(0.05, 0, 0.001 + up);
        add_lump(&test, 0.013, 0, bly_vec(0.04, 0, up));
        bly_balance_sums(&test.lure, &water, &sums);
        arm[k] = bly_balance_roll_arm(&sums, 0.002 + up);
    }
    assert_close(arm[1], arm[0], 1e-12, 0);
}

/* Law: splitting an item in two, and turning the list around, changes nothing. */
static void test_split(void **state) {
    (void)state;
    TestLure whole, split;
    BlySums a, b;
    BlyWater water = water_of(999.7);
    lump_start(&whole, 9e-6);
    lump_start(&split, 9e-6);
    add_lump(&whole, 0.004, 0.5e-6, bly_vec(0.03, 0, -0.01));
    add_lump(&whole, 0.003, 0.1e-6, bly_vec(0.06, 0, 0.01));
    add_lump(&split, 0.003, 0.1e-6, bly_vec(0.06, 0, 0.01));
    add_lump(&split, 0.001, 0.125e-6, bly_vec(0.03, 0, -0.01));
    add_lump(&split, 0.003, 0.375e-6, bly_vec(0.03, 0, -0.01));
    bly_balance_sums(&whole.lure, &water, &a);
    bly_balance_sums(&split.lure, &water, &b);
    assert_close(b.wx, a.wx, 0, 1e-12);
    assert_close(b.wz, a.wz, 0, 1e-12);
    assert_close(b.net_weight, a.net_weight, 0, 1e-12);
}

/* A body that swells displaces more: volume by 3 alpha dt. */
static void test_swelling(void **state) {
    (void)state;
    TestLure test;
    BlySums sums;
    BlyWater water = water_of(1000);
    lump_start(&test, 10e-6);
    test.blank.facts.expansion.value = 60e-6;
    add_lump(&test, 0.01, 0, bly_vec(0, 0, 0));
    water.temperature = 10;
    bly_balance_sums(&test.lure, &water, &sums);
    assert_close(sums.volume, 10e-6 * (1 - 3 * 60e-6 * 10), 0, 1e-9);
}

/* --- rests --- */

typedef struct Wave {
    double constant, second; /* of drag_x and of the couple's sin 2t */
    double third;            /* of the couple's cos 3t */
    int calls;
} Wave;

static bool wave_at(double t, void *user, BlyDrift *out) {
    Wave *wave = user;
    wave->calls++;
    out->drag_x = wave->constant * cos(t);
    out->couple = wave->second * sin(2 * t) + wave->third * cos(3 * t);
    return true;
}

static double wave_moment(const BlySums *sums, const Wave *wave, double t) {
    return sums->wx * cos(t) - sums->wz * sin(t) - sums->net_weight * wave->constant * cos(t) +
           wave->second * sin(2 * t) + wave->third * cos(3 * t);
}

static BlySums sums_of(double wx, double wz, double net_weight) {
    return (BlySums){.mass = 0.012,
                     .gravity = bly_vec(0.05, 0, 0),
                     .volume = 12e-6,
                     .buoyancy = bly_vec(0.05, 0, 0),
                     .net_weight = net_weight,
                     .wx = wx,
                     .wz = wz};
}

/* The pendulum: tan t = wx / wz, and gravity straight below buoyancy. */
static void test_closed_form(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    for (int i = 0; i < 24; i++) {
        double turn = -M_PI + (i + 1) * M_PI / 12;
        BlySums sums = sums_of(-3e-5 * sin(turn), -3e-5 * cos(turn), 0);
        BlyRestPoint rest[BLY_RESTS_MAX], searched[BLY_RESTS_MAX];
        Wave wave = {0, 0, 0, 0};
        size_t count = 0, searched_count = 0;
        assert_true(bly_balance_rests(&sums, NULL, NULL, rest, &count, &err));
        assert_int_equal(count, 1);
        assert_close(remainder(rest[0].angle - turn, 2 * M_PI), 0, 1e-12, 0);
        assert_close(rest[0].stiffness, 3e-5, 0, 1e-12);
        assert_true(bly_balance_rests(&sums, wave_at, &wave, searched, &searched_count, &err));
        assert_int_equal(searched_count, 1);
        assert_close(remainder(searched[0].angle - turn, 2 * M_PI), 0, 1e-9, 0);
        assert_close(searched[0].stiffness, 3e-5, 0, 1e-8);
        assert_true(wave.calls < 120);
    }
}

/* Weight in the back: upside down is found, though F(0) = 0. */
static void test_upside_down(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    BlySums sums = sums_of(0, 2e-5, 0);
    BlyRestPoint rest[BLY_RESTS_MAX];
    size_t count = 0;
    Wave wave = {0, 0, 0, 0};
    assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
    assert_int_equal(count, 1);
    assert_close(fabs(rest[0].angle), M_PI, 1e-9, 0);
    assert_true(rest[0].angle > -M_PI && rest[0].angle <= M_PI);
}

/* F = S sin t (1 + 2 (C/S) cos t): for C < -S/2 level is no rest; the two at cos t = -S/2C are. */
static void test_split_by_couple(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    const double s = 2e-5, c[] = {-1.001, -1.1, -2, -20};
    for (size_t i = 0; i < sizeof c / sizeof c[0]; i++) {
        BlySums sums = sums_of(0, -s, 0);
        BlyRestPoint rest[BLY_RESTS_MAX];
        size_t count = 0;
        Wave wave = {0, c[i] * s / 2, 0, 0};
        assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
        assert_int_equal(count, 2);
        assert_close(rest[0].angle, acos(-1 / c[i]), 1e-8, 0);
        assert_close(rest[1].angle, -acos(-1 / c[i]), 1e-8, 0);
        double stiffness = s * (cos(rest[0].angle) + c[i] * cos(2 * rest[0].angle));
        assert_close(rest[0].stiffness, stiffness, 0, 1e-6);
    }
    BlySums sums = sums_of(0, -s, 0);
    BlyRestPoint rest[BLY_RESTS_MAX];
    size_t count = 0;
    Wave wave = {0, 2 * s, 0, 0}; /* turns it level, either way up */
    assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
    assert_int_equal(count, 2);
    assert_close(rest[0].angle, 0, 1e-9, 0);
    assert_close(fabs(rest[1].angle), M_PI, 1e-9, 0);
}

/* The drag centre: N X_drag shifts the moment, and with it the angle, by hand. */
static void test_drag_centre(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    BlySums sums = sums_of(4e-6, -3.6e-5, 1e-4);
    Wave wave = {0.06, 0, 0, 0};
    BlyRestPoint rest[BLY_RESTS_MAX];
    size_t count = 0;
    assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
    assert_int_equal(count, 1);
    assert_close(tan(rest[0].angle), (4e-6 - 1e-4 * 0.06) / -3.6e-5, 1e-10, 0);
}

/* Brute force: every rising zero among 20,000 angles is reported, and no other. */
static void test_no_rest_missed(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    uint32_t seed = 7;
    int many = 0;
    for (int k = 0; k < 200; k++) {
        double r[6];
        for (int j = 0; j < 6; j++) {
            seed = seed * 1664525u + 1013904223u;
            r[j] = (double)(seed >> 8) / (1 << 23) - 1;
        }
        BlySums sums = sums_of(2e-5 * r[0], 2e-5 * r[1], 2e-4 * r[2]);
        Wave wave = {0.05 * r[3], 3e-5 * r[4], 3e-5 * r[5], 0};
        BlyRestPoint rest[BLY_RESTS_MAX];
        size_t count = 0, brute = 0;
        assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
        const int steps = 20000;
        double before = wave_moment(&sums, &wave, -M_PI);
        for (int i = 1; i <= steps; i++) {
            double t = -M_PI + 2 * M_PI * i / steps, f = wave_moment(&sums, &wave, t);
            if (before < 0 && f >= 0) {
                bool reported = false;
                for (size_t j = 0; j < count; j++)
                    reported = reported || fabs(remainder(rest[j].angle - t, 2 * M_PI)) < 4e-4;
                assert_true(reported);
                brute++;
            }
            before = f;
        }
        assert_int_equal(count, brute);
        many += count > 1;
        for (size_t j = 0; j < count; j++) {
            assert_close(wave_moment(&sums, &wave, rest[j].angle), 0, 1e-14, 0);
            assert_true(rest[j].stiffness > 0);
            assert_true(j == 0 || fabs(rest[j].angle) >= fabs(rest[j - 1].angle) - 1e-9);
        }
    }
    assert_true(many > 50); /* the draw does hold lures with several rests */
}

/* Nothing holds a lure whose centres fall together. */
static void test_neutral(void **state) {
    (void)state;
    BlyError err = {BLY_OK, "", ""};
    BlySums sums = sums_of(1e-15, -1e-15, 0);
    BlyRestPoint rest[BLY_RESTS_MAX];
    size_t count = 9;
    Wave wave = {0, 0, 0, 0};
    assert_true(bly_balance_rests(&sums, NULL, NULL, rest, &count, &err));
    assert_int_equal(count, 0);
    count = 9;
    assert_true(bly_balance_rests(&sums, wave_at, &wave, rest, &count, &err));
    assert_int_equal(count, 0);
}

static bool broken_at(double t, void *user, BlyDrift *out) {
    (void)user;
    *out = (BlyDrift){0, 0};
    return t < 2;
}

static bool infinite_at(double t, void *user, BlyDrift *out) {
    (void)user;
    *out = (BlyDrift){t > 2 ? INFINITY : 0, 0};
    return true;
}

static void test_broken_drift(void **state) {
    (void)state;
    BlySums sums = sums_of(0, -2e-5, 1e-4);
    BlyRestPoint rest[BLY_RESTS_MAX];
    size_t count = 0;
    BlyError err = {BLY_OK, "", ""};
    assert_false(bly_balance_rests(&sums, broken_at, NULL, rest, &count, &err));
    assert_int_equal(err.code, BLY_E_INTERNAL);
    assert_false(bly_balance_rests(&sums, infinite_at, NULL, rest, &count, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_block_in_air_and_water),
        cmocka_unit_test(test_block_on_a_rope),
        cmocka_unit_test(test_centres),
        cmocka_unit_test(test_roll_arm_without_origin),
        cmocka_unit_test(test_split),
        cmocka_unit_test(test_swelling),
        cmocka_unit_test(test_closed_form),
        cmocka_unit_test(test_upside_down),
        cmocka_unit_test(test_split_by_couple),
        cmocka_unit_test(test_drag_centre),
        cmocka_unit_test(test_no_rest_missed),
        cmocka_unit_test(test_neutral),
        cmocka_unit_test(test_broken_drift),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
