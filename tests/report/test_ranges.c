/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ranges in words. The inch is 25.4 mm by definition; which way is up is the sign of docs/words.md;
 * degrees are pi/180. */
#include "support/check.h"

#include <math.h>
#include <gsl/gsl_math.h>

#include "report/report.h"

static const double deg = M_PI / 180.0;

static void drifts(double low, double high, BlySystem system, const char *words) {
    char out[WORDS_MAX];
    drift_range_words(low, high, system, 0, out);
    assert_string_equal(out, words);
}

static void turned(double low, double high, int places, const char *words) {
    char out[WORDS_MAX];
    attitude_range_words(low * deg, high * deg, places, out);
    assert_string_equal(out, words);
}

static void test_one_way_is_said_once(void **state) {
    (void)state;
    drifts(-0.375, -0.311, BLY_METRIC, "31.1 cm/s to 37.5 cm/s up");
    drifts(0.001, 0.004, BLY_METRIC, "0.10 cm/s to 0.40 cm/s down");
    drifts(0.0254, 0.0508, BLY_INCH, "1.00 in/s to 2.00 in/s down");
    turned(-25, -12, 0, "nose-up 12 deg to 25 deg");
    turned(3.04, 7.26, 1, "nose-down 3.0 deg to 7.3 deg");
}

static void test_both_ways_are_named(void **state) {
    (void)state;
    drifts(-0.004, 0.006, BLY_METRIC, "0.40 cm/s up to 0.60 cm/s down");
    drifts(0.0, 0.015, BLY_METRIC, "standing still to 1.5 cm/s down");
    turned(-4, 18, 0, "nose-up 4 deg to nose-down 18 deg");
    turned(0, 15, 1, "level to nose-down 15.0 deg");
}

static void test_one_figure_where_both_read_alike(void **state) {
    (void)state;
    drifts(-0.1002, -0.0998, BLY_METRIC, "10.0 cm/s up");
    turned(-3.9, -4.2, 0, "nose-up 4 deg");
    turned(-0.2, 0.3, 0, "level");
}

static void test_open_and_unknown_ends(void **state) {
    (void)state;
    drifts(0.02, INFINITY, BLY_METRIC, "2.0 cm/s down to any speed down");
    drifts(-INFINITY, -0.006, BLY_METRIC, "any speed up to 0.60 cm/s up");
    drifts(NAN, 0.1, BLY_METRIC, "not known");
    turned(5, INFINITY, 0, "nose-down 5 deg to nose-down by any angle");
    turned(NAN, NAN, 0, "not known");
}

static void test_a_hair_shows_with_finer_digits(void **state) {
    char out[WORDS_MAX];
    (void)state;
    drift_range_words(0.004003, 0.004003, BLY_METRIC, 2, out);
    assert_string_equal(out, "0.4003 cm/s down");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_way_is_said_once),
        cmocka_unit_test(test_both_ways_are_named),
        cmocka_unit_test(test_one_figure_where_both_read_alike),
        cmocka_unit_test(test_open_and_unknown_ends),
        cmocka_unit_test(test_a_hair_shows_with_finer_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
