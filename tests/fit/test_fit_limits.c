/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each limit of a build is kept by every rig that fit returns, and what cannot be asked is refused
 * with its place. The build is invented; what is checked are our own promises of docs/format.md. */
#include "support/raised.h"
#include "support/check.h"
#include "support/shipped.h"
#include "ballastry/fit.h"
#include "build/build.h"

enum { TEXT_MOST = 4000 };

static const char body[] =
    "{ \"ballastry\": 1, \"name\": \"limits\", \"water\": { \"temperature\": \"12 C\" },"
    "\"body\": { \"stations\": [ { \"x\": 0, \"diameter\": 0 }, { \"x\": 20, \"diameter\": 14 },"
    "{ \"x\": 55, \"diameter\": 13 }, { \"x\": 95, \"diameter\": 3 } ],"
    "\"material\": { \"density\": \"0.80 g/cm3\", \"give\": \"0.02 g/cm3\" } },"
    "\"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" },"
    "\"front\": { \"kind\": \"hanger\", \"x\": 30, \"side\": \"belly\", \"open\": [\"ring\", "
    "\"hook\"] },"
    "\"rear\": { \"kind\": \"hanger\", \"x\": 94, \"side\": \"tail\", \"open\": [\"ring\", "
    "\"hook\"] },"
    "\"keel\": { \"kind\": \"patch\", \"x\": [20, 50], \"side\": \"belly\", \"width\": 8 } },"
    "\"fitted\": { \"tie\": { \"eye\": \"screw-eye-1.0-10\" },"
    "\"front\": { \"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-2\", \"hook\": "
    "\"treble-8-medium\" },"
    "\"rear\": { \"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-2\", \"hook\": "
    "\"treble-8-medium\" } },"
    "\"target\": { \"state\": \"suspend\", \"drift\": [\"-40 mm/s\", \"40 mm/s\"],"
    "\"nose_down\": [\"-40 deg\", \"40 deg\"], \"roll_arm\": \"0.1 mm\" }";

static BlyBuild *read_build(const char *limits) {
    char text[TEXT_MOST];
    int n = snprintf(text, sizeof text, "%s, \"limits\": %s }", body, limits);
    assert_true(n > 0 && n < TEXT_MOST);
    BlyBuild *build;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    return build;
}

static BlyFitResult fit_with(const BlyBuild *build, BlyFitOptions options) {
    BlyFitResult result;
    BlyError err = {0};
    if (!bly_fit(build, &catalog, &options, &result, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_true(result.met);
    assert_true(result.count > 0);
    return result;
}

static const BlyChoice *at(const BlyBuild *build, const BlyFitRig *rig, const char *seat) {
    return &rig->rig.at[bly_build_seat(build, seat)];
}

static void same_hooks_are_the_same(void **state) {
    (void)state;
    BlyBuild *build = read_build("{ \"same_hooks\": true }");
    BlyFitResult result = fit_with(build, (BlyFitOptions){.rigs = 8});
    assert_true(result.count >= 2);
    for (size_t i = 0; i < result.count; i++) {
        const BlyPart *front = at(build, &result.rigs[i], "front")->of[BLY_PART_HOOK].part;
        assert_ptr_equal(front, at(build, &result.rigs[i], "rear")->of[BLY_PART_HOOK].part);
    }
    bly_fit_release(&result);
    bly_build_free(build);
}

static void lead_and_named_parts_stay_out(void **state) {
    (void)state;
    BlyBuild *build =
        read_build("{ \"lead_free\": true, \"never\": [\"tungsten-*\", \"treble-6-*\"] }");
    BlyFitResult result = fit_with(build, (BlyFitOptions){.rigs = 10});
    for (size_t i = 0; i < result.count; i++) {
        for (size_t s = 0; s < build->seat_count; s++) {
            for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
                const BlyPart *part = result.rigs[i].rig.at[s].of[kind].part;
                assert_false(part != NULL && part->lead);
                assert_false(part != NULL && strncmp(part->id, "tungsten-", 9) == 0);
                assert_false(part != NULL && strncmp(part->id, "treble-6-", 9) == 0);
            }
        }
    }
    bly_fit_release(&result);
    bly_build_free(build);
}

static void hook_sizes_and_only_are_kept(void **state) {
    (void)state;
    BlyBuild *build = read_build(
        "{ \"hook_size\": [\"8\", \"7\"], \"only\": [\"treble-*\", \"ring-2\", \"ring-3\"] }");
    BlyFitResult result = fit_with(build, (BlyFitOptions){.rigs = 10});
    for (size_t i = 0; i < result.count; i++) {
        const BlyChoice *front = at(build, &result.rigs[i], "front");
        const BlyPart *hook = front->of[BLY_PART_HOOK].part;
        const BlyPart *ring = front->of[BLY_PART_RING].part;
        assert_true(strcmp(hook->size, "8") == 0 || strcmp(hook->size, "7") == 0);
        assert_string_equal(hook->style, "treble");
        assert_true(strcmp(ring->id, "ring-2") == 0 || strcmp(ring->id, "ring-3") == 0);
    }
    bly_fit_release(&result);
    bly_build_free(build);
}

static void few_changes_are_few(void **state) {
    (void)state;
    BlyBuild *build = read_build("{ \"changes\": 1 }");
    BlyFitResult result = fit_with(build, (BlyFitOptions){.rigs = 5});
    for (size_t i = 0; i < result.count; i++)
        assert_true(result.rigs[i].changes <= 1);
    bly_fit_release(&result);
    bly_build_free(build);
}

static void the_price_is_kept(void **state) {
    (void)state;
    for (size_t i = 0; i < catalog.part_count; i++) { /* invented prices: a hook by its size */
        BlyPart *part = &catalog.parts[i];
        if (part->kind == BLY_PART_HOOK)
            part->price = 0.1 * part->size_rank;
        else if (part->kind == BLY_PART_RING)
            part->price = 0.05;
    }
    /* The surface metal has no price, so it cannot be shown to keep the limit and is left out. */
    BlyBuild *build = read_build("{ \"price\": 2.7 }");
    BlyFitResult result = fit_with(build, (BlyFitOptions){.rigs = 5});
    for (size_t i = 0; i < result.count; i++)
        assert_between(result.rigs[i].price, 0, 2.7 + 1e-9);
    bly_fit_release(&result);
    bly_build_free(build);
    for (size_t i = 0; i < catalog.part_count; i++)
        catalog.parts[i].price = NAN;
}

static void a_stop_flag_ends_it_honestly(void **state) {
    (void)state;
    atomic_bool stop = true;
    BlyBuild *build = read_build("{ \"lead_free\": true }");
    BlyFitOptions options = {.rigs = 5, .stop = raised, .stop_context = &stop};
    BlyFitResult result;
    BlyError err = {0};
    assert_true(bly_fit(build, &catalog, &options, &result, &err));
    assert_false(result.proven);
    bly_fit_release(&result);
    bly_build_free(build);
}

static void what_cannot_be_asked_is_refused(void **state) {
    (void)state;
    BlyBuild *build = read_build("{ \"never\": [\"treble-*\", \"single-*\"] }");
    BlyFitOptions options = {.rigs = 5};
    BlyFitResult result;
    BlyError err = {0};
    assert_false(bly_fit(build, &catalog, &options, &result, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_string_equal(err.where, "/seats/front");
    bly_fit_release(&result);
    options.rigs = BLY_FIT_RIGS_MAX + 1;
    assert_false(bly_fit(build, &catalog, &options, &result, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_fit_release(&result);
    bly_build_free(build);
}

static void a_finished_lure_keeps_its_eyes(void **state) {
    (void)state;
    BlyBuild *build = read_build("{ \"lead_free\": true }");
    BlyFitResult result;
    assert_true(bly_fit_finished(build, &catalog, &(BlyFitOptions){.rigs = 5}, &result, NULL));
    assert_true(result.count > 0);
    for (size_t i = 0; i < result.count; i++) {
        for (size_t s = 0; s < build->seat_count; s++)
            assert_ptr_equal(result.rigs[i].rig.at[s].of[BLY_PART_EYE].part,
                             build->fitted.at[s].of[BLY_PART_EYE].part);
    }
    bly_fit_release(&result);
    bly_build_free(build);
}

static BlyFitResult without_rig(const char *limits) {
    BlyBuild *build = read_build(limits);
    BlyFitResult result;
    assert_true(bly_fit(build, &catalog, &(BlyFitOptions){.rigs = 3}, &result, NULL));
    assert_int_equal(result.count, 0);
    assert_true(result.proven && !result.met && !result.stopped);
    bly_build_free(build);
    return result;
}

static void set_prices(double price) {
    for (size_t i = 0; i < catalog.part_count; i++)
        catalog.parts[i].price = price;
}

/* Where the limits leave nothing, it says which and why; what it says is true. */
static void limits_that_leave_nothing_are_named(void **state) {
    (void)state;
    char limits[64];
    double least = 0;
    BlyFitResult result = without_rig("{ \"price\": 5, \"never\": [\"treble-8-medium\"] }");
    assert_non_null(strstr(result.impossible, "go to front has a price"));
    bly_fit_release(&result);
    set_prices(1.0);
    result = without_rig("{ \"price\": 0.001, \"never\": [\"treble-8-medium\"] }");
    const char *said = strstr(result.impossible, "cheapest choice costs ");
    assert_non_null(said);
    assert_int_equal(sscanf(said, "cheapest choice costs %lf", &least), 1);
    bly_fit_release(&result);
    (void)snprintf(limits, sizeof limits, "{ \"price\": %.3f, \"never\": [\"treble-8-medium\"] }",
                   least + 0.006);
    BlyBuild *build = read_build(limits);
    assert_true(bly_fit(build, &catalog, &(BlyFitOptions){.rigs = 1}, &result, NULL));
    assert_int_equal(result.count, 1); /* so much is enough */
    bly_fit_release(&result);
    bly_build_free(build);
    set_prices(NAN);
    result = without_rig("{ \"changes\": 1, \"never\": [\"treble-8-medium\"] }");
    assert_non_null(strstr(result.impossible, "2 seats have to change, the limits allow 1"));
    bly_fit_release(&result);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_hooks_are_the_same),
        cmocka_unit_test(lead_and_named_parts_stay_out),
        cmocka_unit_test(hook_sizes_and_only_are_kept),
        cmocka_unit_test(few_changes_are_few),
        cmocka_unit_test(the_price_is_kept),
        cmocka_unit_test(a_stop_flag_ends_it_honestly),
        cmocka_unit_test(what_cannot_be_asked_is_refused),
        cmocka_unit_test(a_finished_lure_keeps_its_eyes),
        cmocka_unit_test(limits_that_leave_nothing_are_named),
    };
    return cmocka_run_group_tests(tests, load_without_practice, drop_shipped);
}
