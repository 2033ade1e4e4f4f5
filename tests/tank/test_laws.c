/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must hold of learning whatever the lure: closed forms of the normal law, nothing from
 * nothing, no false readings believed. The lures are invented. */
#include "tank/tank_bench.h"

static const BlyWaterFacts cool = {{12, 1}, {0, 0}};

static const BlyCorrection *find(const BlyTankResult *result, BlyLearnKind kind) {
    for (size_t i = 0; i < result->correction_count; i++) {
        if (result->corrections[i].kind == kind)
            return &result->corrections[i];
    }
    fail_msg("no correction of kind %d", kind);
    return NULL;
}

static BlyTankResult learn(const BlyBuild *build, const BlyReading *readings, size_t count) {
    BlyTankResult result;
    must(bly_tank_learn(build, readings, count, &cool, &result, err));
    return result;
}

static void test_nothing_from_nothing(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    BlyTankResult none = learn(build, NULL, 0);
    assert_true(none.correction_count > 10);
    for (size_t i = 0; i < none.correction_count; i++) {
        const BlyCorrection *c = &none.corrections[i];
        assert_true(c->after.value == c->before.value);
        assert_close(c->after.give, c->before.give, 0, 1e-12);
        assert_close(c->learnt, 0, 1e-12, 0);
    }
    assert_true(none.chi_square == 0.0 && none.chance == 1.0 && !none.contradiction);
    BlyForecast before, after;
    must(bly_tank_forecast(build, &cool, &none, &before, &after, err));
    assert_true(before.outcome.drift == after.outcome.drift);
    assert_close(after.net_weight.low, before.net_weight.low, 1e-9, 0);
    assert_true(before.net_weight.low < before.outcome.sums.net_weight);
    bly_tank_release(&none);
    bly_build_free(build);
}

/* A blank whose volume is known: scale = density V. Normal prior, normal readings of known
 * variance: precisions add and means go by precision (closed form, any text on Bayesian inference;
 * from memory). */
static void test_conjugate_normal(void **state) {
    BlyBuild *build = bench_build(*state, bench_blank);
    build->facts.volume_share.give = 0;
    double volume = bly_body_solid(build->shape)->volume;
    double prior = 700, s0 = 0.06 * 700 / bench_sigma;
    for (size_t count = 1; count <= 3; count++) {
        const double grams[3] = {6.05, 6.01, 5.99}, give[3] = {0.02, 0.05, 0.1};
        BlyReading readings[3];
        double precision = 1 / (s0 * s0), mean = prior * precision;
        for (size_t i = 0; i < count; i++) {
            readings[i] =
                (BlyReading){BLY_READ_SCALE, {grams[i] * 1e-3, give[i] * 1e-3}, BLY_STAGE_BLANK};
            double s = give[i] * 1e-3 / volume / bench_sigma;
            precision += 1 / (s * s);
            mean += grams[i] * 1e-3 / volume / (s * s);
        }
        BlyTankResult result = learn(build, readings, count);
        const BlyCorrection *density = find(&result, BLY_LEARN_DENSITY);
        assert_close(density->after.value, mean / precision, 0, 1e-7);
        assert_close(density->after.give, bench_sigma / sqrt(precision), 0, 1e-6);
        assert_close(density->learnt, 1 - 1 / (precision * s0 * s0), 1e-9, 0);
        assert_close(result.body_mass.value, mean / precision * volume, 0, 1e-7);
        if (count == 1) {
            /* By itself it teaches all that was learnt, and its weight is the same share. */
            assert_close(result.taught[0].alone, density->learnt, 1e-9, 0);
            assert_close(result.taught[0].weight, density->learnt, 1e-9, 0);
            assert_int_equal(result.corrections[result.taught[0].correction].kind,
                             BLY_LEARN_DENSITY);
            double miss = (grams[0] * 1e-3 - prior * volume) /
                          hypot(give[0] * 1e-3 / bench_sigma, s0 * volume);
            assert_close(result.taught[0].contradiction, miss, 0, 1e-6);
            assert_close(result.chi_square, miss * miss, 0, 1e-6);
        }
        bly_tank_release(&result);
    }
    bly_build_free(build);
}

/* What `rest` says, read: nothing moves, and yet much is learnt. */
static void test_rest_read_back(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    BlyLure lure;
    BlyOutcome outcome;
    BlyWater water;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    must(bly_water_at(12, 0, &water, err));
    must(bly_rest(&lure, &water, &outcome, err));
    double nose = bly_body_box(build->blank.hull).low.x;
    const BlyReading readings[] = {
        {BLY_READ_SCALE, {outcome.sums.mass, 0.02e-3}, BLY_STAGE_COMPLETE},
        {BLY_READ_IN_WATER, {outcome.sums.net_weight, 0.02e-3}, BLY_STAGE_COMPLETE},
        {BLY_READ_DRIFT, {outcome.drift, 2e-3}, BLY_STAGE_COMPLETE},
        {BLY_READ_TILT, {outcome.nose_down, 0.03}, BLY_STAGE_COMPLETE},
        {BLY_READ_BALANCE, {outcome.sums.gravity.x - nose, 0.5e-3}, BLY_STAGE_COMPLETE}};
    BlyTankResult result = learn(build, readings, 5);
    BlyForecast before, after;
    must(bly_tank_forecast(build, &cool, &result, &before, &after, err));
    for (size_t i = 0; i < result.correction_count; i++) {
        const BlyCorrection *c = &result.corrections[i];
        assert_close(c->after.value, c->before.value, 1e-4 * c->before.give, 0);
        assert_true(c->after.give <= c->before.give * (1 + 1e-9));
    }
    assert_true(find(&result, BLY_LEARN_DENSITY)->learnt > 0.9);
    assert_true(find(&result, BLY_LEARN_DRAG)->learnt > 0.3);
    assert_close(result.chi_square, 0, 1e-6, 0);
    assert_close(after.outcome.drift, outcome.drift, 1e-6, 0);
    assert_close(after.outcome.nose_down, outcome.nose_down, 1e-5, 0);
    double wide = before.net_weight.high - before.net_weight.low;
    assert_true(after.net_weight.high - after.net_weight.low < 0.1 * wide);
    bly_tank_release(&result);
    bly_lure_release(&lure);
    bly_build_free(build);
}

/* One more reading never leaves more doubt. */
static void test_more_is_surer(void **state) {
    BlyBuild *build = bench_build(*state, bench_uncoated);
    const BlyReading readings[] = {{BLY_READ_DRIFT, {70e-3, 3e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_SCALE, {10.4e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_TILT, {0.2, 0.03}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_IN_WATER, {0.25e-3, 0.02e-3}, BLY_STAGE_COMPLETE}};
    double last[TRIAL_QUANTITIES];
    for (size_t count = 1; count <= 4; count++) {
        BlyTankResult result = learn(build, readings, count);
        for (size_t i = 0; i < result.correction_count; i++) {
            /* Slopes change a little as the middle moves: the balance point's by a twentieth. */
            if (count > 1)
                assert_true(result.corrections[i].after.give < 1.08 * last[i]);
            last[i] = result.corrections[i].after.give;
        }
        bly_tank_release(&result);
    }
    bly_build_free(build);
}

/* Of six readings one is wrong by so much that its own doubt and all the others' together cannot
 * explain it: it is named, nothing else is, and what it should have been is told. */
static void test_false_reading_is_named(void **state) {
    static const BlyReadingKind kinds[] = {BLY_READ_SCALE,   BLY_READ_SCALE, BLY_READ_IN_WATER,
                                           BLY_READ_BALANCE, BLY_READ_DRIFT, BLY_READ_TILT};
    static const BlyStage stages[] = {BLY_STAGE_BLANK,    BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE,
                                      BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE, BLY_STAGE_COMPLETE};
    static const double off[] = {0.9e-3, 1.1e-3, 0.5e-3, 6e-3, 0, 0.5};
    BlyBuild *build = bench_build(*state, bench_uncoated);
    BlyTankResult none = learn(build, NULL, 0);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 23);
    double values[TRIAL_QUANTITIES];
    for (size_t wrong = 0; wrong < 6; wrong++) {
        BlyReading readings[6];
        Truth truth;
        truth_draw(build, none.corrections, none.correction_count, rng, values);
        truth_make(&truth, build, &cool, none.corrections, values, none.correction_count);
        for (size_t i = 0; i < 6; i++)
            readings[i] = truth_reading(&truth, kinds[i], stages[i], 0.6, rng);
        double right = readings[wrong].value.value;
        readings[wrong].value.value += off[wrong];
        if (kinds[wrong] == BLY_READ_DRIFT) /* sank, and was written down as risen */
            readings[wrong].value.value = -right;
        BlyTankResult result = learn(build, readings, 6);
        assert_true(result.contradiction);
        for (size_t i = 0; i < 6; i++)
            assert_true(result.taught[i].contradicts == (i == wrong));
        assert_true(result.taught[wrong].contradiction * (readings[wrong].value.value - right) > 0);
        assert_true(fabs(result.taught[wrong].expected - right) <
                    0.5 * fabs(readings[wrong].value.value - right));
        assert_true(result.chance < 0.01);
        bly_tank_release(&result);
        truth_release(&truth);
    }
    gsl_rng_free(rng);
    bly_tank_release(&none);
    bly_build_free(build);
}

/* Two scales that cannot both be right, and nothing to tell which: both are accused. */
static void test_one_of_two(void **state) {
    BlyBuild *build = bench_build(*state, bench_blank);
    const BlyReading readings[] = {{BLY_READ_SCALE, {5.7e-3, 0.02e-3}, BLY_STAGE_BLANK},
                                   {BLY_READ_SCALE, {5.5e-3, 0.02e-3}, BLY_STAGE_BLANK}};
    BlyTankResult result = learn(build, readings, 2);
    assert_true(result.taught[0].contradicts && result.taught[1].contradicts);
    assert_close(result.taught[0].expected, 5.5e-3, 0.01e-3, 0);
    assert_close(result.taught[1].expected, 5.7e-3, 0.01e-3, 0);
    bly_tank_release(&result);
    bly_build_free(build);
}

/* Whatever is read, an answer comes of it. */
static void test_nonsense(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    const BlyReading readings[] = {{BLY_READ_SCALE, {1e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_IN_WATER, {40e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_DRIFT, {-1, 1e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_TILT, {3, 0.01}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_SHOWS, {0.9, 0.01}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_BALANCE, {0.3, 0.5e-3}, BLY_STAGE_COMPLETE}};
    const size_t step = (size_t)repeats(1, 2);
    for (size_t from = 0; from < 6; from += step) {
        for (size_t to = from + 1; to <= 6; to += from == 0 ? 5 : 2 * step) {
            BlyTankResult result;
            BlyError err = {0};
            if (bly_tank_learn(build, readings + from, to - from, &cool, &result, &err)) {
                assert_true(result.contradiction);
                assert_true(isfinite(result.chi_square));
            } else { /* the physics gave up: said, not crashed */
                assert_true(err.text[0] != '\0');
                assert_null(result.corrections);
            }
            bly_tank_release(&result);
        }
    }
    bly_build_free(build);
}

static void refuses(const BlyBuild *build, BlyReading reading, BlyCode code) {
    const BlyReading readings[] = {{BLY_READ_SCALE, {10e-3, 0.02e-3}, BLY_STAGE_COMPLETE}, reading};
    BlyTankResult result;
    BlyError err = {0};
    assert_false(bly_tank_learn(build, readings, 2, &cool, &result, &err));
    assert_int_equal(err.code, code);
    if (code == BLY_E_RANGE)
        assert_string_equal(err.where, "reading 2");
    assert_null(result.taught);
    assert_null(result.corrections);
}

static void test_refusals(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    const BlyStage done = BLY_STAGE_COMPLETE;
    refuses(build, (BlyReading){BLY_READ_SCALE, {-1e-3, 1e-5}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SCALE, {0, 1e-5}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SCALE, {NAN, 1e-5}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SCALE, {1e-2, 0}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SCALE, {1e-2, NAN}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SCALE, {1e-2, INFINITY}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_SHOWS, {1.2, 0.01}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_TILT, {4, 0.01}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_DRIFT, {11, 0.01}, done}, BLY_E_RANGE);
    refuses(build, (BlyReading){BLY_READ_KINDS, {1, 0.01}, done}, BLY_E_INTERNAL);
    refuses(build, (BlyReading){BLY_READ_SCALE, {1e-2, 1e-5}, BLY_STAGES}, BLY_E_INTERNAL);
    BlyReading many[BLY_READINGS_MAX + 1];
    for (size_t i = 0; i <= BLY_READINGS_MAX; i++)
        many[i] = (BlyReading){BLY_READ_SCALE, {1e-2, 1e-5}, done};
    BlyTankResult result;
    BlyError err = {0};
    assert_false(bly_tank_learn(build, many, BLY_READINGS_MAX + 1, &cool, &result, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_build_free(build);
}

/* A coat that is known for sure is a coat known to a nanometre: where there is nothing to correct,
 * nothing may move. */
static void test_coat_known_for_sure(void **state) {
    const BlyReading readings[] = {{BLY_READ_SCALE, {10.4e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_DRIFT, {70e-3, 3e-3}, BLY_STAGE_COMPLETE}};
    static const double gives[2] = {1e-9, 0.0};
    BlyFigure mass[2];
    BlyForecast before[2], after[2];
    for (int k = 0; k < 2; k++) {
        BlyBuild *build = bench_build(*state, bench_coated);
        assert_true(build->coat_count > 0);
        for (size_t i = 0; i < build->coat_count; i++)
            build->coats[i].thickness.give = gives[k];
        BlyTankResult result = learn(build, readings, 2);
        mass[k] = result.body_mass;
        must(bly_tank_forecast(build, &cool, &result, &before[k], &after[k], err));
        bly_tank_release(&result);
        bly_build_free(build);
    }
    assert_close(mass[1].value, mass[0].value, 0.01 * mass[0].give, 0);
    double width = after[0].net_weight.high - after[0].net_weight.low;
    assert_close(after[1].outcome.sums.net_weight, after[0].outcome.sums.net_weight, 0.01 * width,
                 0);
    assert_close(after[1].net_weight.low, after[0].net_weight.low, 0.02 * width, 0);
    assert_close(after[1].net_weight.high, after[0].net_weight.high, 0.02 * width, 0);
    width = before[0].net_weight.high - before[0].net_weight.low;
    assert_close(before[1].net_weight.low, before[0].net_weight.low, 0.02 * width, 0);
    assert_close(before[1].net_weight.high, before[0].net_weight.high, 0.02 * width, 0);
}

static void test_same_again(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    const BlyReading readings[] = {{BLY_READ_SCALE, {10.4e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_DRIFT, {70e-3, 3e-3}, BLY_STAGE_COMPLETE}};
    BlyTankResult a = learn(build, readings, 2), b = learn(build, readings, 2);
    assert_memory_equal(a.parameters, b.parameters,
                        a.parameter_count * (a.parameter_count + 1) * sizeof(double));
    bly_tank_release(&a);
    bly_tank_release(&b);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_from_nothing),
        cmocka_unit_test(test_conjugate_normal),
        cmocka_unit_test(test_rest_read_back),
        cmocka_unit_test(test_more_is_surer),
        cmocka_unit_test(test_false_reading_is_named),
        cmocka_unit_test(test_one_of_two),
        cmocka_unit_test(test_nonsense),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_coat_known_for_sure),
        cmocka_unit_test(test_same_again),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
