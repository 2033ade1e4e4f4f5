/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure from blank to water: at each stage the scale is read, the build is written with what it
 * taught and read again, and the next reading goes on from there. True lures are drawn from the
 * first build's tolerances and put together by the rooms that make and rest a lure, readings from
 * the scale's (GSL's generators, fixed seed; the lures are invented). After each stage the true net
 * weight must lie in the 90 % range of 86 to 94 of 100 lures (of 200: 1.9 standard deviations of a
 * count), and the range must be narrower than before. */
#include "tank/tank_bench.h"
#include "desk/learnt.h"

enum { STEPS = 4 };
static const BlyStage order[STEPS] = {BLY_STAGE_BLANK, BLY_STAGE_EYED, BLY_STAGE_COATED,
                                      BLY_STAGE_COMPLETE};

typedef struct Held {
    int within[STEPS + 1], refused;
    double width[STEPS + 1];
} Held;

/* What an exact scale reads: all that is on by then, by the definition of the stages. */
static double scale_reads(const Truth *truth, BlyStage stage) {
    double sum = 0;
    for (size_t i = 0; i < truth->lure.count; i++) {
        if (bly_item_stage(&truth->lure.items[i]) <= stage)
            sum += truth->lure.items[i].mass;
    }
    return sum;
}

static void look(Held *held, int step, const BlyForecast *f, double net) {
    held->within[step] += cover_band(net, f->net_weight);
    held->width[step] += f->net_weight.high - f->net_weight.low;
}

static void one_lure(const BlyCatalog *shelf, const char *text, const BlyTankResult *prior,
                     gsl_rng *rng, Held *held) {
    double values[TRIAL_QUANTITIES];
    Truth truth;
    BlySums sums;
    BlyWater water;
    BlyBuild *build = bench_build(shelf, text);
    const BlyWaterFacts tank = build->water;
    truth_draw(build, prior->corrections, prior->correction_count, rng, values);
    truth_make(&truth, build, &tank, prior->corrections, values, prior->correction_count);
    must(bly_water_at(tank.temperature.value, tank.salinity.value, &water, err));
    bly_balance_sums(&truth.lure, &water, &sums);
    for (int step = 0; step < STEPS; step++) {
        const double give = bly_reading_give(BLY_READ_SCALE);
        double read = scale_reads(&truth, order[step]) + gsl_ran_gaussian(rng, give / bench_sigma);
        const BlyReading reading = {BLY_READ_SCALE, {read, give}, order[step]};
        const LearntNotes notes = {&reading, 1, &tank, "2031-04-30"};
        BlyTankResult result;
        BlyForecast before, after;
        char *learnt = NULL;
        must(bly_tank_learn(build, &reading, 1, &tank, &result, err));
        must(bly_tank_forecast(build, &tank, &result, &before, &after, err));
        held->refused += result.contradiction;
        if (step == 0)
            look(held, 0, &before, sums.net_weight);
        look(held, step + 1, &after, sums.net_weight);
        must(learnt_text(build, &result, &notes, &learnt, err));
        bly_tank_release(&result);
        bly_build_free(build);
        build = bench_build(shelf, learnt);
        free(learnt);
        assert_int_equal(build->reading_count, step + 1);
        assert_int_equal(build_last_scale(build)->stage, order[step]);
    }
    bly_build_free(build);
    truth_release(&truth);
}

static void walk(const BlyCatalog *shelf, const char *text, unsigned long seed) {
    const int lures = repeats(200, 30);
    BlyBuild *build = bench_build(shelf, text);
    BlyTankResult prior;
    Held held = {{0}, 0, {0}};
    must(bly_tank_learn(build, NULL, 0, &build->water, &prior, err));
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, seed);
    for (int i = 0; i < lures; i++)
        one_lure(shelf, text, &prior, rng, &held);
    for (int step = 0; step <= STEPS; step++) {
        double share = (double)held.within[step] / lures;
        print_message("  after %-9s range %4.0f mg wide, holds %.1f of 100\n",
                      step == 0 ? "nothing" : bly_stage_words[order[step - 1]],
                      1e6 * held.width[step] / lures, 100 * share);
        /* A small sample: 3 standard deviations of a count. */
        double spare = lures >= 200 ? 0.04 : 3 * sqrt(0.09 / lures);
        assert_true(fabs(share - 0.9) <= spare + 1e-9);
        assert_true(step == 0 || held.width[step] < held.width[step - 1]);
    }
    assert_true(held.refused <= 0.02 * STEPS * lures);
    gsl_rng_free(rng);
    bly_tank_release(&prior);
    bly_build_free(build);
}

static void test_coated(void **state) {
    walk(*state, bench_coated, 3);
}

static void test_uncoated(void **state) {
    walk(*state, bench_uncoated, 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_coated),
                                       cmocka_unit_test(test_uncoated)};
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
