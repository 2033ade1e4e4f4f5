/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lure reads at each stage of the work, by sums made by hand: closed forms of volumes
 * (Archimedes), parts as the shelf has them. */
#include "tank/tank_bench.h"

static const BlyWaterFacts cold = {{10, 1}, {0, 0}};

/* A spheroid 80 x 16 x 16 mm of 0.9 g/cm3, 20 mm of leader at its tie; two hangers. */
static const char text[] =
    "{\"ballastry\": 1, \"name\": \"spheroid\", \"water\": {\"temperature\": \"10 C\"},"
    "\"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 0, \"height\": 0},"
    "{\"x\": 40, \"width\": 16, \"height\": 16},"
    "{\"x\": 80, \"width\": 0, \"height\": 0}],"
    "\"material\": {\"density\": \"0.9 g/cm3\"}, \"soak\": \"1 %\","
    "\"coats\": [{\"material\": \"epoxy\", \"thickness\": \"0.3 mm\"}]},"
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"x\": 2, \"side\": \"nose\","
    "\"leader\": {\"in_water\": \"0.2 g\"}},"
    "\"belly\": {\"kind\": \"hanger\", \"x\": 30, \"side\": \"belly\"},"
    "\"keel\": {\"kind\": \"patch\", \"x\": [40, 60], \"side\": \"belly\"}},"
    "\"fitted\": {\"tie\": {\"eye\": \"eye-small\"},"
    "\"belly\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-6\"},"
    "\"keel\": {\"dot\": \"dot-5\", \"count\": 2, \"x\": 50}}}";

typedef struct Sums {
    double scale, in_water;
} Sums;

static const double density = 900, coat_density = 1150;

static Sums by_hand(const BlyBuild *build, BlyStage stage, const BlyWater *water) {
    const BlyPart *eye = build->fitted.at[0].of[BLY_PART_EYE].part;
    const BlyPart *ring = build->fitted.at[1].of[BLY_PART_RING].part;
    const BlyPart *hook = build->fitted.at[1].of[BLY_PART_HOOK].part;
    const BlyPart *dot = build->fitted.at[2].of[BLY_PART_DOT].part;
    double bare = M_PI / 6 * 80e-3 * 16e-3 * 16e-3;
    double layer = bly_body_layer(build->shape, 0, 0.3e-3).volume;
    double mass = density * bare, volume = bare, soaked = 0.01 * mass;
    volume *= 1; /* the swelling is the shelf's: none is given */
    if (stage >= BLY_STAGE_CUT) {
        mass -= density * 2 * eye->shank_volume;
        volume -= stage == BLY_STAGE_CUT ? 2 * eye->shank_volume : 0;
    }
    if (stage >= BLY_STAGE_EYED) {
        mass += 2 * eye->mass.value;
        volume += 2 * eye->volume;
    }
    if (stage >= BLY_STAGE_COATED) {
        mass += coat_density * layer + 2 * dot->mass.value;
        volume += layer + 2 * dot->volume;
    }
    if (stage >= BLY_STAGE_COMPLETE) {
        mass += ring->mass.value + hook->mass.value;
        volume += ring->volume + hook->volume;
    }
    return (Sums){mass, mass + soaked - water->density * volume};
}

static void test_sums(void **state) {
    BlyBuild *build = bench_build(*state, text);
    BlyWater water;
    must(bly_water_at(10, 0, &water, err));
    assert_true(isnan(build->facts.expansion.value));
    for (int stage = 0; stage < BLY_STAGES; stage++) {
        const BlyReading readings[] = {{BLY_READ_SCALE, {10e-3, 1e-3}, (BlyStage)stage},
                                       {BLY_READ_IN_WATER, {0, 1e-3}, (BlyStage)stage}};
        BlyTankResult result;
        must(bly_tank_learn(build, readings, 2, &cold, &result, err));
        Sums want = by_hand(build, (BlyStage)stage, &water);
        assert_close(result.taught[0].before, want.scale, 1e-9, 2e-6);
        assert_close(result.taught[1].before, want.in_water, 3e-8, 0);
        bly_tank_release(&result);
    }
    bly_build_free(build);
}

/* Alike at both ends, with nothing on it, the blank balances in its middle, floats level and shows
 * 1 - density / water; finished, it balances as its items say. */
static void test_places(void **state) {
    BlyBuild *build = bench_build(*state, text);
    BlyWater water;
    must(bly_water_at(10, 0, &water, err));
    const BlyReading readings[] = {{BLY_READ_BALANCE, {40e-3, 1e-3}, BLY_STAGE_BLANK},
                                   {BLY_READ_SHOWS, {0.1, 0.1}, BLY_STAGE_BLANK},
                                   {BLY_READ_TILT_AFLOAT, {0, 0.1}, BLY_STAGE_BLANK},
                                   {BLY_READ_BALANCE, {40e-3, 1e-3}, BLY_STAGE_COMPLETE}};
    BlyTankResult result;
    must(bly_tank_learn(build, readings, 4, &cold, &result, err));
    assert_close(result.taught[0].before, 40e-3, 1e-7, 0);
    assert_close(result.taught[1].before, 1 - 1.01 * density / water.density, 1e-6, 0);
    assert_close(result.taught[2].before, 0, 1e-6, 0);
    BlyLure lure;
    double mass = 0, moment = 0;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    for (size_t i = 0; i < lure.count; i++) {
        const BlyItem *item = &lure.items[i];
        if (item->kind == BLY_ITEM_LOAD || item->kind == BLY_ITEM_SOAK)
            continue;
        mass += item->mass;
        moment += item->mass * item->at.x;
    }
    /* From the nose of the coat, which is 0.3 mm before the body's. */
    assert_close(result.taught[3].before, moment / mass + 0.3e-3, 1e-9, 0);
    bly_lure_release(&lure);
    bly_tank_release(&result);
    bly_build_free(build);
}

/* In the tank there is no leader, in the forecast there is. */
static void test_leader(void **state) {
    BlyBuild *build = bench_build(*state, text);
    const BlyReading reading = {BLY_READ_IN_WATER, {0, 1e-3}, BLY_STAGE_COMPLETE};
    BlyTankResult result;
    BlyForecast before, after;
    must(bly_tank_learn(build, &reading, 1, &cold, &result, err));
    must(bly_tank_forecast(build, &cold, &result, &before, &after, err));
    assert_close(before.outcome.sums.net_weight - result.taught[0].before, 0.1e-3, 1e-9, 0);
    bly_tank_release(&result);
    bly_build_free(build);
}

/* A tank of salt water lifts by the difference of the waters' densities. */
static void test_salt(void **state) {
    BlyBuild *build = bench_build(*state, text);
    const BlyWaterFacts salty = {{10, 1}, {0.03, 0.001}};
    const BlyReading reading = {BLY_READ_IN_WATER, {0, 1e-3}, BLY_STAGE_BLANK};
    BlyTankResult fresh, salt;
    BlyWater a, b;
    must(bly_tank_learn(build, &reading, 1, &cold, &fresh, err));
    must(bly_tank_learn(build, &reading, 1, &salty, &salt, err));
    must(bly_water_at(10, 0, &a, err));
    must(bly_water_at(10, 0.03, &b, err));
    double volume = M_PI / 6 * 80e-3 * 16e-3 * 16e-3;
    assert_close(fresh.taught[0].before - salt.taught[0].before, volume * (b.density - a.density),
                 0, 1e-5);
    assert_int_equal(salt.correction_count, fresh.correction_count + 1);
    bly_tank_release(&fresh);
    bly_tank_release(&salt);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sums),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_leader),
        cmocka_unit_test(test_salt),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
