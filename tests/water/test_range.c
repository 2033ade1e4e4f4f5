/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the formulas end, and the laws they keep inside: continuity, slope, the maximum near 4 C.
 */
#include "support/check.h"
#include "ballastry/water.h"

static double density(double t, double salinity) {
    BlyWater water = {0};
    assert_true(bly_water_at(t, salinity, &water, NULL));
    return water.density;
}

static double viscosity(double t, double salinity) {
    BlyWater water = {0};
    assert_true(bly_water_at(t, salinity, &water, NULL));
    return water.viscosity;
}

static void refuses(double t, double salinity, const char *where) {
    BlyWater water = {.density = 1};
    BlyError err = {0};
    assert_false(bly_water_known(t, salinity));
    assert_false(bly_water_at(t, salinity, &water, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.where, where);
    assert_true(strlen(err.text) > 0);
    assert_true(water.density == 1); /* untouched */
    assert_false(bly_water_at(t, salinity, &water, NULL));
}

static void borders_from_both_sides(void **state) {
    (void)state;
    const double inside[][2] = {{0, 0}, {40, 0}, {0, 0.042}, {40, 0.042}, {-0.0, -0.0}, {20, 0.01}};
    for (size_t i = 0; i < sizeof inside / sizeof inside[0]; i++) {
        assert_true(bly_water_known(inside[i][0], inside[i][1]));
        assert_between(density(inside[i][0], inside[i][1]), 990, 1035);
        assert_between(viscosity(inside[i][0], inside[i][1]), 6e-4, 2e-3);
    }
    const double wrong[] = {-0.01, 40.01, -273.15, 1e308, NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        refuses(wrong[i], 0.01, "/temperature");
    const double briny[] = {-1e-9, 0.0421, 35, NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof briny / sizeof briny[0]; i++)
        refuses(10, briny[i], "/salinity");
}

static void formulas_give_nan_outside_their_own_range(void **state) {
    (void)state;
    const double never[] = {NAN, INFINITY, -INFINITY, -300};
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        assert_true(isnan(bly_water_fresh_density(never[i])));
        assert_true(isnan(bly_water_fresh_viscosity(never[i])));
        assert_true(isnan(bly_water_eos80_density(never[i], 35)));
        assert_true(isnan(bly_water_eos80_density(10, never[i])));
        assert_true(isnan(bly_water_salt_viscosity_ratio(never[i], 0.035)));
        assert_true(isnan(bly_water_salt_viscosity_ratio(10, never[i])));
    }
    assert_true(isnan(bly_water_fresh_density(-0.01)) && isnan(bly_water_fresh_density(40.01)));
    assert_true(isfinite(bly_water_fresh_density(0)) && isfinite(bly_water_fresh_density(40)));
    assert_true(isnan(bly_water_fresh_viscosity(-20.01)));
    assert_true(isnan(bly_water_fresh_viscosity(110.01)));
    assert_true(isfinite(bly_water_fresh_viscosity(-20) + bly_water_fresh_viscosity(110)));
    assert_true(isnan(bly_water_eos80_density(-2.01, 35) + bly_water_eos80_density(20, 42.01)));
    assert_true(isnan(bly_water_eos80_density(40.01, 35)));
    assert_true(isfinite(bly_water_eos80_density(-2, 42) + bly_water_eos80_density(40, 0)));
    assert_true(isnan(bly_water_salt_viscosity_ratio(-0.01, 0)));
    assert_true(isnan(bly_water_salt_viscosity_ratio(180.01, 0.15)));
    assert_true(isnan(bly_water_salt_viscosity_ratio(20, 0.1501)));
    assert_true(isfinite(bly_water_salt_viscosity_ratio(180, 0.15)));
}

/* Tanaka et al. 2001: fresh water is densest, 999.974950 kg/m3, at 3.983035 C. */
static void fresh_water_is_densest_near_four_degrees(void **state) {
    (void)state;
    double best = 0;
    for (int i = 0; i <= 40000; i++) {
        double t = i * 1e-3;
        if (bly_water_fresh_density(t) > bly_water_fresh_density(best))
            best = t;
    }
    assert_close(best, 3.983035, 6e-4, 0);
    assert_close(bly_water_fresh_density(best), 999.974950, 1e-6, 0);
    for (int i = 1; i <= 400; i++) {
        double t = i * 0.1, before = t - 0.1;
        if (t < 3.9)
            assert_true(density(t, 0) > density(before, 0));
        if (before > 4)
            assert_true(density(t, 0) < density(before, 0));
    }
}

/* Common knowledge of oceanography: above 24.7 g/kg the maximum lies below freezing, so the
 * density of sea water falls with temperature over the whole range. */
static void ocean_water_only_thins_with_warmth(void **state) {
    (void)state;
    for (int i = 1; i <= 400; i++)
        assert_true(density(i * 0.1, 0.035) < density((i - 1) * 0.1, 0.035));
}

static void salt_makes_denser_and_thicker_warmth_thinner(void **state) {
    (void)state;
    for (int t = 0; t <= 40; t++) {
        for (int s = 1; s <= 42; s++) {
            double salt = s * 1e-3, less = (s - 1) * 1e-3;
            assert_true(density(t, salt) > density(t, less));
            assert_true(viscosity(t, salt) > viscosity(t, less));
            if (t > 0)
                assert_true(viscosity(t, salt) < viscosity(t - 1, salt));
        }
    }
}

/* A grain of salt changes next to nothing: the two sources meet at zero salinity. 0.8 kg/m3 for a
 * gram of salt is EOS-80's own slope there. */
static void fresh_and_salt_meet(void **state) {
    (void)state;
    for (int i = 0; i <= 40; i++) {
        double t = i;
        assert_true(density(t, 0) == bly_water_fresh_density(t));
        assert_true(viscosity(t, 0) == bly_water_fresh_viscosity(t));
        assert_close(density(t, 1e-9), density(t, 0), 1e-6, 0);
        assert_close(viscosity(t, 1e-9), viscosity(t, 0), 0, 1e-8);
    }
}

/* No kink or step: third differences over 0.01 C stay at the size of rounding and slow bending. */
static void curves_are_smooth(void **state) {
    (void)state;
    const double salt[] = {0, 0.005, 0.035, 0.042};
    for (size_t k = 0; k < sizeof salt / sizeof salt[0]; k++) {
        for (int i = 0; i + 3 <= 4000; i++) {
            double d[4], m[4];
            for (int j = 0; j < 4; j++) {
                d[j] = density((i + j) * 0.01, salt[k]);
                m[j] = viscosity((i + j) * 0.01, salt[k]);
            }
            assert_close(d[3] - 3 * d[2] + 3 * d[1] - d[0], 0, 1e-8, 0);
            assert_close(m[3] - 3 * m[2] + 3 * m[1] - m[0], 0, 1e-11, 0);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(borders_from_both_sides),
        cmocka_unit_test(formulas_give_nan_outside_their_own_range),
        cmocka_unit_test(fresh_water_is_densest_near_four_degrees),
        cmocka_unit_test(ocean_water_only_thins_with_warmth),
        cmocka_unit_test(salt_makes_denser_and_thicker_warmth_thinner),
        cmocka_unit_test(fresh_and_salt_meet),
        cmocka_unit_test(curves_are_smooth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
