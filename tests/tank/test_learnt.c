/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The corrected build as a file: it reads again, says what was learnt, and `rest` says of it what
 * the forecast said. */
#include "ballastry/spread.h"
#include "tank/tank_bench.h"
#include "build/files.h"
#include "desk/learnt.h"

static const BlyWaterFacts cool = {{18, 1}, {0, 0}};

static BlyOutcome rest_of(const BlyBuild *build) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome outcome;
    must(bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err));
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    must(bly_rest(&lure, &water, &outcome, err));
    bly_lure_release(&lure);
    return outcome;
}

static BlyFigure written(const BlyBuild *build, const BlyCorrection *c) {
    switch (c->kind) {
    case BLY_LEARN_MASS:
        return build->facts.mass;
    case BLY_LEARN_VOLUME:
        return build->facts.volume_share;
    case BLY_LEARN_BALANCE:
        return build->facts.balance;
    case BLY_LEARN_BALANCE_UP:
        return build->facts.balance_up;
    case BLY_LEARN_COAT:
        return build->coats[c->index].thickness;
    case BLY_LEARN_COAT_DENSITY:
        return build->coats[c->index].density;
    case BLY_LEARN_INSET_DENSITY:
        return build->facts.insets[c->index].density;
    case BLY_LEARN_INSET_MASS:
        return build->facts.insets[c->index].mass;
    case BLY_LEARN_SOAK:
        return build->facts.soak;
    case BLY_LEARN_EXPANSION:
        return build->facts.expansion;
    case BLY_LEARN_DRAG:
        return build->facts.drag_factor;
    case BLY_LEARN_MUNK:
        return build->facts.munk_factor;
    case BLY_LEARN_PIECE:
        return build->fitted.at[c->index].of[c->part].weighed;
    default:
        return (BlyFigure){NAN, NAN};
    }
}

/* Two rooms on one lure: what the tank forecasts, and what the spread of the written build says.
 * The spread has the water's temperature (1 C) and a leader besides, the forecast has not: taken
 * out. */
static void assert_same_spread(BlyBuild *again, const BlyForecast *after) {
    const BlyWaterFacts sharp = {{again->water.temperature.value, 0.0},
                                 {again->water.salinity.value, 0.0}};
    BlySpread *spread = calloc(1, sizeof *spread);
    assert_non_null(spread);
    for (size_t s = 0; s < again->seat_count; s++)
        again->seats[s].load.give = 0.0;
    must(bly_spread(again, &again->fitted, &sharp, 1, NULL, NULL, spread, err));
    const BlyRange *range = spread->water[0].range;
    double net = after->net_weight.high - after->net_weight.low;
    double nose = after->nose_down.high - after->nose_down.low;
    assert_close(range[BLY_Q_NET_WEIGHT].low, after->net_weight.low, 0.05 * net, 0);
    assert_close(range[BLY_Q_NET_WEIGHT].high, after->net_weight.high, 0.05 * net, 0);
    if (!spread->water[0].nominal.has_surface) {
        assert_close(range[BLY_Q_NOSE_DOWN].low, after->nose_down.low, 0.08 * nose, 0);
        assert_close(range[BLY_Q_NOSE_DOWN].high, after->nose_down.high, 0.08 * nose, 0);
    }
    free(spread);
}

static void there_and_back(const BlyCatalog *shelf, const char *text, const BlyReading *readings,
                           size_t count) {
    BlyBuild *build = bench_build(shelf, text), *again;
    BlyTankResult result;
    BlyForecast before, after;
    char *learnt = NULL;
    must(bly_tank_learn(build, readings, count, &cool, &result, err));
    must(bly_tank_forecast(build, &cool, &result, &before, &after, err));
    must(learnt_text(build, &result, NULL, &learnt, err));
    again = bench_build(shelf, learnt);
    size_t looked_at = 0;
    for (size_t i = 0; i < result.correction_count; i++) {
        const BlyCorrection *c = &result.corrections[i];
        BlyFigure figure = written(again, c);
        if (!learnt_worth(c) || isnan(figure.value))
            continue;
        assert_close(figure.value, c->after.value, 0.01 * c->after.give, 0);
        assert_close(figure.give, c->after.give, 0.01 * c->after.give, 0);
        looked_at++;
    }
    assert_true(looked_at > 3);
    assert_close(again->blank.body_mass, result.body_mass.value, 2e-6, 0);
    BlyOutcome outcome = rest_of(again);
    assert_close(outcome.sums.net_weight, after.outcome.sums.net_weight, 0.5e-6, 0);
    assert_close(outcome.drift, after.outcome.drift, 0.5e-3, 0);
    assert_close(outcome.nose_down, after.outcome.nose_down, 0.1 * M_PI / 180, 0);
    assert_same_spread(again, &after);
    bly_build_free(again);
    free(learnt);
    bly_tank_release(&result);
    bly_build_free(build);
}

static void test_by_density(void **state) {
    const BlyReading readings[] = {{BLY_READ_SCALE, {10.62e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_DRIFT, {95e-3, 5e-3}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_TILT, {0.3, 0.035}, BLY_STAGE_COMPLETE},
                                   {BLY_READ_BALANCE, {36e-3, 0.5e-3}, BLY_STAGE_COMPLETE}};
    there_and_back(*state, bench_coated, readings, 4);
}

/* One of everything: a lip, wire, soak, an expansion of its own, a leader, weighed pieces. */
static void test_everything(void **state) {
    size_t size;
    char *text = file_bytes("tests/build/good/everything.json", &size);
    BlyBuild *build = bench_build(*state, text);
    BlyTankResult none;
    must(bly_tank_learn(build, NULL, 0, &cool, &none, err));
    BlyReading readings[] = {{BLY_READ_SCALE, {0, 0.02e-3}, BLY_STAGE_COMPLETE},
                             {BLY_READ_IN_WATER, {0, 0.02e-3}, BLY_STAGE_COMPLETE},
                             {BLY_READ_SCALE, {0, 0.02e-3}, BLY_STAGE_EYED},
                             {BLY_READ_TILT_AFLOAT, {0, 0.05}, BLY_STAGE_COMPLETE}};
    bly_tank_release(&none);
    /* First what it says, then a little off. */
    BlyTankResult said;
    readings[0].value.value = 12e-3;
    readings[2].value.value = 9e-3;
    must(bly_tank_learn(build, readings, 4, &cool, &said, err));
    const double off[] = {0.15e-3, 0.1e-3, 0.1e-3, 0.05};
    for (size_t i = 0; i < 4; i++)
        readings[i].value.value = said.taught[i].before + off[i];
    bly_tank_release(&said);
    bly_build_free(build);
    there_and_back(*state, text, readings, 4);
    free(text);
}

/* A blank glued of pieces: what is learnt of core and pieces is kept, and how it hangs together. */
static void test_pieces(void **state) {
    size_t size;
    char *text = file_bytes("tests/build/good/pieces.json", &size);
    const BlyReading readings[] = {{BLY_READ_SCALE, {9.4e-3, 0.02e-3}, BLY_STAGE_BLANK},
                                   {BLY_READ_BALANCE, {37e-3, 0.5e-3}, BLY_STAGE_BLANK},
                                   {BLY_READ_IN_WATER, {-4.2e-3, 0.02e-3}, BLY_STAGE_COMPLETE}};
    there_and_back(*state, text, readings, 3);
    char *mass = strstr(text, "    \"mass\": \"11 g\",\n");
    assert_non_null(mass);
    memset(mass, ' ', strcspn(mass, "\n")); /* and of one whose core is known by density alone */
    there_and_back(*state, text, readings, 3);
    free(text);
}

/* One tank test after the other is as good as both at once: what the file keeps of the first is all
 * that the second needs (sums of squares add; the bends of the physics in between are small). */
static void test_one_after_the_other(void **state) {
    BlyReading readings[] = {{BLY_READ_SCALE, {10e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
                             {BLY_READ_IN_WATER, {0, 0.02e-3}, BLY_STAGE_COMPLETE},
                             {BLY_READ_BALANCE, {36e-3, 0.5e-3}, BLY_STAGE_COMPLETE},
                             {BLY_READ_DRIFT, {85e-3, 4e-3}, BLY_STAGE_COMPLETE}};
    const double off[] = {0.2e-3, 0.08e-3, 0.4e-3, 12e-3}; /* from what the build says */
    const BlyWaterFacts sharp = {{18, 0}, {0, 0}};         /* the tank's water is not kept */
    BlyBuild *build = bench_build(*state, bench_coated);
    BlyTankResult first, second, both;
    BlyForecast before, chained, at_once;
    char *text = NULL;
    must(bly_tank_learn(build, readings, 4, &sharp, &first, err));
    for (int i = 0; i < 4; i++)
        readings[i].value.value = first.taught[i].before + off[i];
    bly_tank_release(&first);
    must(bly_tank_learn(build, readings, 2, &sharp, &first, err));
    must(learnt_text(build, &first, NULL, &text, err));
    BlyBuild *between = bench_build(*state, text);
    must(bly_tank_learn(between, readings + 2, 2, &sharp, &second, err));
    must(bly_tank_forecast(between, &sharp, &second, &before, &chained, err));
    must(bly_tank_learn(build, readings, 4, &sharp, &both, err));
    must(bly_tank_forecast(build, &sharp, &both, &before, &at_once, err));
    double net = at_once.net_weight.high - at_once.net_weight.low;
    double drift = at_once.drift.high - at_once.drift.low;
    assert_close(chained.net_weight.low, at_once.net_weight.low, 0.05 * net, 0);
    assert_close(chained.net_weight.high, at_once.net_weight.high, 0.05 * net, 0);
    assert_close(chained.drift.low, at_once.drift.low, 0.05 * drift, 0);
    assert_close(chained.drift.high, at_once.drift.high, 0.05 * drift, 0);
    assert_close(second.body_mass.value, both.body_mass.value, 0.05 * both.body_mass.give, 0);
    assert_close(second.body_mass.give, both.body_mass.give, 0, 0.03);
    bly_tank_release(&first);
    bly_tank_release(&second);
    bly_tank_release(&both);
    bly_build_free(between);
    bly_build_free(build);
    free(text);
}

/* What was not learnt of stays in the very words of the file. */
static void test_untouched(void **state) {
    BlyBuild *build = bench_build(*state, bench_coated);
    const BlyReading reading = {BLY_READ_SCALE, {8.9e-3, 0.02e-3}, BLY_STAGE_BLANK};
    BlyTankResult result;
    char *text = NULL, *plain = NULL;
    must(bly_tank_learn(build, &reading, 1, &cool, &result, err));
    must(learnt_text(build, &result, NULL, &text, err));
    assert_non_null(strstr(text, "\"mass\": { \"value\": "));
    assert_null(strstr(text, "drag_factor"));
    assert_null(strstr(text, "\"part\""));
    assert_non_null(strstr(text, "\"thickness\": \"0.25 mm\""));
    bly_tank_release(&result);
    must(bly_tank_learn(build, NULL, 0, &cool, &result, err));
    free(text);
    must(learnt_text(build, &result, NULL, &text, err));
    must(bly_build_text_with_all(build, NULL, 0, &plain, err));
    assert_string_equal(text, plain);
    free(text);
    free(plain);
    bly_tank_release(&result);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_density), cmocka_unit_test(test_everything),
        cmocka_unit_test(test_pieces),     cmocka_unit_test(test_one_after_the_other),
        cmocka_unit_test(test_untouched),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
