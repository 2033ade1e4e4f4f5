/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a tank test to the smallest change, on examples/finished-minnow.json with the readings of
 * its note. The change is judged by `rest` of the very lure that the corrected file describes. */
#include "build/files.h"
#include "desk/learnt.h"
#include "lure/kit.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"

#include <gsl/gsl_errno.h>

static BlyBuild *read_text(const BlyCatalog *catalog, const char *text) {
    BlyBuild *build = NULL;
    must(bly_build_read(text, strlen(text), catalog, &build, err));
    return build;
}

static bool meets(const BlyBuild *build, const BlyRig *rig) {
    bool met = true;
    BlyLure lure;
    must(bly_lure_make(&build->blank, build->seats, rig, &lure, err));
    for (size_t w = 0; w < build->target_water_count; w++) {
        BlyWater water;
        BlyOutcome outcome;
        const BlyWaterFacts *facts = &build->target_waters[w];
        must(bly_water_at(facts->temperature.value, facts->salinity.value, &water, err));
        must(bly_rest(&lure, &water, &outcome, err));
        met = met && bly_judge(&build->target, &outcome).met;
    }
    bly_lure_release(&lure);
    return met;
}

/* As made it was right; the tank says it sinks; one hook mends it. */
static void test_one_swap_mends(void **state) {
    const BlyCatalog *catalog = *state;
    size_t size;
    char *text = file_bytes("examples/finished-minnow.json", &size), *learnt = NULL;
    BlyBuild *build = read_text(catalog, text);
    const BlyFitOptions options = {.rigs = 4};
    const BlyWaterFacts tank = {{15, 1}, {0, 0}};
    const BlyFigure depth = {0.6, 5e-3}, seconds = {10.4, 0.2};
    const BlyReading readings[] = {
        {BLY_READ_SCALE, {11.92e-3, 0.02e-3}, BLY_STAGE_COMPLETE},
        {BLY_READ_DRIFT, bly_reading_drift(depth, seconds, true), BLY_STAGE_COMPLETE},
        {BLY_READ_TILT, {9 * M_PI / 180, 2 * M_PI / 180}, BLY_STAGE_COMPLETE}};
    BlyFitResult made, mended;
    must(bly_fit_finished(build, catalog, &options, &made, err));
    assert_true(made.met && made.rigs[0].changes == 0);
    assert_true(meets(build, &build->fitted));

    BlyTankResult result;
    must(bly_tank_learn(build, readings, 3, &tank, &result, err));
    assert_false(result.contradiction);
    must(learnt_text(build, &result, NULL, &learnt, err));
    BlyBuild *corrected = read_text(catalog, learnt);
    assert_false(meets(corrected, &corrected->fitted));
    must(bly_fit_finished(corrected, catalog, &options, &mended, err));
    assert_true(mended.met);
    int last = 1; /* none would not do */
    for (size_t i = 0; i < mended.count; i++) {
        assert_true(mended.rigs[i].changes >= last);
        last = mended.rigs[i].changes;
        assert_true(meets(corrected, &mended.rigs[i].rig));
    }
    const BlyChoice *belly = &mended.rigs[0].rig.at[1];
    assert_int_equal(mended.rigs[0].changes, 1);
    assert_ptr_not_equal(belly->of[BLY_PART_HOOK].part,
                         corrected->fitted.at[1].of[BLY_PART_HOOK].part);
    bly_fit_release(&made);
    bly_fit_release(&mended);
    bly_tank_release(&result);
    bly_build_free(corrected);
    bly_build_free(build);
    free(learnt);
    free(text);
}

static int load(void **state) {
    static BlyCatalog catalog;
    (void)gsl_set_error_handler_off();
    must(bly_catalog_shipped(&catalog, err));
    *state = &catalog;
    return 0;
}

static int unload(void **state) {
    bly_catalog_release(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_swap_mends),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
