/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exit statuses are docs/commands.md's: 3 for bad input, 4 for memory and internal faults. */
#include "support/check.h"

#include "cli/cli.h"

static void errors_have_their_status(void **state) {
    (void)state;
    assert_int_equal(cli_status(BLY_OK), 0);
    for (int code = BLY_E_SYNTAX; code < BLY_E_MEMORY; code++)
        assert_int_equal(cli_status((BlyCode)code), 3);
    assert_int_equal(cli_status(BLY_E_MEMORY), 4);
    assert_int_equal(cli_status(BLY_E_INTERNAL), 4);
    assert_int_equal(cli_status((BlyCode)999), 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(errors_have_their_status)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
