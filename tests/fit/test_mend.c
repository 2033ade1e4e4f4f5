/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now: what is known of a lure once a hook was exchanged by the scale, and what is never
 * proposed. heavy-minnow.json is a larch minnow as the tank left it, 0.14 g too heavy,
 * light-minnow.json one that is 0.14 g too light, heavy-crank.json a crank 0.3 g too heavy. */
#include "ballastry/mend.h"
#include "ballastry/spread.h"
#include "build/build.h"
#include "files/files.h"
#include "spread/spread.h"
#include "support/shipped.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define must(call) must_(call, #call)

static BlyError error;
static void must_(bool good, const char *what) {
    if (!good)
        fail_msg("%s: %s: %s", what, error.where, error.text);
}

static BlyBuild *open_build(const char *path) {
    char *text = NULL;
    size_t size;
    BlyBuild *build = NULL;
    must(bly_file_read(path, (size_t)1 << 20, &text, &size, &error));
    must(bly_build_read(text, size, &catalog, &build, &error));
    free(text);
    return build;
}

static BlyRange net_weight(const BlyBuild *build) {
    BlySpread *spread = malloc(sizeof *spread);
    assert_non_null(spread);
    must(bly_spread(build, &build->fitted, &build->water, 1, NULL, NULL, spread, &error));
    BlyRange range = spread->water[0].range[BLY_Q_NET_WEIGHT];
    free(spread);
    return range;
}

/* Hands wind quarters of turns: whole numbers of them on the shank of each new hook. */
static void quarters_on_new_hooks(const BlyBuild *build, const BlyRig *rig) {
    int asked = 0;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChosenPart *hook = &rig->at[s].of[BLY_PART_HOOK],
                            *wire = &rig->at[s].of[BLY_PART_WIRE];
        if (hook->part == build->fitted.at[s].of[BLY_PART_HOOK].part || wire->part == NULL)
            continue;
        double quarters = 4 * wire->weighed.value / bly_wire_turn_mass(wire->part, hook->part);
        assert_close(quarters, round(quarters), 1e-6, 0);
        assert_true(quarters >= 2 - 1e-6); /* half a turn is the least that holds */
        asked++;
    }
    assert_true(asked > 0);
}

/* A sum of independent normal figures: what was not known before, and two readings of a hundredth
 * of a gram (14 mg, 95 of 100), of which steel weighs 7/8 in water. Not weighed, both hooks' masses
 * would come on top, some 50 mg. */
static void what_is_weighed_stays_known(void **state) {
    char *text = NULL;
    BlyMendPlan plan;
    BlyBuild *build = open_build("tests/fit/heavy-minnow.json"), *mended = NULL;
    (void)state;
    must(bly_mend(build, &catalog, NULL, &plan, &error));
    assert_true(plan.exchanges);
    quarters_on_new_hooks(build, &plan.rig.rig);
    must(bly_mend_text(build, &plan, &text, &error));
    must(bly_build_read(text, strlen(text), &catalog, &mended, &error));
    BlyRange before = net_weight(build), after = net_weight(mended);
    double sigma = hypot(before.sigma, 14e-6 / BLY_SIGMAS_95 * 0.875);
    print_message("net weight: sigma %.2f mg, then %.2f mg, in closed form %.2f mg\n",
                  1e6 * before.sigma, 1e6 * after.sigma, 1e6 * sigma);
    assert_close(after.sigma, sigma, 0, 0.04);
    /* What is foretold is what the file then says. */
    assert_close(plan.net_weight.low, after.low, 0.2e-6, 0.02);
    assert_close(plan.net_weight.high, after.high, 0.2e-6, 0.02);
    free(text);
    bly_build_free(mended);
    bly_mend_release(&plan);
    bly_build_free(build);
}

static double chance_of(const BlyBuild *build, const BlyRig *rig) {
    double chance;
    must(spread_chance(build, rig, NULL, &chance, &error));
    return chance;
}

/* Wire on a hook that stays is cut by a ruler: whole half millimetres, known to what is left of one
 * and to what a metre of it is known by (bly_wire_cut_give, held by tests/parts). No other length
 * is surer by much: 4 mm more or less, by 16384 lures of the spread, which knows nothing of mends.
 */
static void wire_is_cut_to_what_is_surest(void **state) {
    BlyMendPlan plan;
    BlyBuild *build = open_build("tests/fit/light-minnow.json");
    int asked = 0;
    (void)state;
    must(bly_mend(build, &catalog, NULL, &plan, &error));
    assert_false(plan.exchanges);
    BlyRig *rig = &plan.rig.rig;
    double best = chance_of(build, rig);
    assert_true(best > chance_of(build, &build->fitted) + 0.5);
    for (size_t s = 0; s < rig->count; s++) {
        BlyChosenPart *wire = &rig->at[s].of[BLY_PART_WIRE];
        if (wire->part == NULL)
            continue;
        double halves = wire->weighed.value / wire->part->mass.value / 0.5e-3;
        assert_close(halves, round(halves), 1e-6, 0);
        assert_close(wire->weighed.give, bly_wire_cut_give(wire->part, wire->weighed.value), 1e-9,
                     0);
        for (int side = -1; side <= 1; side += 2) {
            BlyFigure told = wire->weighed;
            wire->weighed.value += side * 4e-3 * wire->part->mass.value;
            assert_true(chance_of(build, rig) < best + 0.05);
            wire->weighed = told;
        }
        asked++;
    }
    assert_true(asked > 0);
    bly_mend_release(&plan);
    bly_build_free(build);
}

/* No more than two things, and more lures come nearer than go farther off. */
static void never_more_than_two(void **state) {
    static const char *const paths[] = {"tests/fit/heavy-minnow.json",
                                        "examples/finished-minnow.json",
                                        "examples/sinker-swap.json"};
    (void)state;
    for (int i = 0; i < 3; i++) {
        BlyMendPlan plan;
        BlyBuild *build = open_build(paths[i]);
        must(bly_mend(build, &catalog, NULL, &plan, &error));
        assert_true(plan.rig.changes <= 2);
        assert_true(plan.leaves || plan.farther < 0.3);
        bly_mend_release(&plan);
        bly_build_free(build);
    }
}

/* Edges before faces (common practice, no source): a crank that is 0.3 g too heavy, whose lip may
 * be cut back and ground, is not ground where cutting leaves it as sure, by 16384 lures of the
 * spread: the same weight ground off the back in place of what is cut off the edge is surer by no
 * more than chances that count as alike. */
static void edges_come_before_faces(void **state) {
    BlyMendPlan plan;
    BlyBuild *build = open_build("tests/fit/heavy-crank.json");
    (void)state;
    must(bly_mend(build, &catalog, NULL, &plan, &error));
    BlyRig *rig = &plan.rig.rig;
    int lip = bly_build_seat(build, "lip");
    assert_true(rig->at[lip].length < build->fitted.at[lip].length);
    assert_close(rig->at[lip].filed, build->fitted.at[lip].filed, 1e-12, 0);
    double cut = chance_of(build, rig), ground = 0;
    rig->at[lip].length = build->fitted.at[lip].length;
    for (int step = 4; step <= 20; step += 2) { /* hundredths of a millimetre, by the scale */
        rig->at[lip].filed = build->fitted.at[lip].filed + 1e-5 * step;
        ground = fmax(ground, chance_of(build, rig));
    }
    print_message("on target: edge cut %.2f, back ground %.2f\n", cut, ground);
    assert_true(ground > 0.5 && ground < cut + 0.05);
    bly_mend_release(&plan);
    bly_build_free(build);
}

/* A seat that is open and empty is named by what it lacks, and no mend is told; one that lacks
 * nothing is not named. */
static void what_is_not_whole_is_not_mended(void **state) {
    static const struct {
        const char *path, *says;
    } of[] = {{"examples/larch-minnow.json",
               "unfinished: belly has no hook, tail has no hook, lip has no sheet; "},
              {"examples/board-lip.json", "unfinished: lip has no sheet; "}};
    (void)state;
    for (int i = 0; i < 2; i++) {
        BlyBuild *build = open_build(of[i].path);
        BlyMendPlan plan;
        BlyFitResult ways;
        BlyError err = {0};
        char few[24];
        assert_false(bly_mend(build, &catalog, NULL, &plan, &err));
        assert_int_equal(err.code, BLY_E_MISSING);
        assert_string_equal(err.where, "/seats");
        assert_memory_equal(err.text, of[i].says, strlen(of[i].says));
        assert_false(bly_fit_finished(build, &catalog, &(BlyFitOptions){0}, &ways, &err));
        assert_memory_equal(err.text, of[i].says, strlen(of[i].says));
        assert_true(bly_tank_unfinished(build, few, sizeof few)); /* no room for a whole seat */
        assert_string_equal(few, "");
        bly_mend_release(&plan);
        bly_build_free(build);
    }
    BlyBuild *whole = open_build("examples/sinker-swap.json");
    assert_false(bly_tank_unfinished(whole, NULL, 0));
    bly_build_free(whole);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_weighed_stays_known),
        cmocka_unit_test(wire_is_cut_to_what_is_surest),
        cmocka_unit_test(never_more_than_two),
        cmocka_unit_test(edges_come_before_faces),
        cmocka_unit_test(what_is_not_whole_is_not_mended),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
