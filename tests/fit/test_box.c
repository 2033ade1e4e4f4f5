/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fit with a maker's box against brute force: on small builds with few of each hook and eye, every
 * combination is worked through the full physics here, those that take more than there is are left
 * out, and the best of the rest, by the rule of docs/fit.md with arithmetic of our own, is what fit
 * must find. Builds, boxes and targets are invented; the check is that two ways agree. */
#include "build/build.h"
#include "support/check.h"
#include "support/dice.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "ballastry/rules.h"
#include "lure/kit.h"

#include <gsl/gsl_errno.h>

enum { INSTANCES = 60, HOOKS = 4, EYES = 3, TEXT_MOST = 4000 };

/* The programme's model is linear about the best rig (test_fit_brute.c). */
static const double tie = 0.03;

static const char *const hooks[HOOKS] = {"treble-8-fine", "treble-8-medium", "treble-6-fine",
                                         "treble-6-medium"};
static const char *const eyes[EYES] = {"screw-eye-1.0-10", "screw-eye-0.8-8", "twisted-eye-0.8-10"};

/* How many of each: -1 not in the box, 0 used up, 9 plenty. */
typedef struct Held {
    int hook[HOOKS], eye[EYES];
    bool only, weighed;
} Held;

static int some(Dice *dice) {
    static const int counts[] = {-1, 0, 1, 1, 2, 9};
    return counts[dice_below(dice, 6)];
}

static void put_line(char *list, size_t size, const char *id, int count, const char *mass) {
    size_t at = strlen(list);
    if (count >= 0)
        (void)snprintf(list + at, size - at, "%s;%d;%s\n", id, count, mass);
}

/* Masses are the catalog's own, so that only where they come from is another. */
static void make_box(Dice *dice, Held *held, const BlyCatalog *shipped, char *list, size_t size) {
    held->only = dice_below(dice, 3) == 0;
    (void)snprintf(list, size, "id;count;mass\nring-2;9;\n");
    for (int i = 0; i < HOOKS; i++) {
        char mass[32] = "";
        held->hook[i] = held->only && i == 0 ? 2 : some(dice);
        if (i % 2 == 1)
            (void)snprintf(mass, sizeof mass, "%.6f",
                           1e3 * bly_catalog_part(shipped, hooks[i])->mass.value);
        put_line(list, size, hooks[i], held->hook[i], mass);
    }
    for (int i = 0; i < EYES; i++) {
        held->eye[i] = held->only && i == 0 ? 2 : some(dice);
        put_line(list, size, eyes[i], held->eye[i], "");
    }
}

static void put_allow(char *out, size_t size) {
    out[0] = '\0';
    for (int i = 0; i < BLY_RULES; i++) {
        size_t at = strlen(out);
        (void)snprintf(out + at, size - at, "%s\"%s\"", i > 0 ? "," : "",
                       bly_rule_id((BlyRuleId)i));
    }
}

static void make_text(Dice *dice, const Held *held, char text[TEXT_MOST]) {
    char allow[1000];
    double density = dice_between(dice, 0.86, 0.94), half = dice_between(dice, 25, 150);
    double nose = dice_between(dice, -25, 0), wide = dice_between(dice, 6, 45);
    put_allow(allow, sizeof allow);
    int n = snprintf(
        text, TEXT_MOST,
        "{ \"ballastry\": 1, \"name\": \"made up\", \"water\": { \"temperature\": \"12 C\" },"
        "\"body\": { \"stations\": [ { \"x\": 0, \"diameter\": 0 }, { \"x\": 20, \"diameter\": 14 "
        "}, { \"x\": 55, \"diameter\": 13 }, { \"x\": 95, \"diameter\": 3 } ],"
        "\"material\": { \"density\": \"%.4f g/cm3\", \"give\": \"0.05 g/cm3\" } },"
        "\"seats\": { \"front\": { \"kind\": \"hanger\", \"x\": 22, \"side\": \"belly\" },"
        "\"rear\": { \"kind\": \"hanger\", \"x\": 66, \"side\": \"belly\" } },"
        "\"target\": { \"state\": \"suspend\", \"drift\": [\"%.2f mm/s\", \"%.2f mm/s\"],"
        "\"nose_down\": [\"%.2f deg\", \"%.2f deg\"], \"roll_arm\": \"0.2 mm\" },"
        "\"limits\": { \"allow\": [%s], %s\"eye_wire\": [\"0.8 mm\", \"1 mm\"], \"only\": [\"%s\","
        "\"%s\",\"%s\",\"%s\",\"%s\",\"%s\",\"%s\",\"ring-2\",\"copper-wire-0.5\"],"
        "\"never\": [\"copper-wire-0.5\"] } }",
        density, -half, half, nose, nose + wide, allow, held->only ? "\"box_only\": true," : "",
        hooks[0], hooks[1], hooks[2], hooks[3], eyes[0], eyes[1], eyes[2]);
    assert_true(n > 0 && n < TEXT_MOST);
}

static double beyond(double value, double low, double high) {
    double off = fabs(value - (low + high) / 2) / ((high - low) / 2) - 0.25;
    return off > 0 ? off : 0;
}

/* In a rig: one more for the eye or hook of a seat; false where the box does not give it. */
static bool take(int has, int takes, bool only, bool weighed, double *cost) {
    if (has <= 0) { /* to be bought, 0.05 */
        *cost += 0.05 * takes;
        return !only || takes == 0;
    }
    *cost += weighed ? 0 : 0.005 * takes;
    return takes <= has;
}

typedef struct Best {
    double merit;
    bool met;
} Best;

static void work_out(const BlyBuild *build, const BlyRig *rig, double cost, Best *best) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome o;
    double low, high;
    must(bly_lure_make(&build->blank, build->seats, rig, &lure, err));
    must(bly_water_at(build->water.temperature.value, 0, &water, err));
    must(bly_rest_under_water(&lure, &water, &o, err));
    must(bly_rest_net_weight(&lure, &water, o.nose_down, build->target.drift_low, &low, err));
    must(bly_rest_net_weight(&lure, &water, o.nose_down, build->target.drift_high, &high, err));
    double merit = cost + beyond(o.sums.net_weight, low, high) +
                   beyond(o.nose_down, build->target.nose_low, build->target.nose_high);
    if (bly_judge(&build->target, &o).met && merit < best->merit)
        *best = (Best){merit, true};
    bly_lure_release(&lure);
}

/* Every pair of eyes and pair of hooks, with a ring each: 0.02 a piece. */
static Best brute(const BlyBuild *build, const BlyCatalog *catalog, const Held *held) {
    Best best = {INFINITY, false};
    BlyRig rig = {0};
    must(bly_rig_copy(&rig, &build->fitted, err));
    for (int code = 0; code < EYES * EYES * HOOKS * HOOKS; code++) {
        int eye[2] = {code % EYES, code / EYES % EYES};
        int hook[2] = {code / (EYES * EYES) % HOOKS, code / (EYES * EYES * HOOKS)};
        double cost = 0.02 * 6 + 0.005 * 2; /* pieces; rings from the box, not weighed */
        bool held_all = true, fits = true;
        for (int i = 0; i < EYES; i++)
            held_all =
                take(held->eye[i], (eye[0] == i) + (eye[1] == i), held->only, false, &cost) &&
                held_all;
        for (int i = 0; i < HOOKS; i++)
            held_all = take(held->hook[i], (hook[0] == i) + (hook[1] == i), held->only, i % 2 == 1,
                            &cost) &&
                       held_all;
        for (size_t s = 0; s < 2; s++) {
            BlyChoice *choice = &rig.at[s];
            *choice = bly_choice_empty(build->seats[s].x_from);
            choice->of[BLY_PART_EYE].part = bly_catalog_part(catalog, eyes[eye[s]]);
            choice->of[BLY_PART_RING].part = bly_catalog_part(catalog, "ring-2");
            choice->of[BLY_PART_HOOK].part = bly_catalog_part(catalog, hooks[hook[s]]);
            fits = fits && bly_choice_fits(&build->seats[s], choice, NULL);
        }
        if (held_all && fits)
            work_out(build, &rig, cost, &best);
    }
    bly_rig_release(&rig);
    return best;
}

static void check_counts(const BlyFitRig *rig, const Held *held) {
    for (int i = 0; i < HOOKS + EYES; i++) {
        BlyPartKind kind = i < HOOKS ? BLY_PART_HOOK : BLY_PART_EYE;
        const char *id = i < HOOKS ? hooks[i] : eyes[i - HOOKS];
        int has = i < HOOKS ? held->hook[i] : held->eye[i - HOOKS], takes = 0;
        for (size_t s = 0; s < rig->rig.count; s++) {
            const BlyPart *part = rig->rig.at[s].of[kind].part;
            takes += part != NULL && strcmp(part->id, id) == 0;
        }
        assert_true(has <= 0 || takes <= has);
        assert_true(!held->only || has > 0 || takes == 0);
    }
}

typedef struct Score {
    int met, missed;
    int bound; /* with plenty of what there is one of, another rig would be the best */
} Score;

static Held plenty(Held held) {
    for (int i = 0; i < HOOKS; i++)
        held.hook[i] = held.hook[i] > 0 ? 9 : held.hook[i];
    for (int i = 0; i < EYES; i++)
        held.eye[i] = held.eye[i] > 0 ? 9 : held.eye[i];
    return held;
}

static void one_instance(Dice *dice, Score *score) {
    BlyCatalog catalog = {0};
    BlyBuild *build = NULL;
    BlyFitResult result;
    Held held = {0};
    char list[1000], text[TEXT_MOST];
    must(bly_catalog_shipped(&catalog, err));
    make_box(dice, &held, &catalog, list, sizeof list);
    make_text(dice, &held, text);
    must(bly_catalog_read_box(&catalog, list, strlen(list), err));
    must(bly_build_read(text, strlen(text), &catalog, &build, err));
    const BlyFitOptions options = {.rigs = 5};
    must(bly_fit(build, &catalog, &options, &result, err));
    Best best = brute(build, &catalog, &held);
    assert_int_equal(result.met, best.met);
    if (best.met)
        assert_close(result.rigs[0].off + result.rigs[0].cost, best.merit, tie, 0);
    for (size_t i = 0; i < result.count; i++)
        check_counts(&result.rigs[i], &held);
    score->met += best.met;
    score->missed += !best.met;
    Held loose = plenty(held);
    score->bound += best.met && brute(build, &catalog, &loose).merit < best.merit - tie;
    bly_fit_release(&result);
    bly_build_free(build);
    bly_catalog_release(&catalog);
}

static void the_box_is_kept_and_the_best_of_it_found(void **state) {
    (void)state;
    (void)gsl_set_error_handler_off();
    Dice dice = {11};
    Score score = {0};
    for (int i = 0; i < INSTANCES; i++)
        one_instance(&dice, &score);
    print_message("%d met, %d not, the box bound %d\n", score.met, score.missed, score.bound);
    assert_true(score.met >= INSTANCES / 4 && score.missed > 0 && score.bound >= INSTANCES / 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_box_is_kept_and_the_best_of_it_found)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
