/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mending out of a maker's box: what a rig takes is counted here, piece by piece, and is never more
 * than there is; with plenty of the same parts some mend does take more, so that the counts bind.
 * Builds and boxes are invented. */
#include "build/build.h"
#include "support/check.h"
#include "lure/kit.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"

#include <gsl/gsl_errno.h>

static const char minnow[] =
    "{\"ballastry\": 1, \"name\": \"minnow\", \"water\": {\"temperature\": \"12 C\"},"
    "\"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 0, \"height\": 0},"
    "{\"x\": 36, \"width\": 13, \"height\": 17},"
    "{\"x\": 85, \"width\": 3, \"height\": 4}],"
    "\"material\": {\"density\": \"%.4f g/cm3\", \"give\": \"0.01 g/cm3\"}},"
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"x\": 2, \"side\": \"nose\"},"
    "\"belly\": {\"kind\": \"hanger\", \"x\": 26, \"side\": \"belly\"},"
    "\"tail\": {\"kind\": \"hanger\", \"x\": 85, \"side\": \"tail\"},"
    "\"keel\": {\"kind\": \"patch\", \"x\": [44, 60], \"side\": \"belly\"}},"
    "\"fitted\": {\"tie\": {\"eye\": \"screw-eye-1.0-10\"},"
    "\"belly\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-3\", \"hook\": "
    "\"treble-6-fine\"},"
    "\"tail\": {\"eye\": \"screw-eye-0.8-8\", \"ring\": \"ring-3\", \"hook\": \"treble-6-fine\"}},"
    "\"target\": {\"state\": \"suspend\", \"drift\": [\"-25 mm/s\", \"25 mm/s\"],"
    " \"nose_down\": [\"-90 deg\", \"90 deg\"], \"roll_arm\": 0},"
    "\"limits\": {\"box_only\": true}}";

static const char *const counted[] = {"treble-6-medium", "treble-5-fine", "ring-4",
                                      "tungsten-dot-6", "ring-3"};
enum { COUNTED = sizeof counted / sizeof counted[0] };

static int takes(const BlyBuild *build, const BlyRig *rig, const char *id) {
    int count = 0;
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *part = rig->at[s].of[kind].part;
            bool had = build->fitted.at[s].of[kind].part == part;
            if (part != NULL && strcmp(part->id, id) == 0 && !had)
                count += kind == BLY_PART_DOT ? rig->at[s].count : 1;
        }
    }
    return count;
}

/* The most that any rig takes of each counted part, the lure being of this density. */
static size_t mend(double density, int have, int most[COUNTED]) {
    char list[400] = "id;count\n", text[3000];
    BlyCatalog catalog = {0};
    BlyBuild *build = NULL;
    BlyFitResult result;
    must(bly_catalog_shipped(&catalog, err));
    for (int i = 0; i < COUNTED; i++) {
        size_t at = strlen(list);
        (void)snprintf(list + at, sizeof list - at, "%s;%d\n", counted[i], have);
    }
    must(bly_catalog_read_box(&catalog, list, strlen(list), err));
    int n = snprintf(text, sizeof text, minnow, density);
    must(bly_build_read(text, (size_t)n, &catalog, &build, err));
    must(bly_fit_finished(build, &catalog, &(BlyFitOptions){.rigs = 20}, &result, err));
    for (size_t r = 0; r < result.count; r++) {
        for (int i = 0; i < COUNTED; i++) {
            int one = takes(build, &result.rigs[r].rig, counted[i]);
            most[i] = one > most[i] ? one : most[i];
        }
    }
    size_t rigs = result.count;
    bly_fit_release(&result);
    bly_build_free(build);
    bly_catalog_release(&catalog);
    return rigs;
}

static void test_counts_are_kept(void **state) {
    (void)state;
    int plenty[COUNTED] = {0}, few[COUNTED] = {0}, bind = 0;
    size_t rigs = 0;
    for (int k = 0; k < 6; k++) {
        double density = 0.70 + 0.03 * k;
        (void)mend(density, 9, plenty);
        rigs += mend(density, 1, few);
    }
    assert_true(rigs > 0);
    for (int i = 0; i < COUNTED; i++) {
        assert_true(few[i] <= 1);
        bind += plenty[i] > 1;
    }
    assert_true(bind >= 2);
}

static int no_abort(void **state) {
    (void)state;
    (void)gsl_set_error_handler_off();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counts_are_kept),
    };
    return cmocka_run_group_tests(tests, no_abort, NULL);
}
