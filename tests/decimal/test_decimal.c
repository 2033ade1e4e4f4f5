/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text against the C library's, which rounds correctly (IEEE 754, in the C locale). */
#include "decimal/decimal.h"
#include "support/check.h"
#include "support/dice.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A finite double of any size. */
static double any_double(Dice *dice) {
    return (dice_between(dice, -1.0, 1.0)) * pow(10.0, dice_between(dice, -300.0, 300.0));
}

static void shortest_reads_back(void **state) {
    (void)state;
    Dice dice = {.state = 7};
    for (int i = 0; i < 20000; i++) {
        double value = any_double(&dice);
        char text[BLY_NUMBER_MAX];
        bly_number_shortest(value, text);
        assert_true(strtod(text, NULL) == value);
    }
}

static void reads_as_the_c_library_does(void **state) {
    (void)state;
    Dice dice = {.state = 11};
    for (int i = 0; i < 20000; i++) {
        char text[64];
        (void)snprintf(text, sizeof text, "%.*e", i % 20, fabs(any_double(&dice)));
        BlyDecimal number;
        bool whole = true;
        assert_int_equal(bly_decimal_scan(text, &number, &whole), strlen(text));
        assert_false(whole);
        assert_true(bly_decimal_value(&number) == strtod(text, NULL));
    }
}

/* The factor goes in before anything is rounded: 35 inches of 25.4 mm (exact by definition). */
static void factors_go_in_exactly(void **state) {
    (void)state;
    BlyDecimal number = bly_decimal_from(35);
    bly_decimal_times(&number, 254, -4); /* 35 inches are 0.889 m */
    assert_true(bly_decimal_value(&number) == 0.889);
    number = bly_decimal_from(9);
    bly_decimal_times(&number, 1, -1000);
    assert_true(bly_decimal_value(&number) == 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shortest_reads_back),
        cmocka_unit_test(reads_as_the_c_library_does),
        cmocka_unit_test(factors_go_in_exactly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
