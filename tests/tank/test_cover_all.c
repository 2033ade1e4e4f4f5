/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was learnt holds the truth in 90 of 100 made-up lures, all at once under water. The
 * truth is drawn from the build's tolerances, the readings from the tools' (GSL's generators, fixed
 * seeds). Of 400 trials 86 to 94 of 100 are 2.7 standard deviations of a count. */
#include "tank/tank_bench.h"

static void all_under_water(void **state) {
    static const BlyReadingKind kinds[] = {BLY_READ_SCALE,   BLY_READ_SCALE, BLY_READ_IN_WATER,
                                           BLY_READ_BALANCE, BLY_READ_DRIFT, BLY_READ_TILT};
    static const BlyStage stages[] = {BLY_STAGE_BLANK,    BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE,
                                      BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE};
    const Trials run = {bench_uncoated, kinds, stages, 6, 400, 17, true};
    Cover cover;
    cover_run(*state, &run, &cover);
    cover_check(&cover, &run, 0.86, 0.94);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_under_water),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
