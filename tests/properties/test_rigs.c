/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every rig that fit lists, written into its build, read back and laid to rest anew, does what fit
 * said of it, and meets the target in every water where fit said so. Builds are an example whose
 * body's mass and target are drawn by chance. */
#include "build/files.h"
#include "lure/kit.h"
#include "support/dice.h"
#include "support/shipped.h"
#include "ballastry/fit.h"
#include "build/build.h"

enum { RIGS = 5 };

typedef struct Score {
    size_t rigs, met;
} Score;

static BlyBuild *changed(const char *text, size_t size, Dice *dice) {
    BlyBuild *example = NULL, *build = NULL;
    must(bly_build_read(text, size, &catalog, &example, err));
    char density[64], drift[96], nose[96], *made = NULL;
    double low = dice_between(dice, -25, 4), tilt = dice_between(dice, -10, 10);
    (void)snprintf(density, sizeof density, "{ \"density\": \"%.4f g/cm3\", \"give\": \"2 %%\" }",
                   dice_between(dice, 0.35, 0.75));
    (void)snprintf(drift, sizeof drift, "[\"%.2f mm/s\", \"%.2f mm/s\"]", low,
                   low + dice_between(dice, 26, 50));
    (void)snprintf(nose, sizeof nose, "[\"%.2f deg\", \"%.2f deg\"]", tilt,
                   tilt + dice_between(dice, 8, 25));
    const BlyEdit edits[] = {
        {"/body/mass", NULL},    {"/body/material", density}, {"/target/state", "\"suspend\""},
        {"/target/shows", NULL}, {"/target/drift", drift},    {"/target/nose_down", nose},
    };
    must(bly_build_text_with_all(example, edits, sizeof edits / sizeof edits[0], &made, err));
    must(bly_build_read(made, strlen(made), &catalog, &build, err));
    free(made);
    bly_build_free(example);
    return build;
}

static void lay_to_rest(const BlyBuild *build, const BlyFitRig *rig) {
    BlyLure lure;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    bool met = true;
    assert_int_equal(rig->water_count, build->target_water_count);
    for (size_t w = 0; w < rig->water_count; w++) {
        const BlyWaterFacts *facts = &build->target_waters[w];
        const BlyOutcome *said = &rig->outcome[w];
        BlyWater water;
        BlyOutcome out;
        must(bly_water_at(facts->temperature.value, facts->salinity.value, &water, err));
        must(bly_rest(&lure, &water, &out, err));
        assert_close(out.sums.net_weight, said->sums.net_weight, 1e-9, 0);
        assert_close(out.drift, said->drift, 1e-6, 1e-4);
        assert_close(out.nose_down, said->nose_down, 1e-4, 0);
        met = met && bly_judge(&build->target, &out).met;
    }
    assert_int_equal(met, rig->met);
    bly_lure_release(&lure);
}

static void check_rigs(const BlyBuild *build, Score *score) {
    BlyFitOptions options = {.rigs = RIGS};
    BlyFitResult result;
    must(bly_fit(build, &catalog, &options, &result, err));
    for (size_t i = 0; i < result.count; i++) {
        char *text = NULL;
        BlyBuild *again = NULL;
        must(bly_build_text_with_rig(build, &result.rigs[i].rig, &text, err));
        must(bly_build_read(text, strlen(text), &catalog, &again, err));
        assert_int_equal(result.rigs[i].met, result.met); /* never a miss among those that meet */
        lay_to_rest(again, &result.rigs[i]);
        score->rigs++;
        score->met += result.rigs[i].met;
        bly_build_free(again);
        free(text);
    }
    bly_fit_release(&result);
}

static void every_rig_does_what_fit_said(void **state) {
    (void)state;
    Dice dice = {7};
    Score score = {0, 0};
    const int instances = repeats(60, 10);
    size_t size;
    char *text = file_bytes("examples/board-lip.json", &size);
    for (int i = 0; i < instances; i++) {
        BlyBuild *build = changed(text, size, &dice);
        check_rigs(build, &score);
        bly_build_free(build);
    }
    free(text);
    print_message("%zu rigs, %zu meet their targets\n", score.rigs, score.met);
    assert_true(score.met >= (size_t)instances && score.rigs - score.met >= (size_t)instances / 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_rig_does_what_fit_said)};
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
