/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two worked pours of docs/pour.md, whose figures were worked by hand there. The materials are
 * made up; what is checked is the arithmetic, to half the last printed digit. */
#include "support/check.h"
#include "pour/bench.h"

static BlyPourPlan plan(const BlyPour *pour) {
    BlyPourPlan out = {0};
    BlyError err = {0};
    if (!bly_pour_plan(pour, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    return out;
}

static void bubbles_stirred_into_urethane(void **state) {
    (void)state;
    BlyPour pour = bly_pour_blank();
    pour.mould.volume = sure(24 * ML);
    pour.filler.density = (BlyFigure){200, 20};
    pour.filler.stirred = true;
    pour.filler.target = 700;
    pour.resin.by_weight = 100.0 / 90;
    pour.resin.by_volume = 1;
    pour.resin.a_density = sure(1080);
    pour.resin.cured_density = (BlyFigure){1050, 15};
    pour.bench.allowance_share = 0.25;
    BlyPourPlan p = plan(&pour);
    assert_close(1e3 * p.a.mass, 9.75, 0.005, 0);
    assert_close(1e3 * p.b.mass, 8.78, 0.005, 0);
    assert_close(p.a.volume / ML, 9.03, 0.005, 0);
    assert_close(p.b.volume / ML, 9.03, 0.005, 0);
    assert_close(1e3 * p.filler.mass, 2.47, 0.005, 0);
    assert_close(p.filler.volume / ML, 12.35, 0.005, 0);
    assert_close(p.filler_scoop / ML, 19.9, 0.05, 0);
    assert_close(100 * p.share_by_volume, 41.2, 0.05, 0);
    assert_close(100 * p.share_by_mass, 11.8, 0.05, 0);
    assert_close(100 * p.swap_weighed, -10.0, 0.05, 0);
    assert_close(100 * p.swap_measured, 11.1, 0.05, 0);
    assert_close(1e3 * p.filler_lift, 8.2, 0.05, 0);
    assert_close(1e3 * p.mass.value, 16.80, 0.005, 0);
    assert_close(p.density.give, 29, 0.5, 0);
}

static void cone_in_packed_granulate(void **state) {
    (void)state;
    const BlyEmbedded cone = {{0.0092, 0.0001}, {14 * ML, 0.3 * ML}};
    BlyPour pour = bly_pour_blank();
    pour.mould.volume = (BlyFigure){60 * ML, 0.5 * ML};
    pour.mould.pieces = &cone;
    pour.mould.piece_count = 1;
    pour.filler.density = (BlyFigure){320, 15};
    pour.filler.gap_water = (BlyFigure){0.0415, 0.0005};
    pour.filler.gap_vessel = (BlyFigure){100 * ML, 1 * ML};
    pour.filler.water_temperature = 18;
    pour.resin.by_weight = 3.5;
    pour.resin.by_volume = 3;
    pour.resin.a_density = (BlyFigure){1150, 15};
    pour.resin.shrinkage = (BlyFigure){0.03, 0.01};
    pour.bench.allowance_volume = 6 * ML;
    BlyPourPlan p = plan(&pour);
    assert_close(100 * p.share_by_volume, 58.4, 0.05, 0);
    assert_close(1e3 * p.filler.mass, 8.60, 0.005, 0);
    assert_close(1e3 * p.a.mass, 22.17, 0.005, 0);
    assert_close(1e3 * p.b.mass, 6.34, 0.005, 0);
    assert_close(p.a.volume / ML, 19.28, 0.005, 0);
    assert_close(p.b.volume / ML, 6.43, 0.005, 0);
    assert_close(p.liquid_density, 1108.9, 0.05, 0);
    assert_close(p.cured_density, 1143.2, 0.05, 0);
    assert_close(1e3 * p.left_over, 6.65, 0.005, 0);
    assert_close(p.sink_volume / ML, 0.59, 0.005, 0);
    assert_close(1e3 * p.filler_lift, 21.2, 0.05, 0);
    assert_close(1e3 * p.pieces_lift, 6.3, 0.05, 0);
    assert_close(1e3 * p.mass.value, 39.66, 0.005, 0);
    assert_close(p.density.value, 661, 0.5, 0);
    assert_close(p.density.give, 11, 0.5, 0);
    assert_close(100 * p.influence[BLY_POUR_FILLER_DENSITY], 40, 0.5, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bubbles_stirred_into_urethane),
        cmocka_unit_test(cone_in_packed_granulate),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
