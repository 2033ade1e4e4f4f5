/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two parts of resin: makers' printed ratios, conservation of mass and volume, and what happens
 * when the two ratios are taken for each other. */
#include "support/check.h"
#include "support/table.h"
#include "pour/bench.h"

static BlyPourPlan plan(const BlyPour *pour) {
    BlyPourPlan out = {0};
    BlyError err = {0};
    if (!bly_pour_plan(pour, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    return out;
}

/* A system printed with both ratios fixes the ratio of the densities: rows of ratios.csv. */
static void printed_ratios_imply_the_published_density_ratio(void **state) {
    (void)state;
    Table *rows = table_read("tests/pour/ratios.csv");
    assert_int_equal(table_rows(rows), 4);
    for (size_t r = 0; r < table_rows(rows); r++) {
        BlyPour pour = plain_pour(100);
        pour.resin.by_weight = table_number(rows, r, "by_weight");
        pour.resin.by_volume = table_number(rows, r, "by_volume");
        pour.resin.a_density = sure(NAN); /* follows from b and the ratios */
        BlyPourPlan p = plan(&pour);
        double tol = table_number(rows, r, "tolerance");
        assert_close((p.a.mass / p.a.volume) / (p.b.mass / p.b.volume),
                     table_number(rows, r, "density_ratio"), tol, 0);
        assert_close(p.a.mass / p.b.mass, pour.resin.by_weight, 0, 1e-12);
        assert_close(p.a.volume / p.b.volume, pour.resin.by_volume, 0, 1e-12);
    }
    table_free(rows);
}

/* The other way: one ratio and the two densities give the maker's other ratio. */
static void one_ratio_and_densities_give_the_other(void **state) {
    (void)state;
    Table *rows = table_read("tests/pour/ratios.csv");
    for (size_t r = 0; r < table_rows(rows); r++) {
        double w = table_number(rows, r, "by_weight"), v = table_number(rows, r, "by_volume");
        BlyPour pour = plain_pour(100);
        pour.resin.a_density = sure(960 * table_number(rows, r, "density_ratio"));
        pour.resin.b_density = sure(960);
        pour.resin.by_volume = v;
        assert_close(plan(&pour).by_weight, w, 0, 1e-5);
        pour.resin.by_volume = NAN;
        pour.resin.by_weight = w;
        assert_close(plan(&pour).by_volume, v, 0, 1e-5);
    }
    table_free(rows);
}

/* Weighing 3:1 where 3.5:1 by weight is meant: one seventh too little of A. The other way round a
 * sixth too much. By hand from the ratios alone. */
static void swapping_the_ratios_shows_as_mix_error(void **state) {
    (void)state;
    BlyPour pour = plain_pour(100);
    pour.resin.by_weight = 3.5;
    pour.resin.by_volume = 3;
    pour.resin.a_density = sure(NAN);
    BlyPourPlan p = plan(&pour);
    assert_close(p.swap_weighed, -1.0 / 7, 1e-12, 0);
    assert_close(p.swap_measured, 1.0 / 6, 1e-12, 0);
    assert_true(p.notes & BLY_POUR_SWAP);
    pour.resin.by_weight = 2; /* one figure for both: nothing to swap */
    pour.resin.by_volume = 2;
    p = plan(&pour);
    assert_close(p.swap_weighed, 0, 0, 0);
    assert_false(p.notes & BLY_POUR_SWAP);
}

/* Mass and volume of the parts are those of the liquid, which is that of the blank, cured. */
static void mass_and_volume_are_conserved(void **state) {
    (void)state;
    BlyPour pour = plain_pour(80);
    pour.resin.by_volume = 3;
    pour.resin.a_density = sure(1160);
    pour.resin.b_density = sure(980);
    pour.resin.shrinkage = sure(0.03);
    BlyPourPlan p = plan(&pour);
    double mass = p.a.mass + p.b.mass, volume = p.a.volume + p.b.volume;
    assert_close(p.liquid_density, (3 * 1160 + 980) / 4.0, 0, 1e-12); /* volumes 3 and 1 */
    assert_close(mass / volume, p.liquid_density, 0, 1e-12);
    assert_close(volume * (1 - 0.03), 80 * ML, 0, 1e-12); /* shrunk, it fills the mould */
    assert_close(volume - 80 * ML, p.sink_volume, 0, 1e-9);
    assert_close(mass, p.mass.value, 0, 1e-12);
    assert_close(p.a.mass, 1160 * p.a.volume, 0, 1e-12);
    assert_close(p.b.mass, 980 * p.b.volume, 0, 1e-12);
    /* The same resin told by its cured density. */
    BlyPour told = pour;
    told.resin.shrinkage = sure(NAN);
    told.resin.cured_density = sure(p.cured_density);
    BlyPourPlan q = plan(&told);
    assert_close(q.shrinkage, 0.03, 1e-12, 0);
    assert_close(q.a.mass, p.a.mass, 0, 1e-12);
    assert_close(q.b.volume, p.b.volume, 0, 1e-12);
}

/* With both ratios, the cured density and the shrinkage the parts' densities follow. */
static void densities_follow_from_ratios_and_cured_density(void **state) {
    (void)state;
    BlyPour pour = plain_pour(80);
    pour.resin = (BlyResin){BLY_RESIN_EPOXY, 3.5, 3, sure(NAN), sure(NAN), sure(1150), sure(0.04)};
    BlyPourPlan p = plan(&pour);
    assert_close(p.a.mass / p.a.volume / (p.b.mass / p.b.volume), 3.5 / 3, 0, 1e-12);
    assert_close((p.a.mass + p.b.mass) / (p.a.volume + p.b.volume), 1150 * 0.96, 0, 1e-12);
}

/* A ratio by weight and a cured density are enough for the scale, not for cups. */
static void weight_alone_gives_masses_and_no_volumes(void **state) {
    (void)state;
    BlyPour pour = plain_pour(80);
    pour.resin.by_volume = NAN;
    pour.resin.by_weight = 4;
    pour.resin.a_density = pour.resin.b_density = sure(NAN);
    pour.resin.cured_density = sure(1100);
    BlyPourPlan p = plan(&pour);
    assert_close(p.a.mass, 0.8 * 0.088, 0, 1e-12); /* 80 ml of 1.1 g/cm3, four fifths */
    assert_close(p.b.mass, 0.2 * 0.088, 0, 1e-12);
    assert_true(isnan(p.a.volume) && isnan(p.b.volume) && isnan(p.by_volume));
    assert_true(isnan(p.swap_weighed) && isnan(p.shrinkage));
    assert_true(p.notes & BLY_POUR_LIQUID_UNKNOWN);
    assert_false(p.notes & BLY_POUR_SWAP);
}

/* Rounded printed ratios: each is kept for what it is printed for, both sets weigh the same. */
static void rounded_ratios_are_kept_apart(void **state) {
    (void)state;
    BlyPour pour = plain_pour(100);
    pour.resin.by_weight = pour.resin.by_volume = 5;
    pour.resin.a_density = sure(1160);
    pour.resin.b_density = sure(1020); /* 14 % apart: 5.69:1 by weight, if 5:1 is by volume */
    BlyPourPlan p = plan(&pour);
    assert_true(p.notes & BLY_POUR_DISAGREE);
    assert_close(p.a.mass / p.b.mass, 5, 0, 1e-12);
    assert_close(p.a.volume / p.b.volume, 5, 0, 1e-12);
    assert_close(1160 * p.a.volume + 1020 * p.b.volume, p.a.mass + p.b.mass, 0, 1e-12);
}

/* Both parts read 0.1 g off in opposite ways shift a 20 + 5 g mix by about 0.1/20 + 0.1/5; the
 * squares give less than that and at least the larger one. */
static void the_scale_bounds_the_ratio(void **state) {
    (void)state;
    BlyPour pour = plain_pour(25 / 1.05);
    pour.resin.by_volume = 4;
    pour.bench.scale_give = 1e-4;
    BlyPourPlan p = plan(&pour);
    assert_close(p.a.mass, 0.020, 0, 1e-9);
    assert_between(p.scale_error, 0.1 / 5, 0.1 / 20 + 0.1 / 5);
    assert_false(p.notes & BLY_POUR_SCALE);
    pour.bench.scale_give = 1e-3; /* a kitchen scale */
    assert_true(plan(&pour).notes & BLY_POUR_SCALE);
    pour.bench.scale_give = 0;
    assert_true(isnan(plan(&pour).scale_error));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_ratios_imply_the_published_density_ratio),
        cmocka_unit_test(one_ratio_and_densities_give_the_other),
        cmocka_unit_test(swapping_the_ratios_shows_as_mix_error),
        cmocka_unit_test(mass_and_volume_are_conserved),
        cmocka_unit_test(densities_follow_from_ratios_and_cured_density),
        cmocka_unit_test(weight_alone_gives_masses_and_no_volumes),
        cmocka_unit_test(rounded_ratios_are_kept_apart),
        cmocka_unit_test(the_scale_bounds_the_ratio),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
