/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts at the surface: what is wet of them; the film; the deepest point. */
#include "balance/afloat.h"
#include "balance/bar.h"
#include "balance/lures.h"
#include "support/table.h"

#include <gsl/gsl_errno.h>

static const double rho = 1000;

/* Brute force: a bar as 400 x 400 points. */
typedef struct Brute {
    double share, share_a, work;
} Brute;

static Brute brute_wet(double a, double b, double thick) {
    enum { N = 400 };
    Brute sum = {0, 0, 0};
    for (int i = 0; i < N; i++) {
        double along = (i + 0.5) / N;
        for (int j = 0; j < N; j++) {
            double depth = b + (a - b) * along + thick * ((j + 0.5) / N - 0.5);
            if (depth > 0) {
                sum.share += 1.0 / N / N;
                sum.share_a += along / N / N;
                sum.work += depth / N / N;
            }
        }
    }
    return sum;
}

static const double depths[][2] = {{1, 1},     {-1, -1},    {0.3, -0.2},  {-0.2, 0.3}, {5, -7},
                                   {0.1, 0.1}, {0, 1e-9},   {0.49, 0.51}, {2, 0.2},    {-0.4, 2},
                                   {-3, 0.45}, {0.5, -0.5}, {30, 29},     {-0.5, -0.7}};
enum { DEPTHS = sizeof depths / sizeof depths[0] };

static void test_bar_by_points(void **state) {
    (void)state;
    for (size_t i = 0; i < DEPTHS; i++) {
        BlyBarWet wet = bar_wet(depths[i][0], depths[i][1], 1);
        Brute brute = brute_wet(depths[i][0], depths[i][1], 1);
        assert_close(wet.share_a + wet.share_b, brute.share, 3e-3, 0);
        assert_close(wet.share_a, brute.share_a, 3e-3, 0);
        assert_close(wet.work, brute.work, 3e-4, 3e-4);
    }
}

/* The changes that it gives are those of the shares (central differences). */
static void test_bar_changes(void **state) {
    (void)state;
    const double h = 1e-6;
    for (size_t i = 0; i < DEPTHS; i++) {
        double a = depths[i][0], b = depths[i][1];
        if (fabs(fabs(a) - 0.5) < 1e-3 || fabs(fabs(b) - 0.5) < 1e-3)
            continue; /* a bend of the slice's share: no derivative there */
        BlyBarWet at = bar_wet(a, b, 1);
        BlyBarWet low = bar_wet(a - h, b, 1), high = bar_wet(a + h, b, 1);
        assert_close(at.aa, (high.share_a - low.share_a) / (2 * h), 1e-3, 0);
        assert_close(at.ab, (high.share_b - low.share_b) / (2 * h), 1e-3, 0);
        assert_close(at.share_a, (high.work - low.work) / (2 * h), 1e-4, 0);
        low = bar_wet(a, b - h, 1);
        high = bar_wet(a, b + h, 1);
        assert_close(at.bb, (high.share_b - low.share_b) / (2 * h), 1e-3, 0);
    }
}

/* A disc with a chain that hangs from a post above the middle of its deck; only the chain's lower
 * part is wet. By hand: rho (A d + v (reach - z + d) / length) = M, d the draft. */
static void test_half_wet_chain(void **state) {
    (void)state;
    const double r = 0.03, height = 0.02, post = 0.025, length = 0.03;
    const double mass = 0.005, volume = 0.6e-6, body = 500;
    TestLure test;
    BlyAfloat afloat;
    BlyPose pose;
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(rho);
    start_prism(&test, height, 2 * r, 2 * r, 2);
    add_body(&test, body);
    add_hanging(&test, mass, volume, bly_vec(post, 0, 0), 0, length);
    assert_true(afloat_start(&test.lure, &water, &afloat, &err));
    assert_true(afloat_settle(&afloat, bly_vec(1, 0, 0), NAN, 1e-7, &pose));
    double area = M_PI * r * r, total = body * area * height + mass;
    double draft = (total / rho - volume * (length - post) / length) / (area + volume / length);
    double wet = (draft + length - post) / length;
    assert_between(wet, 0.3, 0.7);
    assert_close(afloat_draft(&afloat, &pose), draft, 1e-9, 0);
    assert_close(pose.volume, area * draft + volume * wet, 0, 1e-9);
    /* Centres as it hangs: the chain's middle is below its point, its wet part lower still. (A
     * bar's thickness up and down, 4.5 mm here, shifts the latter by 0.5 um.) */
    double gravity = (body * area * height * height / 2 + mass * (post - length / 2)) / total;
    double low = post - length, bottom = (low + draft) / 2;
    double buoyancy = (area * draft * draft / 2 + volume * wet * bottom) / (total / rho);
    assert_close(afloat_gravity(&afloat, &pose).x, gravity, 1e-9, 0);
    assert_close(afloat_buoyancy(&afloat, &pose).x, buoyancy, 1e-6, 0);
    /* Roll: the waterplane's, and weights at the point from which they hang (a chain does not
     * lean with the lure). The chain's own waterplane lies in the middle and adds nothing. */
    double hung = (body * area * height * height / 2 + mass * post) / total;
    double lift = (area * draft * draft / 2 + volume * wet * post) / (total / rho);
    double inertia = M_PI * r * r * r * r / 4;
    double roll = afloat_roll_stiffness(&afloat, &pose) / total;
    assert_close(roll, inertia / (total / rho) + lift - hung, 1e-7, 0);
    lure_end(&test);
}

/* The film round a floating disc: sigma times the rim over g. */
static void test_film(void **state) {
    (void)state;
    TestLure test;
    BlyFloat out;
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(998.2);
    start_prism(&test, 0.01, 0.04, 0.04, 2);
    add_body(&test, 400);
    assert_true(bly_balance_float(&test.lure, &water, &out, &err));
    assert_close(out.film, 0.07274 * M_PI * 0.04 / 9.80665, 0, 0.01);
    lure_end(&test);
    /* A made-up lure of 90 mm: about a gram, as sigma times twice its length over g says. */
    start_minnow(&test, 0.09, 0.012, 0.018);
    add_body(&test, 600);
    add_lump(&test, 0.002, 0, bly_vec(0.045, 0, -0.008));
    assert_true(bly_balance_float(&test.lure, &water, &out, &err));
    assert_between(out.film, 0.0008, 0.0016);
    lure_end(&test);
}

/* IAPWS R1-76(2014) Table 1: calculated values to their last digit, measured ones within the
 * uncertainty that it states. */
static void test_surface_tension(void **state) {
    (void)state;
    Table *table = table_read("tests/balance/surface_tension.csv");
    for (size_t i = 0; i < table_rows(table); i++) {
        double sigma = 1e3 * bly_surface_tension(table_number(table, i, "t_c"));
        assert_close(sigma, table_number(table, i, "calculated_mn_m"), 0.0051, 0);
        assert_close(sigma, table_number(table, i, "measured_mn_m"),
                     table_number(table, i, "uncertainty_mn_m"), 0);
    }
    table_free(table);
    assert_true(isnan(bly_surface_tension(-30)));
    assert_true(isnan(bly_surface_tension(400)));
    assert_true(isnan(bly_surface_tension(NAN)));
}

/* The deepest point of an ellipsoid along any direction is sqrt(sum (axis * up)^2) from its
 * middle: the ellipsoid's support function. */
static void test_deepest_point(void **state) {
    (void)state;
    TestLure test;
    BlyAfloat afloat;
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(rho);
    const double a = 0.05, b = 0.008, c = 0.012;
    start_ellipsoid(&test, a, b, c);
    add_body(&test, 500);
    assert_true(afloat_start(&test.lure, &water, &afloat, &err));
    for (int i = -6; i <= 6; i++) {
        for (int j = 0; j <= 6; j++) {
            BlyPose pose = {.up = bly_vec_up(i * M_PI / 12, j * M_PI / 6), .height = 0.003};
            BlyVec3 up = pose.up;
            double reach = sqrt(a * a * up.x * up.x + b * b * up.y * up.y + c * c * up.z * up.z);
            assert_close(afloat_draft(&afloat, &pose), 0.003 - (a * up.x - reach), 1e-8, 0);
        }
    }
    lure_end(&test);
}

static void test_sinks(void **state) {
    (void)state;
    TestLure test;
    BlyFloat out = {.draft = 7};
    BlyError err = {BLY_OK, "", ""};
    BlyWater water = water_of(rho);
    start_minnow(&test, 0.09, 0.012, 0.018);
    add_body(&test, 600);
    double spare = 400 * test.blank.hull_volume;
    add_lump(&test, spare * 0.9999, 0, bly_vec(0.045, 0, -0.004));
    assert_true(bly_balance_float(&test.lure, &water, &out, &err));
    assert_between(out.shows, 1e-6, 1e-3);
    add_lump(&test, spare * 0.0002, 0, bly_vec(0.045, 0, 0));
    out.draft = 7;
    assert_false(bly_balance_float(&test.lure, &water, &out, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_true(out.draft == 7);
    test.lure.count = 0;
    assert_false(bly_balance_float(&test.lure, &water, &out, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    lure_end(&test);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bar_by_points),   cmocka_unit_test(test_bar_changes),
        cmocka_unit_test(test_half_wet_chain),  cmocka_unit_test(test_film),
        cmocka_unit_test(test_surface_tension), cmocka_unit_test(test_deepest_point),
        cmocka_unit_test(test_sinks),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
