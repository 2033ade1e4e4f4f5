/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Metal on both sides of the belly eye: a build with a patch ahead of the eye and one behind it, as
 * `new` writes them. That strips keep 2 mm off an eye is common practice, no source; the lures are
 * invented, and what the rigs do is told by `rest`. */
#include "ballastry/fit.h"
#include "build/build.h"
#include "desk/starters.h"
#include "support/check.h"
#include "support/shipped.h"

#include <stdio.h>

static const char jerk[] =
    "{ \"ballastry\": 1, \"name\": \"both sides\", \"water\": { \"temperature\": \"10 C\" },"
    "\"body\": { \"stations\": [ { \"x\": 0, \"diameter\": 4.5 },"
    "{ \"x\": 11.3, \"diameter\": 12.4 }, { \"x\": 33.9, \"diameter\": 17 },"
    "{ \"x\": 67.8, \"diameter\": 18.1 }, { \"x\": 96.1, \"diameter\": 15.8 },"
    "{ \"x\": 118.7, \"diameter\": 10.2 }, { \"x\": 130, \"diameter\": 4.5 } ],"
    "\"mass\": \"%.2f g\","
    "\"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": 0.25 } ] },"
    "\"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" },"
    "\"belly\": { \"kind\": \"hanger\", \"x\": 45, \"side\": \"belly\" },"
    "\"tail\": { \"kind\": \"hanger\", \"x\": 129, \"side\": \"tail\" }, %s },"
    "\"target\": { \"state\": \"suspend\", \"drift\": [-16, 16], \"nose_down\": [-10, 12] } }";

#define PATCH(name, from, to)                                                                      \
    "\"" name "\": { \"kind\": \"patch\", \"x\": [" #from ", " #to                                 \
    "], \"side\": \"belly\", \"width\": 9 }"

static void fit_it(double mass, const char *patches, BlyBuild **build, BlyFitResult *result) {
    char text[2048];
    BlyError err = {0};
    const BlyFitOptions options = {.rigs = 3};
    int n = snprintf(text, sizeof text, jerk, mass, patches);
    assert_between(n, 1, sizeof text - 1);
    if (!bly_build_read(text, strlen(text), &catalog, build, &err) ||
        !bly_fit(*build, &catalog, &options, result, &err))
        fail_msg("%s: %s", err.where, err.text);
}

static bool in_use(const BlyBuild *build, const BlyRig *rig, const char *name) {
    return !bly_choice_is_empty(&rig->at[bly_build_seat(build, name)]);
}

/* A strip that begins ahead of the eye ends 2 mm ahead of it, one behind it begins 2 mm behind. */
static void clear_of_eye(const BlyBuild *build, const BlyRig *rig) {
    double eye = build->seats[bly_build_seat(build, "belly")].x_from;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChoice *choice = &rig->at[s];
        if (choice->of[BLY_PART_STRIP].part == NULL)
            continue;
        bool ahead = choice->x < eye;
        assert_true(ahead ? choice->x + choice->length <= eye - 2e-3 + 1e-6
                          : choice->x >= eye + 2e-3 - 1e-6);
    }
}

static void suspends_by_rest(const BlyBuild *build, const BlyRig *rig) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome out;
    BlyError err = {0};
    if (!bly_lure_make(&build->blank, build->seats, rig, &lure, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_true(bly_water_at(10, 0, &water, NULL));
    assert_true(bly_rest(&lure, &water, &out, NULL));
    assert_between(1e3 * out.drift, -16, 16);
    assert_between(out.nose_down * 180 / 3.14159265358979, -10, 12);
    bly_lure_release(&lure);
}

/* Light blanks of one wood: across the eye no one strip makes up for them, on both sides two do. */
static void light_blanks_take_two(void **state) {
    static const double masses[] = {15.6, 16.3};
    (void)state;
    for (size_t i = 0; i < sizeof masses / sizeof masses[0]; i++) {
        BlyBuild *one = NULL, *two = NULL;
        BlyFitResult across, sides;
        fit_it(masses[i], PATCH("keel", 16, 100), &one, &across);
        assert_false(across.met);
        fit_it(masses[i], PATCH("chest", 16, 43) ", " PATCH("keel", 47, 100), &two, &sides);
        assert_true(sides.met && sides.count > 0);
        for (size_t r = 0; r < sides.count; r++) {
            const BlyRig *rig = &sides.rigs[r].rig;
            clear_of_eye(two, rig);
            if (sides.rigs[r].met)
                suspends_by_rest(two, rig);
        }
        assert_true(in_use(two, &sides.rigs[0].rig, "chest"));
        assert_true(in_use(two, &sides.rigs[0].rig, "keel"));
        bly_fit_release(&across);
        bly_fit_release(&sides);
        bly_build_free(one);
        bly_build_free(two);
    }
}

/* The plain minnow that `new` writes has a lip to pull its nose down: one strip will do. */
static void one_where_one_will_do(void **state) {
    char *text = NULL;
    BlyBuild *build = NULL;
    BlyFitResult result;
    BlyError err = {0};
    const BlyFitOptions options = {.rigs = 1};
    (void)state;
    if (!starter_text(starter_find("minnow"), "minnow", &text, &err) ||
        !bly_build_read(text, strlen(text), &catalog, &build, &err) ||
        !bly_fit(build, &catalog, &options, &result, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_true(result.met);
    const BlyRig *rig = &result.rigs[0].rig;
    clear_of_eye(build, rig);
    assert_int_equal(in_use(build, rig, "chest") + in_use(build, rig, "keel"), 1);
    bly_fit_release(&result);
    bly_build_free(build);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(light_blanks_take_two),
                                       cmocka_unit_test(one_where_one_will_do)};
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
