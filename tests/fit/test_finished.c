/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mending a finished lure. Against brute force: every single change that a finished lure allows is
 * worked through the full physics here, and fit must find a single change exactly when there is
 * one. Builds are invented, parts are those of the shelf in tests/build. */
#include "build/shelf.h"
#include "lure/kit.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "build/build.h"
#include "report/report.h"

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
    "\"keel\": {\"kind\": \"patch\", \"x\": [30, 60], \"side\": \"belly\"%s}},"
    "\"fitted\": {\"tie\": {\"eye\": \"eye-small\"},"
    "\"belly\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-6\", \"x\": 26},"
    "\"tail\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-8\"},"
    "\"lip\": {\"sheet\": %s, \"outline\": \"outline-tongue\", \"length\": 20}%s},"
    "\"target\": {\"state\": \"suspend\", \"drift\": [\"-25 mm/s\", \"25 mm/s\"],"
    " \"nose_down\": [\"%d deg\", \"%d deg\"], \"roll_arm\": 0},"
    "\"limits\": {\"hook_size\": [\"8\", \"4\"]}}";

/* `open`: what the keel's seat says is open, as text behind its other keys. */
static const char *keel_open = "";

static BlyBuild *make(const BlyCatalog *shelf, double density, const char *coats, const char *sheet,
                      const char *keel, int low, int high) {
    char text[3000];
    BlyBuild *build = NULL;
    int n = snprintf(text, sizeof text, minnow, density, coats, keel_open, sheet, keel, low, high);
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

/* Every single mend of a small build, by hand: what the order of mending names, in its steps. The
 * shelf has two rings that lie farther than a step apart, three sizes of one hook, one wire, one
 * dot. best: the highest chance of those that meet the target. */
typedef struct Hand {
    const BlyBuild *build;
    const BlyCatalog *shelf;
    BlyRig rig;
    int met;
    double best;
} Hand;

static void hand_try(Hand *hand) {
    const BlyReserveOptions few = {.samples = 512, .finished = true};
    BlyReserve reserve;
    for (size_t s = 0; s < hand->rig.count; s++) {
        if (!bly_choice_fits(&hand->build->seats[s], &hand->rig.at[s], NULL))
            return;
    }
    if (!meets(hand->build, &hand->rig))
        return;
    hand->met++;
    must(bly_reserve(hand->build, hand->shelf, &hand->rig, &few, &reserve, err));
    hand->best = fmax(hand->best, reserve.chance[0]);
}

static void hand_hook(Hand *hand, const int *seats, int count, const char *const *ids) {
    for (int i = 0; i < count; i++)
        hand->rig.at[seats[i]].of[BLY_PART_HOOK] =
            (BlyChosenPart){bly_catalog_part(hand->shelf, ids[i]), {NAN, 0}};
    hand_try(hand);
    for (int i = 0; i < count; i++)
        hand->rig.at[seats[i]] = hand->build->fitted.at[seats[i]];
}

/* Front 6 to 8 or 4, rear 8 to 6, both one number larger (the rear has none smaller). */
static void hand_hooks(Hand *hand) {
    static const int front[] = {1}, rear[] = {2}, both[] = {1, 2};
    static const char *const smaller[] = {"hook-8"}, *const larger[] = {"hook-4"},
                             *const rears[] = {"hook-6"}, *const boths[] = {"hook-4", "hook-6"};
    hand_hook(hand, front, 1, smaller);
    hand_hook(hand, front, 1, larger);
    hand_hook(hand, rear, 1, rears);
    hand_hook(hand, both, 2, boths);
}

static void hand_wire(Hand *hand, size_t seat) {
    for (int turns = 1; turns <= 12; turns++) {
        hand->rig.at[seat].of[BLY_PART_WIRE] =
            (BlyChosenPart){bly_catalog_part(hand->shelf, "wire-tin"), {NAN, 0}};
        hand->rig.at[seat].count = turns;
        hand_try(hand);
    }
    hand->rig.at[seat] = hand->build->fitted.at[seat];
}

static void hand_lip(Hand *hand, size_t seat) {
    BlyChoice *lip = &hand->rig.at[seat];
    const BlyChoice was = *lip;
    const BlyPart *sheet = lip->of[BLY_PART_SHEET].part;
    double least = fmax(lip->of[BLY_PART_OUTLINE].part->length_least, 12e-3);
    for (int k = 1; was.length - 0.5e-3 * k > least - 1e-9; k++) {
        lip->length = was.length - 0.5e-3 * k;
        hand_try(hand);
    }
    *lip = was;
    int met = hand->met;
    for (int k = 1; 1e-4 * k < sheet->thickness - sheet->thinnest + 1e-9; k++) {
        lip->filed = 1e-4 * k;
        if (met == 0) /* edges before faces */
            hand_try(hand);
    }
    *lip = was;
}

/* Up to eight dots at seven places. */
static void hand_dots(Hand *hand, size_t seat) {
    const BlySeat *s = &hand->build->seats[seat];
    const BlyPart *dot = bly_catalog_part(hand->shelf, "dot-5");
    double from = s->x_from + dot->outer / 2, to = s->x_to - dot->outer / 2;
    for (int p = 0; p < 7; p++) {
        for (int n = 1; n <= 8; n++) {
            BlyChoice choice = bly_choice_empty(
                fmin(fmax(round((from + (to - from) * p / 6) * 1e3) / 1e3, from), to));
            choice.of[BLY_PART_DOT].part = dot;
            choice.count = n;
            hand->rig.at[seat] = choice;
            hand_try(hand);
        }
    }
    hand->rig.at[seat] = hand->build->fitted.at[seat];
}

static Hand by_hand(const BlyBuild *build, const BlyCatalog *shelf) {
    Hand hand = {.build = build, .shelf = shelf};
    must(bly_rig_copy(&hand.rig, &build->fitted, err));
    hand_wire(&hand, 1);
    hand_wire(&hand, 2);
    hand_dots(&hand, 4);
    hand_hooks(&hand);
    hand_lip(&hand, 3);
    bly_rig_release(&hand.rig);
    return hand;
}

/* What no finished lure lets one change has not changed. */
static void assert_possible(const BlyBuild *build, const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChoice *was = &build->fitted.at[s], *is = &rig->at[s];
        assert_ptr_equal(was->of[BLY_PART_EYE].part, is->of[BLY_PART_EYE].part);
        assert_ptr_equal(was->of[BLY_PART_SHEET].part, is->of[BLY_PART_SHEET].part);
        assert_ptr_equal(was->of[BLY_PART_OUTLINE].part, is->of[BLY_PART_OUTLINE].part);
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
            same = same && a->of[kind].part == b->of[kind].part;
        changed += !same;
    }
    return changed;
}

static BlyFitResult mend(const BlyBuild *build, const BlyCatalog *shelf) {
    const BlyFitOptions options = {.rigs = 6};
    BlyFitResult result;
    must(bly_fit_finished(build, shelf, &options, &result, err));
    assert_true(result.finished);
    double last = 1;
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX];
    for (size_t i = 0; i < result.count; i++) {
        const BlyFitRig *rig = &result.rigs[i];
        assert_possible(build, &rig->rig);
        assert_int_equal(rig->changes, seats_changed(build, &rig->rig));
        assert_true(mend_steps(build, &rig->rig, BLY_METRIC, steps) >= (size_t)rig->changes);
        assert_true(rig->met == result.met);
        if (!result.met)
            continue;
        assert_true(meets(build, &rig->rig));
        assert_true(rig->chance <= last + 0.05); /* the surest first, alike within a twentieth */
        last = rig->chance;
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

/* Brute force over every single mend: one is found exactly when there is one, and none by hand is
 * surer by more than what counts as alike and what 512 samples leave open (3 sigma, 0.06). */
static void test_order_against_brute_force(void **state) {
    const BlyCatalog *shelf = *state;
    double neutral = neutral_density(shelf);
    const struct {
        double off;
        int low, high; /* degrees nose-down */
    } lures[] = {{0, -90, 90},     {-0.01, -90, 90}, {-0.02, -90, 90}, {-0.035, -90, 90},
                 {0.01, -90, 90},  {0.02, -90, 90},  {0.04, -90, 90},  {0.16, -90, 90},
                 {-0.015, -5, 35}, {0.1, 0, 25}};
    int found = 0, none = 0;
    keel_open = ", \"open\": [\"dot\"]";
    for (size_t i = 0; i < sizeof lures / sizeof lures[0]; i++) {
        BlyBuild *build = make(shelf, neutral + lures[i].off, "", "\"sheet-brass-1.0\"", "",
                               lures[i].low, lures[i].high);
        BlyFitResult result = mend(build, shelf);
        Hand hand = by_hand(build, shelf);
        bool as_it_is = meets(build, &build->fitted);
        if (hand.met > 0 || as_it_is) {
            assert_true(result.met && result.rigs[0].chance >= hand.best - 0.05 - 0.06);
            found++;
        } else {
            assert_true(!result.met || seats_changed(build, &result.rigs[0].rig) > 1 ||
                        result.rigs[0].changes == 1);
            none++;
        }
        bly_fit_release(&result);
        bly_build_free(build);
    }
    keel_open = "";
    print_message("  a single mend for %d, none for %d\n", found, none);
    assert_true(found >= 3 && none >= 1);
}

/* What the build closes stays, and beside kinds by name nothing else changes; a snap at the tie
 * only by name. */
static void test_closed_stays(void **state) {
    const BlyCatalog *shelf = *state;
    double neutral = neutral_density(shelf);
    for (int i = 0; i < 4; i++) {
        BlyBuild *build = make(shelf, neutral - 0.05, "", "\"sheet-brass-1.0\"", "", -90, 90);
        static const unsigned open[] = {0, 1u << BLY_PART_HOOK, 1u << BLY_PART_WIRE};
        build->seats[0].open_said = true; /* tie: closed, or a snap by name */
        build->seats[0].open = build->seats[0].named = i == 3 ? 1u << BLY_PART_SNAP : 0;
        for (int s = 1; s <= 2; s++) {
            build->seats[s].open_said = true;
            build->seats[s].open = open[i < 3 ? i : 0];
        }
        build->seats[3].open_said = i > 0; /* the lip: closed but for the first */
        build->seats[3].open = 0;
        build->seats[4].open_said = i > 0;
        build->seats[4].open = 0;
        BlyFitResult result = mend(build, shelf);
        bool snap = false;
        for (size_t k = 0; k < result.count; k++) {
            const BlyRig *rig = &result.rigs[k].rig;
            for (size_t s = 0; s < rig->count; s++) {
                unsigned may = bly_seat_mendable(&build->seats[s], &build->fitted.at[s], false);
                const BlyChoice *was = &build->fitted.at[s], *is = &rig->at[s];
                for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
                    if ((may & (1u << kind)) == 0)
                        assert_ptr_equal(was->of[kind].part, is->of[kind].part);
                }
                if (may == 0)
                    assert_true(was->length == is->length && was->filed == is->filed &&
                                was->count == is->count);
            }
            snap = snap || rig->at[0].of[BLY_PART_SNAP].part != NULL;
        }
        assert_true(snap == (i == 3));
        bly_fit_release(&result);
        bly_build_free(build);
    }
    BlyBuild *build = make(shelf, neutral, "", "\"sheet-brass-1.0\"", "", -90, 90);
    for (size_t s = 0; s < build->seat_count; s++) {
        build->seats[s].open_said = true;
        build->seats[s].open = 0;
    }
    BlyFitResult result;
    BlyError err = {0};
    assert_false(bly_fit_finished(build, shelf, &(BlyFitOptions){0}, &result, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    bly_build_free(build);
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
                assert_true(lip->of[BLY_PART_SHEET].weighed.value < 5.2e-3);
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
                assert_true(keel->of[BLY_PART_DOT].part != NULL && keel->count >= 2);
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

/* With the shipped parts and rules: a diver that rises nose-up. No snap at its closed tie, nothing
 * but its hook changed at the tail, and none of what is listed hangs farther from the band. */
static void test_closed_tie(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    BlyBuild *build = NULL;
    char text[4096];
    FILE *file = fopen("tests/fit/closed-tie.json", "rb");
    assert_non_null(file);
    size_t size = fread(text, 1, sizeof text, file);
    (void)fclose(file);
    must(bly_catalog_shipped(&catalog, err));
    must(bly_build_read(text, size, &catalog, &build, err));
    BlyFitResult result;
    must(bly_fit_finished(build, &catalog, &(BlyFitOptions){.rigs = 9}, &result, err));
    BlyLure lure;
    BlyWater water;
    BlyOutcome was;
    must(bly_water_at(12, 0, &water, err));
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    must(bly_rest_under_water(&lure, &water, &was, err));
    bly_lure_release(&lure);
    BlyJudgement before = bly_judge(&build->target, &was);
    assert_true(result.count > 0);
    for (size_t i = 0; i < result.count; i++) {
        const BlyRig *rig = &result.rigs[i].rig;
        const BlyChoice *tail = &rig->at[2], *had = &build->fitted.at[2];
        assert_null(rig->at[0].of[BLY_PART_SNAP].part);
        assert_ptr_equal(tail->of[BLY_PART_RING].part, had->of[BLY_PART_RING].part);
        assert_null(tail->of[BLY_PART_WIRE].part);
        assert_true(rig->at[3].length == build->fitted.at[3].length && rig->at[3].filed == 0);
        assert_true(result.rigs[i].judgement[0].nose_off <= before.nose_off + 0.02);
    }
    bly_fit_release(&result);
    bly_build_free(build);
    bly_catalog_release(&catalog);
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
        cmocka_unit_test(test_order_against_brute_force),
        cmocka_unit_test(test_closed_stays),
        cmocka_unit_test(test_closed_tie),
        cmocka_unit_test(test_lip_alone),
        cmocka_unit_test(test_under_the_coat),
        cmocka_unit_test(test_limits),
    };
    return cmocka_run_group_tests(tests, stock, clear);
}
