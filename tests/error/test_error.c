/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "ballastry/error.h"

static void fills_and_returns_false(void **state) {
    (void)state;
    BlyError err = {0};
    assert_false(bly_fail(&err, BLY_E_UNIT, "/body/mass", "got %d, expected %s", 7, "a mass"));
    assert_int_equal(err.code, BLY_E_UNIT);
    assert_string_equal(err.where, "/body/mass");
    assert_string_equal(err.text, "got 7, expected a mass");
    assert_false(bly_fail(NULL, BLY_E_IO, NULL, "nobody listens"));
}

static void prefix_goes_before_and_never_overflows(void **state) {
    (void)state;
    BlyError err = {0};
    bly_fail(&err, BLY_E_RANGE, "/x", "too far");
    bly_error_prefix(&err, "/seats/tie");
    assert_string_equal(err.where, "/seats/tie/x");
    char longer[2 * BLY_WHERE_MAX];
    memset(longer, 'a', sizeof longer);
    longer[sizeof longer - 1] = '\0';
    bly_error_prefix(&err, longer);
    assert_int_equal(strlen(err.where), BLY_WHERE_MAX - 1);
    bly_error_prefix(NULL, "nothing");
}

static void codes_have_words_and_blame(void **state) {
    (void)state;
    assert_false(bly_code_of_input(BLY_OK));
    for (int code = BLY_E_SYNTAX; code < BLY_E_MEMORY; code++)
        assert_true(bly_code_of_input((BlyCode)code));
    assert_false(bly_code_of_input(BLY_E_MEMORY));
    assert_false(bly_code_of_input(BLY_E_INTERNAL));
    assert_false(bly_code_of_input((BlyCode)999));
    assert_string_equal(bly_code_words(BLY_E_UNIT), "wrong unit");
    assert_string_equal(bly_code_words((BlyCode)999), "unknown error");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fills_and_returns_false),
        cmocka_unit_test(prefix_goes_before_and_never_overflows),
        cmocka_unit_test(codes_have_words_and_blame),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
