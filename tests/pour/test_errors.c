/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every number wrong in every way, and pours that cannot be: each refused at its place. */
#include "support/check.h"
#include "pour/bench.h"

static const BlyEmbedded cork = {{0.001, 0}, {5e-6, 0}};

/* A pour that uses every input that can stand together; which amount of filler is as asked. */
static BlyPour full(BlyFillerBy by) {
    BlyPour pour = packed_pour(60, 200, by == BLY_FILLER_PACKED ? 0.6 : NAN);
    if (by == BLY_FILLER_MASS)
        pour.filler.mass = sure(0.006);
    if (by == BLY_FILLER_TARGET)
        pour.filler.target = 700;
    if (by == BLY_FILLER_GAP_WATER) {
        pour.filler.gap_water = sure(0.040);
        pour.filler.gap_vessel = sure(100 * ML);
        pour.filler.water_temperature = 20;
    }
    pour.filler.poured = sure(0.6);
    pour.resin.by_weight = 1;
    pour.resin.shrinkage = sure(0.02);
    return pour;
}

static void refuse(const BlyPour *pour, BlyCode code, const char *where) {
    BlyError err = {0};
    BlyPourPlan plan = {.by_weight = -7};
    if (bly_pour_plan(pour, &plan, &err))
        fail_msg("accepted, wanted an error at %s", where);
    if (err.code != code || strcmp(err.where, where) != 0)
        fail_msg("got %s (%s) at %s, wanted %s at %s", bly_code_words(err.code), err.text,
                 err.where, bly_code_words(code), where);
    assert_close(plan.by_weight, -7, 0, 0); /* untouched */
    assert_false(bly_pour_plan(pour, &plan, NULL));
}

/* `spot` points into `pour`. NaN means "not known" where a figure may be left out. */
static void refuse_values(BlyPour *pour, double *spot, double too_much, BlyCode nan_code,
                          const char *where) {
    const double bad[] = {INFINITY, -INFINITY, -1e-3, too_much};
    double kept = *spot;
    for (int i = 0; i < 4; i++) {
        *spot = bad[i];
        refuse(pour, BLY_E_RANGE, where);
    }
    *spot = NAN;
    if (nan_code != BLY_OK)
        refuse(pour, nan_code, where);
    *spot = kept;
    BlyPourPlan plan = {0};
    assert_true(bly_pour_plan(pour, &plan, NULL));
}

static void refuse_figure(BlyPour *pour, BlyFigure *spot, double too_much, BlyCode nan_code,
                          const char *where) {
    refuse_values(pour, &spot->value, too_much, nan_code, where);
    const double bad[] = {NAN, INFINITY, -1e-9};
    for (int i = 0; i < 3; i++) {
        spot->give = bad[i];
        refuse(pour, BLY_E_RANGE, where);
    }
    spot->give = 0;
}

static void mould_and_pieces(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_PACKED);
    refuse_figure(&pour, &pour.mould.volume, 1.5, BLY_E_MISSING, "/mould/volume");
    pour.mould.volume.value = 0;
    refuse(&pour, BLY_E_RANGE, "/mould/volume");
    pour.mould.volume.value = 60 * ML;
    BlyEmbedded pieces[2] = {cork, cork};
    pour.mould.pieces = pieces;
    pour.mould.piece_count = 2;
    refuse_figure(&pour, &pieces[1].mass, 200, BLY_E_RANGE, "/mould/pieces/1/mass");
    refuse_figure(&pour, &pieces[0].volume, 2, BLY_E_RANGE, "/mould/pieces/0/volume");
    pieces[0].volume.value = 0;
    refuse(&pour, BLY_E_RANGE, "/mould/pieces/0/volume");
    pieces[0].volume.value = 55 * ML; /* 60 ml of pieces in 60 ml of mould */
    refuse(&pour, BLY_E_RANGE, "/mould/pieces");
    pour.mould.pieces_inside = true; /* measured around them: then there is room */
    BlyPourPlan plan = {0};
    assert_true(bly_pour_plan(&pour, &plan, NULL));
}

static void filler(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_PACKED);
    refuse_figure(&pour, &pour.filler.density, 3e4, BLY_E_MISSING, "/filler/density");
    pour.filler.density.value = 0.2; /* g/cm3 taken for kg/m3 */
    refuse(&pour, BLY_E_RANGE, "/filler/density");
    pour.filler.density.value = 200;
    refuse_figure(&pour, &pour.filler.packed, 1, BLY_OK, "/filler/packed");
    refuse_figure(&pour, &pour.filler.poured, 1.01, BLY_OK, "/filler/poured");
    pour.filler.poured.value = 0;
    refuse(&pour, BLY_E_RANGE, "/filler/poured");

    pour = full(BLY_FILLER_GAP_WATER);
    refuse_figure(&pour, &pour.filler.gap_water, 0.101, BLY_OK, "/filler/gap_water");
    refuse_figure(&pour, &pour.filler.gap_vessel, 2, BLY_OK, "/filler/gap_vessel");
    refuse_values(&pour, &pour.filler.water_temperature, 41, BLY_OK, "/filler/water_temperature");
    pour.filler.stirred = true;
    refuse(&pour, BLY_E_CONFLICT, "/filler/gap_water");

    pour = full(BLY_FILLER_MASS);
    refuse_figure(&pour, &pour.filler.mass, 0.012, BLY_OK, "/filler/mass"); /* 60 ml of it */
    pour.filler.packed = sure(0.5);
    refuse(&pour, BLY_E_CONFLICT, "/filler");
}

/* Resin 1.05/0.98 = 1.0714 cured: what it and filler of 0.2 can make lies between. */
static void targets(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_TARGET);
    refuse_values(&pour, &pour.filler.target, 1100, BLY_OK, "/filler/target");
    pour.filler.target = 190;
    refuse(&pour, BLY_E_RANGE, "/filler/target");
    pour.filler.target = 900;
    pour.filler.density.value = 1200; /* no lighter than the resin */
    refuse(&pour, BLY_E_RANGE, "/filler/density");
    pour.filler.target = 1100; /* but heavier is what it can do */
    BlyPourPlan plan = {0};
    assert_true(bly_pour_plan(&pour, &plan, NULL));
    assert_close(plan.density.value, 1100, 0, 1e-12);
    BlyEmbedded sinker = {{0.060, 0}, {6 * ML, 0}}; /* 60 g in a 60 ml blank */
    pour = full(BLY_FILLER_TARGET);
    pour.mould.pieces = &sinker;
    pour.mould.piece_count = 1;
    refuse(&pour, BLY_E_RANGE, "/filler/target");
}

static void resin(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_PACKED);
    refuse_values(&pour, &pour.resin.by_weight, 101, BLY_OK, "/resin/by_weight");
    refuse_values(&pour, &pour.resin.by_volume, 101, BLY_OK, "/resin/by_volume");
    pour.resin.by_weight = 0;
    refuse(&pour, BLY_E_RANGE, "/resin/by_weight");
    pour.resin.by_weight = pour.resin.by_volume = NAN;
    refuse(&pour, BLY_E_MISSING, "/resin/by_weight");
    pour.resin.by_volume = 1;
    refuse_figure(&pour, &pour.resin.a_density, 5001, BLY_E_MISSING, "/resin/a_density");
    refuse_figure(&pour, &pour.resin.b_density, 5001, BLY_E_MISSING, "/resin/b_density");
    refuse_figure(&pour, &pour.resin.shrinkage, 0.21, BLY_OK, "/resin/shrinkage");
    pour.resin.cured_density = sure(1070);
    refuse(&pour, BLY_E_CONFLICT, "/resin/shrinkage"); /* said twice */
    pour.resin.shrinkage = sure(NAN);
    refuse_figure(&pour, &pour.resin.cured_density, 5001, BLY_OK, "/resin/cured_density");
    pour.resin.cured_density = sure(1600); /* from a liquid of 1.05: a third smaller */
    refuse(&pour, BLY_E_CONFLICT, "/resin/cured_density");
    pour.resin.cured_density = sure(900); /* a sixth larger */
    refuse(&pour, BLY_E_CONFLICT, "/resin/cured_density");
}

static void resin_that_contradicts_itself(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_PACKED);
    pour.resin.by_weight = 1.4; /* and 1:1 by volume with equal densities */
    refuse(&pour, BLY_E_CONFLICT, "/resin/by_volume");
    pour.resin = (BlyResin){BLY_RESIN_OTHER, 2, NAN, sure(1100), sure(NAN), sure(NAN), sure(NAN)};
    refuse(&pour, BLY_E_MISSING, "/resin/cured_density"); /* one density does not tell it */
}

static void bench(void **state) {
    (void)state;
    BlyPour pour = full(BLY_FILLER_PACKED);
    refuse_values(&pour, &pour.bench.allowance_share, 11, BLY_E_RANGE, "/bench/allowance_share");
    refuse_values(&pour, &pour.bench.allowance_volume, 2, BLY_E_RANGE, "/bench/allowance_volume");
    refuse_values(&pour, &pour.bench.scale_give, 2, BLY_E_RANGE, "/bench/scale_give");
    pour.bench.allowance_share = 0.1;
    pour.bench.allowance_volume = 5 * ML;
    refuse(&pour, BLY_E_CONFLICT, "/bench/allowance_volume");
}

static void nothing_known_is_missing_not_zero(void **state) {
    (void)state;
    BlyPour pour = bly_pour_blank();
    refuse(&pour, BLY_E_MISSING, "/mould/volume");
    pour.mould.volume = sure(60 * ML);
    refuse(&pour, BLY_E_MISSING, "/resin/by_weight");
    const double bad[] = {NAN, INFINITY, 0, -1};
    double v = -7;
    BlyError err = {0};
    for (int i = 0; i < 4; i++) {
        assert_false(bly_pour_water_volume(bad[i], 20, &v, &err));
        assert_string_equal(err.where, "/mass");
    }
    assert_false(bly_pour_water_volume(0.1, NAN, &v, &err));
    assert_string_equal(err.where, "/temperature");
    assert_false(bly_pour_water_volume(0.1, 41, &v, &err));
    assert_close(v, -7, 0, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mould_and_pieces),
        cmocka_unit_test(filler),
        cmocka_unit_test(targets),
        cmocka_unit_test(resin),
        cmocka_unit_test(resin_that_contradicts_itself),
        cmocka_unit_test(bench),
        cmocka_unit_test(nothing_known_is_missing_not_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
