/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice programme against brute force (tests/support/brute.c): every rig of small made-up
 * instances (tests/support/riddle.c), worked out by arithmetic of its own. Set and order must
 * agree, for all rigs and for visibly different ones. */
#include "support/check.h"
#include "support/brute.h"
#include "support/riddle.h"

enum { BEST = 10 };

typedef struct Tally {
    size_t unlike, compared, in_bands, missed, none, trees, learnt;
} Tally;

static bool same_list(const Programme *p, const ProgResult *result, const BruteRig *truth,
                      size_t count) {
    if (result->count != count || !result->proven || result->out_of_time)
        return false;
    for (size_t i = 0; i < count; i++) {
        const ProgRig *rig = &result->rigs[i];
        if (!(fabs(rig->objective - truth[i].objective) < 2e-7) ||
            !(fabs(rig->cost - truth[i].cost) < 2e-7))
            return false;
        for (size_t g = 0; g < p->group_count; g++) {
            if (rig->columns[g] != truth[i].column[g])
                return false;
        }
    }
    return true;
}

/* What a rig says of itself, against the brute arithmetic at its own deltas. */
static void check_rig(const Programme *p, const ProgRig *rig) {
    double cost, distance;
    double objective = brute_objective(p, rig->columns, rig->delta, &cost, &distance);
    assert_close(rig->objective, objective, 1e-9, 1e-12);
    assert_close(rig->cost, cost, 1e-9, 0);
    assert_close(rig->distance, distance, 1e-9, 1e-12);
    assert_close(rig->cost + rig->deviation + rig->penalty, objective, 1e-9, 1e-12);
    bool in_bands = true;
    for (size_t r = 0; r < p->row_count; r++) {
        const ProgRow *row = &p->rows[r];
        double value = row->base, margin = 0;
        for (size_t g = 0; g < p->group_count; g++) {
            const ProgColumn *c = &p->groups[g].columns[rig->columns[g]];
            value += c->f[row->feature] - (c->range > 0 ? rig->delta[g] * c->g[row->feature] : 0);
            if (row->margin != PROG_NONE)
                margin +=
                    c->f[row->margin] - (c->range > 0 ? rig->delta[g] * c->g[row->margin] : 0);
            assert_between(rig->delta[g], 0, c->range);
        }
        double over = fmax(value + margin - row->hi, row->lo - value + margin);
        assert_close(rig->value[r], value, 1e-9, 1e-12);
        assert_close(rig->margin[r], margin, 1e-9, 0);
        assert_close(rig->violation[r], over > 1e-9 ? over : 0, 2e-9, 1e-12);
        in_bands = in_bands && over <= 1e-9;
    }
    assert_int_equal(rig->in_bands, in_bands);
}

static void show(const Programme *p, const char *what, double objective, double cost,
                 const size_t *column) {
    print_error("  %s %.9f cost %.4f:", what, objective, cost);
    for (size_t g = 0; g < p->group_count; g++)
        print_error(" %zu", column[g]);
    print_error("\n");
}

static void compare(const Programme *p, const ProgOptions *options, uint64_t seed, Tally *tally) {
    BruteRig truth[BEST];
    size_t count = brute_force(p, options->best, options->visibly_different, truth);
    ProgResult result;
    BlyError err = {0};
    assert_true(programme_solve(p, options, &result, &err));
    tally->compared++;
    tally->in_bands += result.count > 0 && result.rigs[0].in_bands;
    tally->missed += result.count > 0 && !result.rigs[0].in_bands;
    tally->none += result.count == 0;
    tally->trees += result.stats.tree_rounds;
    tally->learnt += result.stats.learnt;
    for (size_t i = 0; i < result.count; i++)
        check_rig(p, &result.rigs[i]);
    if (count == 0)
        assert_true(result.impossible);
    if (!same_list(p, &result, truth, count)) {
        tally->unlike++;
        print_error("seed %u: %zu rigs, want %zu, proven %d, bound %.9g\n", (unsigned)seed,
                    result.count, count, (int)result.proven, result.bound);
        for (size_t i = 0; i < count; i++)
            show(p, "want", truth[i].objective, truth[i].cost, truth[i].column);
        for (size_t i = 0; i < result.count; i++)
            show(p, "got ", result.rigs[i].objective, result.rigs[i].cost, result.rigs[i].columns);
    }
    programme_free(&result);
}

static Tally run_shape(RiddleShape shape, size_t count, ProgOptions options) {
    Tally tally = {0};
    options.best = BEST;
    options.exact_ties = true;
    for (uint64_t seed = 1; seed <= count; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        options.visibly_different = false;
        compare(&riddle.programme, &options, seed, &tally);
        options.visibly_different = true;
        compare(&riddle.programme, &options, seed, &tally);
        riddle_free(&riddle);
    }
    assert_int_equal(tally.unlike, 0);
    return tally;
}

/* Every kind of small instance, `count` of each kind, by one method. */
static void run_all(size_t count, ProgOptions options) {
    RiddleShape plain = {.groups = 5, .columns = 4, .waters = 1, .dead = 0.5};
    Tally tally = run_shape(plain, count, options);
    assert_true(tally.in_bands > tally.compared / 2);
    RiddleShape plate = {.groups = 5, .columns = 4, .waters = 3, .plates = 1, .margins = true};
    plate.dead = 0.5;
    (void)run_shape(plate, count, options);
    RiddleShape bare = plate;
    bare.dead = 0;
    (void)run_shape(bare, count, options);
    RiddleShape hopeless = plate;
    hopeless.heavy = 4;
    tally = run_shape(hopeless, count, options);
    assert_int_equal(tally.missed, tally.compared);
    RiddleShape capped = plate;
    capped.hard_price = true;
    (void)run_shape(capped, count, options);
    RiddleShape touching = capped;
    touching.pairs = true;
    (void)run_shape(touching, count, options);
    RiddleShape two_plates = {.groups = 3, .columns = 3, .waters = 2, .plates = 2, .margins = true};
    two_plates.dead = 0.5;
    two_plates.hard_price = true;
    tally = run_shape(two_plates, count / 4 + 1, options);
    assert_true(tally.none > 0 || count < 8);
}

static void enumeration_is_brute_force(void **state) {
    (void)state;
    run_all(40, (ProgOptions){.method = PROG_ENUMERATE});
}

static void tree_is_brute_force(void **state) {
    (void)state;
    run_all(5, (ProgOptions){.method = PROG_TREE});
}

/* Caps so low that every stage takes over from the one before. */
static void the_stages_together_are_brute_force(void **state) {
    (void)state;
    run_all(4, (ProgOptions){.method = PROG_AUTO, .node_cap = 20, .tree_cap = 3});
    RiddleShape plate = {.groups = 5, .columns = 4, .waters = 3, .plates = 1, .dead = 0.5};
    Tally tally =
        run_shape(plate, 4, (ProgOptions){.method = PROG_AUTO, .node_cap = 20, .tree_cap = 1});
    assert_true(tally.trees > 0);
}

/* Long groups: columns brought in by price, and windows. */
static void long_groups_are_brute_force(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 4, .columns = 4, .waters = 1, .dead = 0.5};
    shape.long_groups = 2;
    shape.long_columns = 17;
    (void)run_shape(shape, 8, (ProgOptions){.method = PROG_ENUMERATE});
    shape.columns = 6;
    shape.waters = 2;
    shape.long_columns = 20;
    (void)run_shape(shape, 2, (ProgOptions){.method = PROG_ENUMERATE});
    shape = (RiddleShape){.groups = 3, .columns = 3, .waters = 2, .plates = 1, .dead = 0.5};
    shape.margins = shape.pairs = true;
    shape.long_groups = 2;
    shape.long_columns = 17;
    (void)run_shape(shape, 4, (ProgOptions){.method = PROG_ENUMERATE});
    shape = (RiddleShape){.waters = 1, .dead = 0.5, .long_groups = 2, .long_columns = 150};
    (void)run_shape(shape, 4, (ProgOptions){.method = PROG_ENUMERATE});
}

/* From targets that most instances meet to such as none does: what misses must be the nearest. */
static void hopeless_targets_are_brute_force(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 4, .waters = 3, .plates = 1, .margins = true};
    Tally edge = {0};
    for (int step = -6; step <= 10; step++) {
        shape.heavy = 0.4 * step;
        shape.dead = step % 3 == 0 ? 0 : 0.5;
        shape.hard_price = step % 2 == 0;
        shape.pairs = step % 5 == 0;
        Tally tally = run_shape(shape, 15, (ProgOptions){.method = PROG_ENUMERATE});
        edge.in_bands += tally.in_bands;
        edge.missed += tally.missed;
    }
    assert_true(edge.in_bands > 50 && edge.missed > 50);
    /* Long enough groups that bounds are learnt on the way, and the same stopped and taken up. */
    size_t learnt = 0;
    shape = (RiddleShape){.groups = 3, .columns = 3, .waters = 3, .plates = 1, .dead = 0.5};
    shape.long_groups = 2;
    shape.long_columns = 40;
    for (int step = 1; step <= 4; step++) {
        shape.heavy = step;
        learnt += run_shape(shape, 6, (ProgOptions){.method = PROG_ENUMERATE}).learnt;
        learnt += run_shape(shape, 2, (ProgOptions){.node_cap = 60, .tree_cap = 1}).learnt;
    }
    assert_true(learnt > 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(enumeration_is_brute_force),
        cmocka_unit_test(tree_is_brute_force),
        cmocka_unit_test(the_stages_together_are_brute_force),
        cmocka_unit_test(long_groups_are_brute_force),
        cmocka_unit_test(hopeless_targets_are_brute_force),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
