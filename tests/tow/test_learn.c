/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the water back. Lures whose lip, wire and centre of pressure are set here stand for true
 * ones; the law of least squares (a reading pulls towards itself, the prior's variance never grows;
 * without anything new nothing moves; a normal law holds 95 of 100 within its give) is what they
 * are held against. The lures are made by the model itself: that it holds of real ones is not shown
 * here. */
#include "ballastry/tow_learn.h"
#include "build/build.h"
#include "files/files.h"
#include "lure/kit.h"
#include "support/check.h"
#include "support/dice.h"
#include "support/shipped.h"

#include <math.h>

static BlyBuild *open_diver(void) {
    size_t size;
    BlyBuild *build;
    char *text;
    must(bly_file_read("tests/cli/on-the-line.json", 1 << 20, &text, &size, err));
    must(bly_build_read(text, size, &catalog, &build, err));
    free(text);
    return build;
}

static BlyTowRun run_with(const BlyBuild *build, const BlyTowModel *model, double speed) {
    BlyLure lure;
    BlyTow *tow;
    BlyVec3 tie;
    BlyTowRun run;
    BlyWater water;
    BlyTowLine line = bly_tow_line_usual();
    must(bly_water_at(12, 0, &water, err));
    must(bly_build_lure(build, NULL, &lure, err));
    must(bly_tow_tie(&lure, build->seats, build->seat_count, &build->fitted, &tie, err));
    must(bly_tow_make(&lure, tie, &water, &tow, err));
    must(bly_tow_run(tow, model, speed, &line, &run, err));
    bly_tow_free(tow);
    bly_lure_release(&lure);
    return run;
}

static BlyTowReading reading(BlyTowReadKind kind, double value, double give) {
    return (BlyTowReading){kind, {value, give}, 1, bly_tow_line_usual()};
}

static void what_the_model_says_teaches_nothing(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    BlyTowModel model = bly_tow_nominal();
    BlyTowRun run = run_with(build, &model, 1);
    const BlyTowReading readings[] = {reading(BLY_TOW_READ_DEPTH, run.line.depth, 0.2),
                                      reading(BLY_TOW_READ_PULL, run.line.tension, 0.03),
                                      reading(BLY_TOW_READ_NOSE, run.nose_down, 0.07)};
    BlyTowLesson lesson;
    must(bly_tow_learn(build, readings, 3, &lesson, err));
    assert_close(lesson.chi_square, 0, 1e-6, 0);
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        const BlyTowCorrection *c = &lesson.corrections[i];
        assert_close(c->after.value, c->before.value, 1e-4, 0);
        assert_true(c->after.give <= c->before.give);
        assert_false(c->beyond);
    }
    assert_true(lesson.corrections[0].learnt > 0.2);
    bly_build_free(build);
}

/* A lip that does 0.75 of the published force: depth and pull say so together. */
static void a_weak_lip_is_found(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    BlyTowModel model = bly_tow_nominal();
    model.by[BLY_TOW_LIP] = 0.75;
    BlyTowRun run = run_with(build, &model, 1);
    const BlyTowReading readings[] = {reading(BLY_TOW_READ_DEPTH, run.line.depth, 0.1),
                                      reading(BLY_TOW_READ_PULL, run.line.tension, 0.02)};
    BlyTowLesson lesson;
    must(bly_tow_learn(build, readings, 2, &lesson, err));
    const BlyTowCorrection *lip = &lesson.corrections[0];
    assert_int_equal(lip->factor, BLY_TOW_LIP);
    assert_true(lip->after.value < 0.95);
    assert_true(fabs(lip->after.value - 0.75) < lip->after.give);
    assert_false(lesson.contradiction);
    for (size_t i = 0; i < 2; i++) /* nearer to what was read than before */
        assert_true(fabs(lesson.after[i] - readings[i].value.value) <
                    fabs(lesson.before[i] - readings[i].value.value));
    bly_build_free(build);
}

static void what_cannot_be_contradicts(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    const BlyTowReading deep = reading(BLY_TOW_READ_DEPTH, 14, 1);
    BlyTowReading none = deep;
    BlyTowLesson lesson;
    BlyError error;
    must(bly_tow_learn(build, &deep, 1, &lesson, err));
    assert_true(lesson.contradiction);
    none.value.give = 0;
    assert_false(bly_tow_learn(build, &none, 1, &lesson, &error));
    assert_int_equal(error.code, BLY_E_RANGE);
    assert_string_equal(error.where, "reading 1");
    bly_build_free(build);
}

/* What was learnt is the model of the next draw: its middle, and a spread no wider. */
static void the_build_goes_on_with_it(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    BlyTowAsk ask = bly_tow_usual();
    BlyTowed before, after;
    must(bly_towed(build, &build->fitted, &ask, &before, err));
    build->tow_learnt = (BuildTowLearnt){
        .any = true, .by = {{0.75, 0.05}, {1, 0.1}, {0, 0.03}}, .r = {-0.3, 0.1, 0.05}};
    must(bly_towed(build, &build->fitted, &ask, &after, err));
    BlyTowModel model = bly_tow_model(build);
    assert_close(model.by[BLY_TOW_LIP], 0.75, 0, 0);
    assert_close(after.at[1].run.line.depth, run_with(build, &model, 1).line.depth, 1e-9, 0);
    assert_true(after.at[1].run.line.depth < before.at[1].run.line.depth);
    assert_true(after.at[1].depth.high - after.at[1].depth.low <
                before.at[1].depth.high - before.at[1].depth.low);
    bly_build_free(build);
}

/* True lures with factors drawn from the bounds, read with the gives' own errors: the given range
 * of the lip's factor holds most of them. Bounds are uniform, the law normal: 85 to 100 of 100. */
static void ranges_hold_true_lips(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    Dice dice = {20261130};
    int held = 0, lures = repeats(60, 20);
    for (int k = 0; k < lures; k++) {
        BlyTowModel model;
        for (int i = 0; i < BLY_TOW_FACTORS; i++) {
            double low, high;
            bly_tow_bounds((BlyTowFactor)i, &low, &high);
            model.by[i] = dice_between(&dice, low, high);
        }
        BlyTowRun run = run_with(build, &model, 1);
        BlyTowLesson lesson;
        const BlyTowReading readings[] = {
            reading(BLY_TOW_READ_DEPTH, fmax(run.line.depth, 0) * dice_between(&dice, 0.93, 1.07),
                    0.2),
            reading(BLY_TOW_READ_PULL, run.line.tension * dice_between(&dice, 0.93, 1.07), 0.03)};
        must(bly_tow_learn(build, readings, 2, &lesson, err));
        const BlyFigure *lip = &lesson.corrections[0].after;
        held += fabs(lip->value - model.by[BLY_TOW_LIP]) < lip->give;
    }
    print_message("%d of %d true lips within their range\n", held, lures);
    assert_true(held >= lures * 85 / 100);
    bly_build_free(build);
}

/* What a forecast calls possible, a lesson does not call a contradiction: each end of what is said,
 * read by itself (90 of 100 lie within; a contradiction is 3 in 1000). */
static void what_is_foretold_is_no_contradiction(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    BlyTowAsk ask = bly_tow_usual();
    BlyTowed towed;
    must(bly_towed(build, &build->fitted, &ask, &towed, err));
    const BlyTowAt *at = &towed.at[1];
    const struct {
        BlyTowReadKind kind;
        const BlyTowRange *range;
    } told[] = {{BLY_TOW_READ_DEPTH, &at->depth},
                {BLY_TOW_READ_PULL, &at->pull},
                {BLY_TOW_READ_NOSE, &at->nose_down},
                {BLY_TOW_READ_UNDER, &towed.draws_under}};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        /* A scale holds the line's upper end; the range is of the pull at the lure. */
        double at_rod =
            told[i].kind == BLY_TOW_READ_PULL ? at->run.line.tension / at->pull.nominal : 1;
        const double ends[2] = {at_rod * told[i].range->said_low,
                                at_rod * told[i].range->said_high};
        for (int k = 0; k < 2; k++) {
            BlyTowLesson lesson;
            const BlyTowReading one =
                reading(told[i].kind, ends[k], bly_tow_read_give(told[i].kind, ends[k]));
            must(bly_tow_learn(build, &one, 1, &lesson, err));
            assert_false(lesson.contradiction);
            assert_true(lesson.chance > 0.03);
        }
    }
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_model_says_teaches_nothing),
        cmocka_unit_test(a_weak_lip_is_found),
        cmocka_unit_test(what_cannot_be_contradicts),
        cmocka_unit_test(the_build_goes_on_with_it),
        cmocka_unit_test(ranges_hold_true_lips),
        cmocka_unit_test(what_is_foretold_is_no_contradiction),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
