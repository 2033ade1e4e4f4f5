/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A swap by shared draws: what both rigs have falls out of the change. Held against the law of
 * independent gives (they add as squares), against each side's own spread, and against plain
 * counting: what is mended less what is spoilt is what the chance gains. */
#include "spread/bench.h"

static BlySwapSpread swap_of(const Bench *bench, const BlyRig *after) {
    static const BlySpreadOptions many = {.samples = 40000};
    BlySwapSpread out;
    must(bly_spread_swap(bench->build, &bench->build->fitted, after, &many, &out, err));
    return out;
}

static void the_same_rig_changes_nothing(void **state) {
    (void)state;
    Bench bench;
    bench_open(&bench, "tests/spread/suspender.json");
    BlySwapSpread same = swap_of(&bench, &bench.build->fitted);
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        const BlySwapRange *r = &same.range[q];
        if (q == BLY_Q_SHOWS)
            continue;
        assert_true(r->before.low == r->after.low && r->before.high == r->after.high);
        assert_true(r->before.low < r->before.high);
        assert_true(r->change.low == 0.0 && r->change.high == 0.0 && r->more == 0.0);
    }
    assert_true(same.chance_before == same.chance_after);
    assert_true(same.mended == 0.0 && same.spoilt == 0.0);
    bench_close(&bench);
}

static const BlyPart *part(const Bench *bench, const char *id) {
    const BlyPart *found = bly_catalog_part(&bench->catalog, id);
    assert_non_null(found);
    return found;
}

static double swap_water(const Bench *bench) {
    BlyWater water;
    const BlyWaterFacts *facts = &bench->build->water;
    must(bly_water_at(facts->temperature.value, facts->salinity.value, &water, err));
    return water.density;
}

/* Another hook at one seat: the change of the net weight is that of the two hooks alone, each off
 * by its catalog's give and by 5 % from piece to piece, both as squares; in water steel keeps 1 -
 * water / steel of its weight. */
static void a_hook_for_a_hook(void **state) {
    (void)state;
    Bench bench;
    bench_open(&bench, "examples/sinker-swap.json");
    BlyRig after;
    must(bly_rig_copy(&after, &bench.build->fitted, err));
    const BlyPart *old = part(&bench, "treble-6-medium"), *fresh = part(&bench, "treble-6-stout");
    must(bly_build_swap(bench.build, &bench.catalog, &after, "belly", "hook", fresh->id, err));
    BlySwapSpread swap = swap_of(&bench, &after);
    const BlySwapRange *net = &swap.range[BLY_Q_NET_WEIGHT];
    double steel = fresh->mass.value / fresh->volume;
    double wet = 1.0 - swap_water(&bench) / steel;
    double sigma = wet *
                   hypot(hypot(old->mass.give, fresh->mass.give),
                         0.05 * hypot(old->mass.value, fresh->mass.value)) /
                   bench_give_sigma;
    assert_close(net->change.nominal, wet * (fresh->mass.value - old->mass.value), 1e-7, 1e-3);
    assert_close(net->change.sigma, sigma, 0, 0.02);
    assert_close(net->change.high - net->change.low, 2 * 1.6448536 * sigma, 0, 0.03);
    assert_true(net->more > 0.9 && swap.has_target);
    assert_close(swap.chance_after - swap.chance_before, swap.mended - swap.spoilt, 1e-9, 0);
    bly_rig_release(&after);
    bench_close(&bench);
}

/* Each side by itself is the spread of that rig. */
static void each_side_is_its_own_spread(void **state) {
    (void)state;
    static const BlySpreadOptions sampled = {.samples = 40000, .sample_all = true};
    Bench bench;
    bench_open(&bench, "examples/sinker-swap.json");
    BlyBuild *build = bench.build;
    BlyRig after;
    must(bly_rig_copy(&after, &build->fitted, err));
    must(bly_build_swap(build, &bench.catalog, &after, "belly", "hook", "treble-8-fine", err));
    BlySwapSpread swap = swap_of(&bench, &after);
    const BlyRig *rig[2] = {&build->fitted, &after};
    BlySpread *alone = malloc(sizeof *alone);
    assert_non_null(alone);
    for (int side = 0; side < 2; side++) {
        must(bly_spread(build, rig[side], &build->water, 1, NULL, &sampled, alone, err));
        for (int q = 0; q < BLY_Q_SHOWS; q++) {
            const BlyRange *a = &alone->water[0].range[q];
            const BlyRange *b = side == 0 ? &swap.range[q].before : &swap.range[q].after;
            assert_close(b->low, a->low, 0.05 * (a->high - a->low), 0);
            assert_close(b->high, a->high, 0.05 * (a->high - a->low), 0);
        }
        must(bly_spread(build, rig[side], build->target_waters, build->target_water_count,
                        &build->target, &sampled, alone, err));
        assert_true((side == 0 ? swap.chance_before : swap.chance_after) == alone->chance);
    }
    free(alone);
    bly_rig_release(&after);
    bench_close(&bench);
}

static void bad_options_are_refused(void **state) {
    (void)state;
    Bench bench;
    bench_open(&bench, "tests/spread/suspender.json");
    const BlySpreadOptions few = {.samples = 5};
    BlySwapSpread out;
    BlyError err = {0};
    const BlyRig *rig = &bench.build->fitted;
    assert_false(bly_spread_swap(bench.build, rig, rig, &few, &out, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bench_close(&bench);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_rig_changes_nothing),
        cmocka_unit_test(a_hook_for_a_hook),
        cmocka_unit_test(each_side_is_its_own_spread),
        cmocka_unit_test(bad_options_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
