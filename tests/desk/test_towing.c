/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A draw on the line in a maker's words. */
#include "desk/towing.h"
#include "lure/kit.h"
#include "support/check.h"

static void words_become_numbers(void **state) {
    (void)state;
    const char *speeds[] = {"1 m/s", "3 ft/s", "0.6"};
    TowWords words = {speeds, 3, "100 ft of 0.012 in", "6 ft"};
    BlyTowAsk ask;
    must(tow_words_read(&words, &ask, err));
    assert_int_equal(ask.speed_count, 3);
    assert_int_equal(ask.change_at, 1);
    assert_close(ask.speeds[0], 1, 1e-12, 0);
    assert_close(ask.speeds[1], 0.9144, 1e-12,
                 0); /* a foot is 0.3048 m: international yard, 1959 */
    assert_close(ask.speeds[2], 0.6, 1e-12, 0);
    assert_close(ask.line.length, 30.48, 1e-9, 0);
    assert_close(ask.line.diameter, 0.3048e-3, 1e-12, 0);
    assert_close(ask.line.rod, 1.8288, 1e-9, 0);
    words = (TowWords){NULL, 0, "20 m", NULL};
    must(tow_words_read(&words, &ask, err));
    assert_close(ask.line.length, 20, 1e-12, 0);
    assert_close(ask.line.diameter, bly_tow_line_usual().diameter, 0, 0);
    assert_close(ask.speeds[ask.change_at], 1, 0, 0);
}

static void refused(const char *speed, const char *line, const char *rod, const char *where) {
    TowWords words = {&speed, speed ? 1 : 0, line, rod};
    BlyTowAsk ask;
    BlyError err = {0};
    assert_false(tow_words_read(&words, &ask, &err));
    assert_string_equal(err.where, where);
    assert_true(strlen(err.text) > 10);
}

static void other_words_are_refused(void **state) {
    (void)state;
    refused("fast", NULL, NULL, "--speed");
    refused("9 m/s", NULL, NULL, "--speed");
    refused("-1 m/s", NULL, NULL, "--speed");
    refused("30 mm", NULL, NULL, "--speed");
    refused(NULL, "30 m of thread", NULL, "--line");
    refused(NULL, "of 0.3 mm", NULL, "--line");
    refused(NULL, "30 m of 30 m", NULL, "--line");
    refused(NULL, "0.1 m", NULL, "--line");
    refused(NULL, "30 m                                                              of 1", NULL,
            "--line");
    refused(NULL, NULL, "-1 m", "--rod");
    refused(NULL, NULL, "high", "--rod");
    const char *many[9] = {"1", "1", "1", "1", "1", "1", "1", "1", "1"};
    TowWords words = {many, 9, NULL, NULL};
    BlyTowAsk ask;
    BlyError err = {0};
    assert_false(tow_words_read(&words, &ask, &err));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_become_numbers),
        cmocka_unit_test(other_words_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
