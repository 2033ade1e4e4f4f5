/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fit answers: a sample of the builds that newcomers make (tests/support/battery.c) gets rigs or
 * nearest misses within a set amount of search, whatever the machine; and a fit that is ended
 * before it began still has a nearest miss. The builds are invented; what is checked is that there
 * is an answer, and that it is true by `rest`. */
#include "support/raised.h"
#include "support/battery.h"
#include "support/check.h"
#include "support/shipped.h"
#include "ballastry/fit.h"
#include "build/build.h"

enum { EVERY = 17, NODES_MOST = 120000000 };

static void true_by_rest(const BlyBuild *build, const BlyFitRig *rig) {
    BlyLure lure;
    BlyOutcome out;
    BlyError err = {0};
    bool met = true;
    if (!bly_lure_make(&build->blank, build->seats, &rig->rig, &lure, &err))
        fail_msg("%s: %s", err.where, err.text);
    for (size_t w = 0; w < build->target_water_count; w++) {
        const BlyWaterFacts *facts = &build->target_waters[w];
        BlyWater water;
        assert_true(bly_water_at(facts->temperature.value, facts->salinity.value, &water, NULL));
        assert_true(bly_rest(&lure, &water, &out, NULL));
        met = met && bly_judge(&build->target, &out).met;
    }
    assert_int_equal(met, rig->met);
    assert_false(rig->met && bly_lure_hooks_touch(&lure));
    bly_lure_release(&lure);
}

static void newcomers_get_an_answer(void **state) {
    (void)state;
    for (size_t n = 0; n < battery_count; n += EVERY) {
        BatteryBuild made;
        BlyBuild *build = NULL;
        BlyFitResult result;
        BlyError err = {0};
        const BlyFitOptions options = {.rigs = 3};
        if (!battery_make(n, &catalog, &made, &err) ||
            !battery_read(&made, &catalog, &build, &err) ||
            !bly_fit(build, &catalog, &options, &result, &err))
            fail_msg("%s: %s: %s", made.name, err.where, err.text);
        if (result.count == 0 || result.stopped || result.nodes > NODES_MOST)
            fail_msg("%s: %zu rigs, stopped %d, %zu nodes", made.name, result.count,
                     (int)result.stopped, result.nodes);
        true_by_rest(build, &result.rigs[0]);
        bly_fit_release(&result);
        bly_build_free(build);
        battery_free(&made);
    }
}

static void ended_at_once_is_a_nearest_miss(void **state) {
    (void)state;
    static const size_t some[] = {0, 3, 70, 140};
    for (size_t i = 0; i < sizeof some / sizeof some[0]; i++) {
        BatteryBuild made;
        BlyBuild *build = NULL;
        BlyFitResult result;
        atomic_bool stop = true;
        const BlyFitOptions options = {.rigs = 3, .stop = raised, .stop_context = &stop};
        assert_true(battery_make(some[i], &catalog, &made, NULL));
        assert_true(battery_read(&made, &catalog, &build, NULL));
        assert_true(bly_fit(build, &catalog, &options, &result, NULL));
        assert_true(result.stopped && !result.proven && result.count == 1);
        true_by_rest(build, &result.rigs[0]);
        bly_fit_release(&result);
        bly_build_free(build);
        battery_free(&made);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(newcomers_get_an_answer),
        cmocka_unit_test(ended_at_once_is_a_nearest_miss),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
