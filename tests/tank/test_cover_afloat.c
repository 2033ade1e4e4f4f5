/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was learnt of a floating blank holds the truth in 90 of 100 made-up ones. The surface takes
 * time: 100 trials, of which 82 to 97 are 2.7 standard deviations of a count. */
#include "tank/tank_bench.h"

static void blank_afloat(void **state) {
    static const BlyReadingKind kinds[] = {BLY_READ_SCALE, BLY_READ_SHOWS, BLY_READ_TILT_AFLOAT};
    static const BlyStage stages[] = {BLY_STAGE_BLANK, BLY_STAGE_BLANK, BLY_STAGE_BLANK};
    const Trials run = {bench_blank, kinds, stages, 3, 100, 19, false};
    Cover cover;
    cover_run(*state, &run, &cover);
    cover_check(&cover, &run, 0.82, 0.97);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blank_afloat),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
