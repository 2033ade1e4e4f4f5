/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laws that a lure at the surface must keep, with weights, lifts and energy reckoned here again
 * from the items and the hull's cut. Lures are made up. */
#include "balance/lures.h"
#include "balance/trim.h"

#include <gsl/gsl_errno.h>

static const double rho = 999.1;

static bool try_float(TestLure *test, BlyFloat *out) {
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(rho);
    return bly_balance_float(&test->lure, &water, out, &err);
}

static BlyFloat float_of(TestLure *test) {
    BlyFloat out;
    assert_true(try_float(test, &out));
    return out;
}

/* --- the same physics, by the slow way --- */

typedef struct Slow {
    double lift;    /* kg */
    BlyVec3 moment; /* kg m: sum of weights times place less lifts times place */
    double energy;  /* kg m */
} Slow;

static void slow_item(const BlyItem *item, BlyVec3 up, double height, Slow *sum) {
    enum { N = 32 };
    double size = cbrt(fabs(item->volume));
    BlyVec3 line = bly_vec_sub(item->to, item->from);
    double length = item->hangs ? item->hang_to - item->hang_from : bly_vec_norm(line);
    double thick = length > size ? sqrt(fabs(item->volume) / length) : size;
    double hang = item->hangs ? (item->hang_from + item->hang_to) / 2 : 0;
    sum->energy += item->mass * (bly_vec_dot(up, item->at) - hang - height);
    sum->moment = bly_vec_add(sum->moment, bly_vec_scale(item->at, item->mass));
    double part = rho * item->volume / N / N;
    for (int i = 0; i < N && part != 0; i++) {
        double s = (i + 0.5) / N;
        BlyVec3 at = bly_vec_add(item->from, bly_vec_scale(line, s));
        double z = bly_vec_dot(up, at);
        if (item->hangs)
            z -= item->hang_from + s * (item->hang_to - item->hang_from);
        for (int j = 0; j < N; j++) {
            double depth = height - z + thick * ((j + 0.5) / N - 0.5);
            if (depth <= 0)
                continue;
            sum->lift += part;
            sum->energy += part * depth;
            sum->moment = bly_vec_sub(sum->moment, bly_vec_scale(at, part));
        }
    }
}

static Slow slow_sums(const TestLure *test, BlyVec3 up, double height) {
    BlyCut cut = bly_body_cut(test->blank.hull, (BlyPlane){up, height});
    Slow sum = {.lift = rho * cut.volume};
    sum.moment = bly_vec_scale(cut.centroid, -sum.lift);
    sum.energy = sum.lift * (height - bly_vec_dot(up, cut.centroid));
    for (size_t i = 0; i < test->lure.count; i++)
        slow_item(&test->lure.items[i], up, height, &sum);
    return sum;
}

static double mass_of(const TestLure *test) {
    double mass = 0;
    for (size_t i = 0; i < test->lure.count; i++)
        mass += test->lure.items[i].mass;
    return mass;
}

/* Draft by halving to 0.3 um, then the energy, which is flat there: that leaves 1e-12 kg m. */
static double slow_energy(const TestLure *test, BlyVec3 up) {
    double low = -0.15, high = 0.15, mass = mass_of(test);
    for (int i = 0; i < 20; i++) {
        double middle = (low + high) / 2;
        if (slow_sums(test, up, middle).lift < mass)
            low = middle;
        else
            high = middle;
    }
    return slow_sums(test, up, (low + high) / 2).energy;
}

/* --- made-up lures --- */

static double draw(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / (1 << 24);
}

/* A minnow with chains, a bar for a lip and lumps here and there; now and then top-heavy. It
 * floats with 3 to 60 % of its volume in reserve. */
static void start_random(TestLure *test, uint32_t *seed) {
    double length = 0.05 + 0.1 * draw(seed), height = length * (0.1 + 0.2 * draw(seed));
    double width = height * (0.4 + 0.8 * draw(seed));
    start_minnow(test, length, width, height);
    double whole = rho * test->blank.hull_volume, reserve = 0.03 + 0.57 * draw(seed);
    double body = (1 - reserve) * (0.5 + 0.45 * draw(seed)), hang = (1 - reserve - body) * whole;
    add_body(test, body * rho);
    double z = draw(seed) < 0.25 ? 0.4 * height : -0.55 * height;
    add_hanging(test, 0.3 * hang, 0.3 * hang / 7800, bly_vec(0.3 * length, 0, z), 0.003, 0.02);
    add_hanging(test, 0.3 * hang, 0.3 * hang / 7800, bly_vec(length, 0, 0), 0.003, 0.02);
    BlyItem *lip = add_lump(test, 0.2 * hang, 0.2 * hang / 1200, bly_vec(0, 0, -0.5 * height));
    lip->to = bly_vec(-0.15 * length, 0, -0.9 * height);
    lip->at = bly_vec(-0.07 * length, 0, -0.7 * height);
    double x = length * draw(seed);
    add_lump(test, 0.2 * hang, 0, bly_vec(x, 0, height * (draw(seed) - 0.6)));
}

/* Weight is balanced, moments are zero, and every small turn in pitch and roll costs energy. */
static void test_rest_by_the_slow_way(void **state) {
    (void)state;
    uint32_t seed = 11;
    int over = 0;
    for (int k = 0; k < 12; k++) {
        TestLure test;
        start_random(&test, &seed);
        BlyFloat out = float_of(&test);
        BlyVec3 up = bly_vec_up(out.nose_down, out.heel);
        double mass = mass_of(&test), size = bly_body_box(test.blank.hull).high.x;
        Slow sum = slow_sums(&test, up, out.plane_height);
        assert_close(sum.lift, mass, 0, 1e-4);
        BlyVec3 level = bly_vec_sub(sum.moment, bly_vec_scale(up, bly_vec_dot(up, sum.moment)));
        assert_close(bly_vec_norm(level), 0, 1e-4 * mass * size, 0);
        BlyVec3 arm = bly_vec_sub(out.gravity, out.buoyancy);
        arm = bly_vec_sub(arm, bly_vec_scale(up, bly_vec_dot(up, arm)));
        assert_close(bly_vec_norm(arm), 0, 1e-6 * size, 0); /* one straight above the other */
        double rest = slow_energy(&test, up);
        for (int i = 0; i < 8; i++) {
            double turn = i * M_PI / 4, step = 0.04;
            BlyVec3 other =
                bly_vec_up(out.nose_down + step * cos(turn), out.heel + step * sin(turn));
            assert_true(slow_energy(&test, other) > rest);
        }
        over += out.upright_unstable;
        lure_end(&test);
    }
    assert_between(over, 1, 11); /* the draw holds both kinds */
}

/* Brute force over the whole sphere of attitudes: nothing lies lower than where a lure that rolls
 * over comes to rest. */
static void test_rolls_to_the_lowest(void **state) {
    (void)state;
    uint32_t seed = 5;
    int seen = 0;
    for (int k = 0; k < 60 && seen < 3; k++) {
        TestLure test;
        BlyFloat out;
        start_random(&test, &seed);
        out = float_of(&test);
        if (out.upright_unstable) {
            double rest = slow_energy(&test, bly_vec_up(out.nose_down, out.heel));
            double slack = 1e-6 * mass_of(&test) * bly_body_box(test.blank.hull).high.x;
            for (int i = -4; i <= 4; i++) {
                for (int j = 0; j <= 6; j++) {
                    BlyVec3 up = bly_vec_up(i * M_PI / 9, j * M_PI / 6);
                    assert_true(slow_energy(&test, up) > rest - slack);
                }
            }
            assert_true(out.heel > 0.01 && out.heel <= M_PI);
            assert_true(out.roll_height < 0);
            seen++;
        }
        lure_end(&test);
    }
    assert_int_equal(seen, 3);
}

/* Brute force: every rising zero of the pitch moment among 720 trims is found, and no other. */
static void test_no_trim_missed(void **state) {
    (void)state;
    uint32_t seed = 3;
    for (int k = 0; k < 12; k++) {
        TestLure test;
        BlyAfloat afloat;
        BlyTrims trims;
        BlyError err = {BLY_OK, "", ""};
        BlyWater water = water_of(rho);
        start_random(&test, &seed);
        assert_true(afloat_start(&test.lure, &water, &afloat, &err));
        assert_true(trim_all(&afloat, &trims, &err));
        size_t brute = 0;
        double before = NAN, guess = NAN;
        for (int i = 0; i <= 360; i++) {
            double t = -M_PI + 2 * M_PI * (i + 0.31) / 360;
            BlyPose pose;
            assert_true(afloat_settle(&afloat, bly_vec_up(t, 0), guess, 1e-3, &pose));
            guess = afloat_follow(&pose, bly_vec_up(t + 2 * M_PI / 360, 0));
            double f = pose.pull.x * cos(t) - pose.pull.z * sin(t);
            brute += before < 0 && f >= 0;
            before = f;
        }
        assert_int_equal(trims.count, brute);
        for (size_t i = 1; i < trims.count; i++)
            assert_true(fabs(trims.at[i].angle) >= fabs(trims.at[i - 1].angle) - 1e-6);
        lure_end(&test);
    }
}

/* --- laws --- */

/* Turned end for end, the trim changes sign and nothing else. */
static void test_mirror(void **state) {
    (void)state;
    BlyFloat out[2];
    for (int k = 0; k < 2; k++) {
        TestLure test;
        start_ellipsoid(&test, 0.045, 0.006, 0.009);
        add_body(&test, 550);
        double x[3] = {0.02, 0.07, 0.05};
        for (int i = 0; i < 3; i++)
            x[i] = k ? 0.09 - x[i] : x[i];
        add_hanging(&test, 0.0009, 0.12e-6, bly_vec(x[0], 0, -0.008), 0.002, 0.02);
        add_hanging(&test, 0.0005, 0.07e-6, bly_vec(x[1], 0, -0.006), 0.002, 0.02);
        add_lump(&test, 0.0008, 0.01e-6, bly_vec(x[2], 0, -0.009));
        out[k] = float_of(&test);
        lure_end(&test);
    }
    assert_true(fabs(out[0].nose_down) > 0.01);
    assert_close(out[1].nose_down, -out[0].nose_down, 1e-8, 0);
    assert_close(out[1].draft, out[0].draft, 1e-9, 0);
    assert_close(out[1].shows, out[0].shows, 1e-8, 0);
    assert_close(out[1].roll_height, out[0].roll_height, 1e-9, 0);
    assert_close(out[1].gravity.x, 0.09 - out[0].gravity.x, 1e-9, 0);
}

/* All lengths times k: masses k^3, lengths k, angles the same; the film grows like k. */
static void test_scale(void **state) {
    (void)state;
    BlyFloat out[2];
    for (int i = 0; i < 2; i++) {
        double k = i ? 2.5 : 1;
        TestLure test;
        start_minnow(&test, 0.08 * k, 0.011 * k, 0.018 * k);
        add_body(&test, 500);
        add_hanging(&test, 1.6e-3 * k * k * k, 0.2e-6 * k * k * k, bly_vec(0.03 * k, 0, -0.01 * k),
                    0.002 * k, 0.02 * k);
        out[i] = float_of(&test);
        lure_end(&test);
    }
    assert_close(out[1].nose_down, out[0].nose_down, 1e-8, 0);
    assert_close(out[1].heel, out[0].heel, 1e-6, 0);
    assert_close(out[1].draft, 2.5 * out[0].draft, 0, 1e-7);
    assert_close(out[1].shows, out[0].shows, 1e-8, 0);
    assert_close(out[1].roll_height, 2.5 * out[0].roll_height, 0, 1e-6);
    assert_close(out[1].pitch_height, 2.5 * out[0].pitch_height, 0, 1e-6);
    assert_close(out[1].film, 2.5 * out[0].film, 0, 1e-3);
}

/* Heavier lies deeper, saltier water lifts. */
static void test_heavier_is_deeper(void **state) {
    (void)state;
    double last_shows = 1, last_draft = 0;
    for (int k = 1; k <= 9; k++) {
        TestLure test;
        start_ellipsoid(&test, 0.045, 0.008, 0.006);
        add_body(&test, 100 * k);
        BlyFloat out = float_of(&test), salt;
        assert_true(out.shows < last_shows && out.draft > last_draft);
        BlyError err = {BLY_OK, "", ""};
        BlyWater sea = water_of(1027);
        assert_true(bly_balance_float(&test.lure, &sea, &salt, &err));
        assert_true(salt.shows > out.shows);
        last_shows = out.shows;
        last_draft = out.draft;
        lure_end(&test);
    }
}

/* A hull that swells shows more. */
static void test_swelling(void **state) {
    (void)state;
    TestLure test;
    start_ellipsoid(&test, 0.045, 0.008, 0.006);
    add_body(&test, 700);
    BlyFloat before = float_of(&test), after;
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(rho);
    test.blank.facts.expansion.value = 60e-6;
    water.temperature = 30;
    assert_true(bly_balance_float(&test.lure, &water, &after, &err));
    double wet = (1 - before.shows) / (1 + 3 * 60e-6 * 10);
    assert_close(1 - after.shows, wet, 1e-9, 1e-7);
    lure_end(&test);
}

/* A round body with its weight in the back floats belly up; weighted below, upright. */
static void test_belly_up(void **state) {
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        TestLure test;
        start_ellipsoid(&test, 0.045, 0.008, 0.008);
        add_body(&test, 500);
        add_lump(&test, 0.001, 0, bly_vec(0.045, 0, side * 0.006));
        BlyFloat out = float_of(&test);
        assert_close(out.nose_down, 0, 1e-6, 0);
        assert_close(out.heel, side > 0 ? M_PI : 0, 1e-6, 0);
        assert_true(out.upright_unstable == (side > 0));
        assert_false(out.roll_neutral);
        assert_true(side > 0 ? out.roll_height < 0 : out.roll_height > 0);
        lure_end(&test);
    }
}

/* A flat board with a little weight on top stays as it is put, but rests lower the other way. */
static void test_may_turn_over(void **state) {
    (void)state;
    for (int side = -1; side <= 1; side++) {
        TestLure test;
        start_prism(&test, 0.08, 0.03, 0.006, 2);
        add_body(&test, 500);
        add_lump(&test, 0.001, 0, bly_vec(0.04, 0, side * 0.0025));
        BlyFloat out = float_of(&test);
        assert_false(out.upright_unstable);
        assert_close(out.heel, 0, 1e-9, 0);
        assert_true(out.roll_height > 0.01);
        assert_true(out.may_turn_over == (side > 0));
        lure_end(&test);
    }
}

/* A tall body falls flat on its side: heel 90 degrees, by symmetry. */
static void test_falls_flat(void **state) {
    (void)state;
    TestLure test;
    start_ellipsoid(&test, 0.045, 0.004, 0.012);
    add_body(&test, rho / 2);
    BlyFloat out = float_of(&test);
    assert_true(out.upright_unstable);
    assert_close(out.heel, M_PI / 2, 1e-6, 0);
    assert_close(out.nose_down, 0, 1e-6, 0);
    assert_close(out.draft, 0.004, 1e-8, 0);
    lure_end(&test);
}

/* A weight to one side: it lists to that side, starboard down positive, and does not roll over.
 * For a round body the heel is the angle at which the weight lies straight below the axis. */
static void test_lists(void **state) {
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        TestLure test;
        start_ellipsoid(&test, 0.045, 0.008, 0.008);
        add_body(&test, 500);
        add_lump(&test, 0.001, 0, bly_vec(0.045, side * 0.003, -0.005));
        BlyFloat out = float_of(&test);
        assert_false(out.upright_unstable);
        assert_close(out.heel, side * atan2(0.003, 0.005), 1e-6, 0);
        lure_end(&test);
    }
}

/* A weighted tail: the lure stands on it. */
static void test_stands_on_its_tail(void **state) {
    (void)state;
    TestLure test;
    start_ellipsoid(&test, 0.045, 0.008, 0.008);
    add_body(&test, 500);
    add_lump(&test, 0.004, 0.05e-6, bly_vec(0.088, 0, 0));
    BlyFloat out = float_of(&test);
    assert_close(out.nose_down, -M_PI / 2, 1e-6, 0);
    assert_false(out.upright_unstable);
    assert_true(out.pitch_height > 0 && out.roll_height > 0);
    lure_end(&test);
}

/* Same input, same bytes. */
static void test_same_again(void **state) {
    (void)state;
    uint32_t seed = 21;
    TestLure test;
    start_random(&test, &seed);
    BlyFloat a = float_of(&test), b = float_of(&test);
    assert_true(a.nose_down == b.nose_down && a.heel == b.heel && a.draft == b.draft &&
                a.shows == b.shows && a.film == b.film && a.roll_height == b.roll_height);
    lure_end(&test);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rest_by_the_slow_way),
        cmocka_unit_test(test_rolls_to_the_lowest),
        cmocka_unit_test(test_no_trim_missed),
        cmocka_unit_test(test_mirror),
        cmocka_unit_test(test_scale),
        cmocka_unit_test(test_heavier_is_deeper),
        cmocka_unit_test(test_swelling),
        cmocka_unit_test(test_belly_up),
        cmocka_unit_test(test_may_turn_over),
        cmocka_unit_test(test_falls_flat),
        cmocka_unit_test(test_lists),
        cmocka_unit_test(test_stands_on_its_tail),
        cmocka_unit_test(test_same_again),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
