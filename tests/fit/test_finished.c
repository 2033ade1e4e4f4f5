/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mending a finished lure. Against brute force: every single change that a finished lure allows is
 * worked through the full physics here, and fit must find a single change exactly when there is
 * one. Builds are invented, parts are those of the shelf in tests/build. */
#include "build/shelf.h"
#include "lure/kit.h"
#include "ballastry/fit.h"

#include <gsl/gsl_errno.h>

/* A lipped minnow with two hooks; holes are filled in by a test. */
static const char minnow[] =
    "{\"ballastry\": 1, \"name\": \"minnow\", \"water\": {\"temperature\": \"12 C\"},"
    "\"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 0, \"height\": 0},"
    "{\"x\": 36, \"width\": 13, \"height\": 17},"
    "{\"x\": 85, \"width\": 3, \"height\": 4}],"
    "\"material\": {\"density\": \"%.4f g/cm3\"}%s},"
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"x\": 2, \"side\": \"nose\"},"
    "\"belly\": {\"kind\": \"hanger\", \"x\": [22, 40], \"side\": \"belly\"},"
    "\"tail\": {\"kind\": \"hanger\", \"x\": 85, \"side\": \"tail\"},"
    "\"lip\": {\"kind\": \"slot\", \"x\": 7, \"side\": \"belly\", \"angle\": \"40 deg\","
    " \"depth\": 7},"
    "\"keel\": {\"kind\": \"patch\", \"x\": [30, 60], \"side\": \"belly\"}},"
    "\"fitted\": {\"tie\": {\"eye\": \"eye-small\"},"
    "\"belly\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-6\", \"x\": 26},"
    "\"tail\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-8\"},"
    "\"lip\": {\"sheet\": %s, \"outline\": \"outline-tongue\", \"length\": 20}%s},"
    "\"target\": {\"state\": \"suspend\", \"drift\": [\"-25 mm/s\", \"25 mm/s\"],"
    " \"nose_down\": [\"%d deg\", \"%d deg\"], \"roll_arm\": 0},"
    "\"limits\": {\"hook_size\": [\"8\", \"4\"]}}";

static BlyBuild *make(const BlyCatalog *shelf, double density, const char *coats, const char *sheet,
                      const char *keel, int low, int high) {
    char text[3000];
    BlyBuild *build = NULL;
    int n = snprintf(text, sizeof text, minnow, density, coats, sheet, keel, low, high);
    assert_true(n > 0 && n < (int)sizeof text);
    must(bly_build_read(text, (size_t)n, shelf, &build, err));
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
        met = met && bly_judge(&build->target, &outcome).met && !bly_lure_hooks_touch(&lure);
    }
    bly_lure_release(&lure);
    return met;
}

static const BlyPiece nothing = {NULL, {NAN, 0}};

/* Tries a choice at one seat; true when it fits and the lure then meets its target. */
static bool try_at(const BlyBuild *build, BlyRig *rig, size_t seat, const BlyChoice *choice) {
    BlyChoice old = rig->at[seat];
    if (!bly_choice_fits(&build->seats[seat], choice, NULL))
        return false;
    rig->at[seat] = *choice;
    bool met = meets(build, rig);
    rig->at[seat] = old;
    return met;
}

/* Every ring with every hook, with nothing or up to 12 turns of wire. */
static bool hanger_mends(const BlyBuild *build, const BlyCatalog *shelf, BlyRig *rig, size_t seat) {
    static const char *const rings[] = {"ring-2", "ring-6"};
    static const char *const hooks[] = {"hook-8", "hook-6", "hook-4"};
    for (int r = 0; r < 2; r++) {
        for (int h = 0; h < 3; h++) {
            for (int turns = 0; turns <= 12; turns++) {
                BlyChoice choice = rig->at[seat];
                choice.piece[BLY_PART_RING] =
                    (BlyPiece){bly_catalog_part(shelf, rings[r]), {NAN, 0}};
                choice.piece[BLY_PART_HOOK] =
                    (BlyPiece){bly_catalog_part(shelf, hooks[h]), {NAN, 0}};
                choice.count = turns;
                if (turns > 0)
                    choice.piece[BLY_PART_WIRE] =
                        (BlyPiece){bly_catalog_part(shelf, "wire-tin"), {NAN, 0}};
                if (try_at(build, rig, seat, &choice))
                    return true;
            }
        }
    }
    return false;
}

static bool tie_mends(const BlyBuild *build, const BlyCatalog *shelf, BlyRig *rig, size_t seat) {
    static const char *const rings[] = {"ring-2", "ring-6", NULL};
    for (int r = 0; r < 3; r++) {
        for (int snap = 0; snap < 2; snap++) {
            BlyChoice choice = rig->at[seat];
            choice.piece[BLY_PART_RING] =
                rings[r] ? (BlyPiece){bly_catalog_part(shelf, rings[r]), {NAN, 0}} : nothing;
            choice.piece[BLY_PART_SNAP] =
                snap ? (BlyPiece){bly_catalog_part(shelf, "snap-1"), {NAN, 0}} : nothing;
            if (try_at(build, rig, seat, &choice))
                return true;
        }
    }
    return false;
}

/* Cut back millimetre by millimetre, and filed by hundredths where it stands out. */
static bool lip_mends(const BlyBuild *build, BlyRig *rig, size_t seat) {
    const BlyPart *sheet = rig->at[seat].piece[BLY_PART_SHEET].part;
    for (double length = rig->at[seat].length; length > 11.5e-3; length -= 1e-3) {
        for (double filed = 0; filed <= sheet->thickness - sheet->thinnest + 1e-9; filed += 1e-5) {
            BlyChoice choice = rig->at[seat];
            choice.length = length;
            choice.filed = filed;
            if (try_at(build, rig, seat, &choice))
                return true;
        }
    }
    return false;
}

/* Up to eight dots every two millimetres, one or two layers of a strip millimetre by millimetre. */
static bool patch_mends(const BlyBuild *build, const BlyCatalog *shelf, BlyRig *rig, size_t seat) {
    const BlyPart *dot = bly_catalog_part(shelf, "dot-5");
    const BlyPart *strip = bly_catalog_part(shelf, "strip-brass");
    for (double x = 32.5e-3; x < 58e-3; x += 2e-3) {
        for (int n = 1; n <= 8; n++) {
            BlyChoice choice = bly_choice_empty(x);
            choice.piece[BLY_PART_DOT].part = dot;
            choice.count = n;
            if (try_at(build, rig, seat, &choice))
                return true;
        }
    }
    for (int layers = 1; layers <= 2; layers++) {
        for (double x = 30e-3; x < 56e-3; x += 1e-3) {
            for (double length = 4e-3; x + length < 59.5e-3; length += 1e-3) {
                BlyChoice choice = bly_choice_empty(x);
                choice.piece[BLY_PART_STRIP].part = strip;
                choice.length = length;
                choice.count = layers;
                if (try_at(build, rig, seat, &choice))
                    return true;
            }
        }
    }
    return false;
}

static bool one_change_mends(const BlyBuild *build, const BlyCatalog *shelf) {
    BlyRig rig;
    must(bly_rig_copy(&rig, &build->fitted, err));
    bool mends = tie_mends(build, shelf, &rig, 0) || hanger_mends(build, shelf, &rig, 1) ||
                 hanger_mends(build, shelf, &rig, 2) || lip_mends(build, &rig, 3) ||
                 patch_mends(build, shelf, &rig, 4);
    bly_rig_release(&rig);
    return mends;
}

/* What no finished lure lets one change has not changed. */
static void assert_possible(const BlyBuild *build, const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChoice *was = &build->fitted.at[s], *is = &rig->at[s];
        assert_ptr_equal(was->piece[BLY_PART_EYE].part, is->piece[BLY_PART_EYE].part);
        assert_ptr_equal(was->piece[BLY_PART_SHEET].part, is->piece[BLY_PART_SHEET].part);
        assert_ptr_equal(was->piece[BLY_PART_OUTLINE].part, is->piece[BLY_PART_OUTLINE].part);
        if (build->seats[s].kind != BLY_SEAT_PATCH)
            assert_close(is->x, was->x, 1e-12, 0);
        if (build->seats[s].kind == BLY_SEAT_SLOT) {
            assert_true(is->length <= was->length + 1e-9 && is->filed >= was->filed);
            assert_true(isnan(is->thickness) == isnan(was->thickness));
        }
        assert_true(bly_choice_fits(&build->seats[s], is, NULL));
    }
}

static int seats_changed(const BlyBuild *build, const BlyRig *rig) {
    int changed = 0;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChoice *a = &build->fitted.at[s], *b = &rig->at[s];
        bool same = a->count == b->count && fabs(a->length - b->length) < 1e-9 &&
                    fabs(a->filed - b->filed) < 1e-9;
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            same = same && a->piece[kind].part == b->piece[kind].part;
        changed += !same;
    }
    return changed;
}

static BlyFitResult mend(const BlyBuild *build, const BlyCatalog *shelf) {
    const BlyFitOptions options = {.rigs = 6};
    BlyFitResult result;
    must(bly_fit_finished(build, shelf, &options, &result, err));
    assert_true(result.finished);
    int last = 0;
    for (size_t i = 0; i < result.count; i++) {
        const BlyFitRig *rig = &result.rigs[i];
        assert_possible(build, &rig->rig);
        assert_int_equal(rig->changes, seats_changed(build, &rig->rig));
        assert_true(rig->met == result.met);
        if (!result.met)
            continue;
        assert_true(meets(build, &rig->rig));
        assert_true(rig->changes >= last); /* fewest first */
        last = rig->changes;
    }
    return result;
}

/* Net weight as fitted goes straight with the body's density: where it is nothing. */
static double neutral_density(const BlyCatalog *shelf) {
    double net[2];
    for (int i = 0; i < 2; i++) {
        BlyBuild *build = make(shelf, 0.6 + 0.1 * i, "", "\"sheet-brass-1.0\"", "", 0, 1);
        BlyLure lure;
        BlyWater water;
        BlySums sums;
        must(bly_water_at(12, 0, &water, err));
        must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
        bly_balance_sums(&lure, &water, &sums);
        net[i] = sums.net_weight;
        bly_lure_release(&lure);
        bly_build_free(build);
    }
    return 0.6 - 0.1 * net[0] / (net[1] - net[0]);
}

static void test_fewest_against_brute_force(void **state) {
    const BlyCatalog *shelf = *state;
    double neutral = neutral_density(shelf);
    const struct {
        double off;
        int low, high; /* degrees nose-down */
    } lures[] = {{0, -90, 90},    {-0.05, -90, 90}, {0.04, -90, 90}, {0.12, -90, 90},
                 {0.16, -90, 90}, {-0.02, 0, 25},   {0.1, 0, 25}};
    int count[3] = {0};
    for (size_t i = 0; i < sizeof lures / sizeof lures[0]; i++) {
        BlyBuild *build = make(shelf, neutral + lures[i].off, "", "\"sheet-brass-1.0\"", "",
                               lures[i].low, lures[i].high);
        BlyFitResult result = mend(build, shelf);
        int fewest = result.met ? result.rigs[0].changes : 99;
        count[fewest < 2 ? fewest : 2]++;
        assert_true(meets(build, &build->fitted) == (fewest == 0));
        if (fewest > 0)
            assert_true(one_change_mends(build, shelf) == (fewest == 1));
        bly_fit_release(&result);
        bly_build_free(build);
    }
    print_message("  mended by no change %d, by one %d, by more or not at all %d\n", count[0],
                  count[1], count[2]);
    assert_true(count[0] >= 1 && count[1] >= 2 && count[2] >= 2);
}

/* Too heavy a lip and nothing else that may change: filed, or cut back, and lighter by what was
 * taken off outside, whether the lip was weighed or not. */
static void test_lip_alone(void **state) {
    const BlyCatalog *shelf = *state;
    static const char *const sheets[] = {
        "\"sheet-brass-2.0\"", "{\"part\": \"sheet-brass-2.0\", \"mass\": 5.2, \"give\": 0.05}"};
    for (int i = 0; i < 2; i++) {
        BlyBuild *build = make(shelf, i ? 0.46 : 0.565, "", sheets[i], "", -90, 90);
        /* hook_size forbids what is fitted; it is on the lure all the same. */
        build->limits.hook_rank_low = build->limits.hook_rank_high = bly_hook_rank("1/0");
        BlyFitResult result = mend(build, shelf);
        bool lip_only = false;
        for (size_t k = 0; k < result.count; k++) {
            const BlyFitRig *rig = &result.rigs[k];
            const BlyChoice *lip = &rig->rig.at[3];
            if (rig->changes != 1 || seats_changed(build, &rig->rig) != 1 ||
                (lip->filed == 0 && lip->length == build->fitted.at[3].length))
                continue;
            lip_only = true;
            if (i == 1) /* the scale's figure goes along */
                assert_true(lip->piece[BLY_PART_SHEET].weighed.value < 5.2e-3);
        }
        assert_true(lip_only);
        bly_fit_release(&result);
        bly_build_free(build);
    }
}

/* Metal under the coat stays; more dots may be stuck on it. */
static void test_under_the_coat(void **state) {
    const BlyCatalog *shelf = *state;
    static const char coat[] =
        ", \"coats\": [{\"material\": \"epoxy\", \"thickness\": \"0.2 mm\"}]";
    static const char *const keels[] = {
        ", \"keel\": {\"strip\": \"strip-brass\", \"length\": 15, \"x\": 35}",
        ", \"keel\": {\"dot\": \"dot-5\", \"count\": 2, \"x\": 45}"};
    for (int i = 0; i < 2; i++) {
        BlyBuild *build = make(shelf, 0.70, coat, "\"sheet-brass-1.0\"", keels[i], -90, 90);
        BlyFitResult result = mend(build, shelf);
        for (size_t k = 0; k < result.count; k++) {
            const BlyChoice *keel = &result.rigs[k].rig.at[4];
            if (i == 0)
                assert_close(keel->length, 15e-3, 1e-12, 0);
            else
                assert_true(keel->piece[BLY_PART_DOT].part != NULL && keel->count >= 2);
        }
        bly_fit_release(&result);
        bly_build_free(build);
    }
}

static void test_limits(void **state) {
    const BlyCatalog *shelf = *state;
    BlyBuild *build = make(shelf, 0.70, "", "\"sheet-brass-1.0\"", "", 0, 25);
    build->limits.changes_most = 1;
    BlyFitResult result = mend(build, shelf);
    for (size_t k = 0; k < result.count; k++)
        assert_true(result.rigs[k].changes <= 1);
    bly_fit_release(&result);
    const BlyFitOptions too_many = {.rigs = BLY_FIT_RIGS_MAX + 1};
    BlyError err = {0};
    assert_false(bly_fit_finished(build, shelf, &too_many, &result, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    build->has_target = false;
    assert_false(bly_fit_finished(build, shelf, &(BlyFitOptions){0}, &result, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    bly_build_free(build);
}

static int stock(void **state) {
    static BlyCatalog shelf;
    (void)gsl_set_error_handler_off();
    shelf_fill(&shelf);
    *state = &shelf;
    return 0;
}

static int clear(void **state) {
    bly_catalog_release(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fewest_against_brute_force),
        cmocka_unit_test(test_lip_alone),
        cmocka_unit_test(test_under_the_coat),
        cmocka_unit_test(test_limits),
    };
    return cmocka_run_group_tests(tests, stock, clear);
}
