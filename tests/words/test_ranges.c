/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ranges in words. The inch is 25.4 mm by definition; which way is up is the sign of docs/words.md;
 * degrees are pi/180. */
#include "support/check.h"

#include <math.h>
#include <gsl/gsl_math.h>

#include "words/words.h"

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
    drifts(-0.375, -0.311, BLY_METRIC, "rising 31.1 to 37.5 cm/s");
    drifts(0.001, 0.004, BLY_METRIC, "sinking 0.10 to 0.40 cm/s");
    drifts(0.0254, 0.0508, BLY_INCH, "sinking 1.00 to 2.00 in/s");
    turned(-25, -12, 0, "nose-up 12 to 25 deg");
    turned(3.04, 7.26, 1, "nose-down 3.0 to 7.3 deg");
}

static void test_both_ways_are_named(void **state) {
    (void)state;
    drifts(-0.004, 0.006, BLY_METRIC, "between rising 0.40 and sinking 0.60 cm/s");
    drifts(-0.015, 0.0, BLY_METRIC, "between rising 1.5 cm/s and hanging still");
    drifts(-INFINITY, 0.02, BLY_METRIC, "between rising at any speed and sinking 2.0 cm/s");
    drifts(0.0, 0.015, BLY_METRIC, "between hanging still and sinking 1.5 cm/s");
    turned(-4, 18, 0, "between nose-up 4 and nose-down 18 deg");
    turned(0, 15, 1, "between level and nose-down 15.0 deg");
}

static void test_one_figure_where_both_read_alike(void **state) {
    (void)state;
    drifts(-0.1002, -0.0998, BLY_METRIC, "rising 10.0 cm/s");
    turned(-3.9, -4.2, 0, "nose-up 4 deg");
    turned(-0.2, 0.3, 0, "level");
}

static void test_open_and_unknown_ends(void **state) {
    (void)state;
    drifts(0.02, INFINITY, BLY_METRIC, "sinking 2.0 cm/s or faster");
    drifts(-INFINITY, -0.006, BLY_METRIC, "rising 0.60 cm/s or faster");
    drifts(NAN, 0.1, BLY_METRIC, "unknown");
    turned(5, INFINITY, 0, "nose-down 5 deg or more");
    turned(NAN, NAN, 0, "unknown");
}

/* None is said of none only. */
static void test_a_small_chance_is_not_none(void **state) {
    (void)state;
    assert_string_equal(share_text(0).words, "0");
    assert_string_equal(share_text(0.0049).words, "fewer than 1");
    assert_string_equal(share_text(0.005).words, "1");
    assert_string_equal(share_text(0.996).words, "100");
}

static void test_a_hair_shows_with_finer_digits(void **state) {
    char out[WORDS_MAX];
    (void)state;
    drift_range_words(0.004003, 0.004003, BLY_METRIC, 2, out);
    assert_string_equal(out, "sinking 0.4003 cm/s");
}

static void moves(double drift, bool floats, BlySystem system, const char *words) {
    char out[WORDS_MAX];
    moves_words(drift, floats, system, out);
    assert_string_equal(out, words);
}

/* A foot is 0.3048 m by definition: at 0.1 m/s it takes 3.05 s. */
static void test_what_it_does_is_one_phrase(void **state) {
    (void)state;
    moves(0.1, false, BLY_METRIC, "sinks slowly at 10.0 cm/s (a foot in 3.0 s)");
    moves(0.254, false, BLY_INCH, "sinks a foot in 1.2 s (10.00 in/s)");
    moves(-0.003, false, BLY_METRIC, "suspends, rising 0.30 cm/s (a foot in 102 s)");
    moves(-0.0006, false, BLY_METRIC, "suspends, rising 0.06 cm/s (hangs still)");
    moves(-0.0006, false, BLY_INCH, "suspends, rising 0.02 in/s (hangs still)");
    moves(0.0, false, BLY_METRIC, "suspends, hanging still");
    moves(-0.33, true, BLY_METRIC,
          "floats; pushed under, it comes up at 33.0 cm/s (a foot in 0.92 s)");
    moves(NAN, false, BLY_METRIC, "speed unknown");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_way_is_said_once),
        cmocka_unit_test(test_both_ways_are_named),
        cmocka_unit_test(test_one_figure_where_both_read_alike),
        cmocka_unit_test(test_open_and_unknown_ends),
        cmocka_unit_test(test_what_it_does_is_one_phrase),
        cmocka_unit_test(test_a_small_chance_is_not_none),
        cmocka_unit_test(test_a_hair_shows_with_finer_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
