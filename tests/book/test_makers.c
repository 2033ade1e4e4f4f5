/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a book is worth: after ten lures the net weight of the next, before its first test, is at
 * most half as far off, and at most half as wide a range is told, as at the first; and 90 % ranges
 * go on to hold 90. Makers are drawn (GSL's generators, fixed seeds), so that it is known what is
 * true. FULL=1: 200 makers a row, as docs/book.md has them. */
#include "book/makers.h"

static void check(const MakersRun *run) {
    MakersTold told;
    makers_run(run, &told);
    makers_print(run, &told);
    double first = sqrt(told.square[0] / told.lures[0]);
    double last = sqrt(told.square[MAKER_LURES] / told.lures[MAKER_LURES]);
    assert_true(told.width[MAKER_LURES] <= 0.5 * told.width[0]);
    /* A root mean square of n errors is good to 1 / sqrt(2 n). */
    assert_true(last <= 0.5 * first * (1.0 + 3.0 / sqrt(2.0 * run->makers)));
    int within = 0, lures = 0, late = 0, late_lures = 0;
    for (int n = 1; n <= MAKER_LURES; n++) {
        within += told.within[n];
        lures += told.lures[n];
        late += n > MAKER_LURES / 2 ? told.within[n] : 0;
        late_lures += n > MAKER_LURES / 2 ? told.lures[n] : 0;
    }
    double slack = 3.0 * sqrt(0.09 / run->makers);
    if (run->makers >= 200) { /* one size of book alone is a count of 200: good to 2.1 */
        assert_between(100.0 * told.within[MAKER_LURES] / told.lures[MAKER_LURES], 84, 96);
        assert_between(100.0 * late / late_lures, 86, 94);
        assert_between(100.0 * within / lures, 86, 94);
    } else {
        assert_between((double)within / lures, 0.9 - slack, 0.9 + slack);
    }
}

static void weighed_and_hung(void **state) {
    (void)state;
    const MakersRun run = {"scale at blank and complete, weight in water",
                           {BLY_READ_SCALE, BLY_READ_SCALE, BLY_READ_IN_WATER},
                           {BLY_STAGE_BLANK, BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE},
                           3,
                           repeats(200, 12),
                           41};
    check(&run);
}

static void in_water_alone(void **state) {
    (void)state;
    const MakersRun run = {"weight in water alone", {BLY_READ_IN_WATER},
                           {BLY_STAGE_COMPLETE},    1,
                           repeats(200, 12),        42};
    check(&run);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weighed_and_hung),
        cmocka_unit_test(in_water_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
