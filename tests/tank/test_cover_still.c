/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was learnt holds the truth in 90 of 100 made-up lures, weighed, hung in water and balanced.
 * The truth is drawn from the build's tolerances, the readings from the tools' (GSL's generators,
 * fixed seeds). Of 400 trials 86 to 94 of 100 are 2.7 standard deviations of a count. */
#include "tank/tank_bench.h"

static void weighed_hung_and_balanced(void **state) {
    static const BlyReadingKind kinds[] = {BLY_READ_SCALE, BLY_READ_IN_WATER, BLY_READ_BALANCE};
    static const BlyStage stages[] = {BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE};
    const Trials run = {bench_coated, kinds, stages, 3, 400, 11, false};
    Cover cover;
    cover_run(*state, &run, &cover);
    cover_check(&cover, &run, 0.86, 0.94);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weighed_hung_and_balanced),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
