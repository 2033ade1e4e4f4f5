/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was learnt holds the truth in 90 of 100 made-up lures, by the scale alone. The
 * truth is drawn from the build's tolerances, the readings from the tools' (GSL's generators, fixed
 * seeds). Of 400 trials 86 to 94 of 100 are 2.7 standard deviations of a count. */
#include "tank/tank_bench.h"

static void scale_at_two_stages(void **state) {
    static const BlyReadingKind kinds[] = {BLY_READ_SCALE, BLY_READ_SCALE};
    static const BlyStage stages[] = {BLY_STAGE_BLANK, BLY_STAGE_COMPLETE};
    const Trials run = {bench_coated, kinds, stages, 2, 400, 7, false};
    Cover cover;
    cover_run(*state, &run, &cover);
    cover_check(&cover, &run, 0.86, 0.94);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scale_at_two_stages),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
