/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lures of real size are beyond brute force: here the enumeration meets GLPK's branch and bound
 * (a general-purpose library) on the same made-up tackle, and its own exact mode. */
#include "support/check.h"
#include "support/tackle.h"

enum { BEST = 6, SIZES = 3 };

static void solve(const Programme *p, ProgMethod method, bool visibly, bool exact,
                  ProgResult *result) {
    ProgOptions options = {.best = BEST, .visibly_different = visibly, .method = method};
    options.exact_ties = exact;
    BlyError err = {0};
    assert_true(programme_solve(p, &options, result, &err));
    assert_true(result->proven);
    assert_int_equal(result->count, BEST);
}

static void same_objectives(const ProgResult *a, const ProgResult *b) {
    for (size_t i = 0; i < BEST; i++) {
        assert_close(a->rigs[i].objective, b->rigs[i].objective, 1e-6, 0);
        assert_true(i == 0 || a->rigs[i].objective >= a->rigs[i - 1].objective - 1e-7);
    }
}

static void meet(size_t n, uint64_t seed, const TackleOptions *options, bool visibly) {
    Tackle tackle;
    tackle_make(&tackle, n, seed, options);
    tackle_build(&tackle);
    ProgResult usual, exact, tree;
    solve(&tackle.programme, PROG_AUTO, visibly, false, &usual);
    solve(&tackle.programme, PROG_ENUMERATE, visibly, true, &exact);
    solve(&tackle.programme, PROG_TREE, visibly, false, &tree);
    same_objectives(&usual, &tree);
    same_objectives(&exact, &tree);
    /* Ordering the equals further never makes the list worse, and never changes its front. */
    for (size_t i = 0; i < BEST; i++)
        assert_true(exact.rigs[i].cost <= usual.rigs[i].cost + 1e-7 ||
                    exact.rigs[i].objective < usual.rigs[i].objective + 1e-7);
    programme_free(&usual);
    programme_free(&exact);
    programme_free(&tree);
    tackle_free(&tackle);
}

static void enumeration_meets_the_tree(void **state) {
    (void)state;
    TackleOptions usual = {.dead = 0.5};
    static const size_t sizes[SIZES] = {4, 8, 12};
    for (size_t i = 0; i < SIZES; i++)
        meet(sizes[i], 11 + i, &usual, false);
}

static void visibly_different_rigs_meet_the_tree(void **state) {
    (void)state;
    TackleOptions usual = {.dead = 0.5};
    meet(4, 21, &usual, true);
    meet(8, 22, &usual, true);
}

static void hopeless_targets_meet_the_tree(void **state) {
    (void)state;
    TackleOptions heavy = {.dead = 0.5, .heavy_g = 12};
    meet(4, 31, &heavy, false);
    meet(8, 32, &heavy, true);
}

static bool look_alike(const Programme *p, const ProgRig *a, const ProgRig *b) {
    for (size_t g = 0; g < p->group_count; g++) {
        const ProgColumn *columns = p->groups[g].columns;
        if (columns[a->columns[g]].visible != columns[b->columns[g]].visible)
            return false;
    }
    return true;
}

/* Law: the unlike rigs are the first of each look in the full list. */
static void the_unlike_are_the_first_of_their_look(void **state) {
    (void)state;
    TackleOptions usual = {.dead = 0.5};
    Tackle tackle;
    tackle_make(&tackle, 12, 41, &usual);
    tackle_build(&tackle);
    ProgResult unlike, all;
    solve(&tackle.programme, PROG_AUTO, true, true, &unlike);
    ProgOptions options = {.best = 400, .exact_ties = true};
    assert_true(programme_solve(&tackle.programme, &options, &all, NULL));
    assert_true(all.proven);
    size_t firsts = 0;
    for (size_t i = 0; i < all.count && firsts < BEST; i++) {
        bool seen = false;
        for (size_t k = 0; k < firsts; k++)
            seen = seen || look_alike(&tackle.programme, &unlike.rigs[k], &all.rigs[i]);
        if (seen)
            continue;
        assert_close(all.rigs[i].objective, unlike.rigs[firsts].objective, 1e-7, 0);
        assert_memory_equal(all.rigs[i].columns, unlike.rigs[firsts].columns,
                            TACKLE_GROUPS * sizeof(size_t));
        firsts++;
    }
    assert_true(firsts >= 3); /* most of the full list looks like something before it */
    programme_free(&unlike);
    programme_free(&all);
    tackle_free(&tackle);
}

static void the_same_input_gives_the_same_answer(void **state) {
    (void)state;
    TackleOptions usual = {.dead = 0.5};
    Tackle tackle;
    tackle_make(&tackle, 50, 5, &usual);
    tackle_build(&tackle);
    ProgResult one, two;
    solve(&tackle.programme, PROG_AUTO, true, false, &one);
    solve(&tackle.programme, PROG_AUTO, true, false, &two);
    for (size_t i = 0; i < BEST; i++) {
        assert_memory_equal(one.rigs[i].columns, two.rigs[i].columns,
                            TACKLE_GROUPS * sizeof(size_t));
        assert_memory_equal(one.rigs[i].delta, two.rigs[i].delta, TACKLE_GROUPS * sizeof(double));
        assert_memory_equal(&one.rigs[i].objective, &two.rigs[i].objective, sizeof(double));
    }
    programme_free(&one);
    programme_free(&two);
    tackle_free(&tackle);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(enumeration_meets_the_tree),
        cmocka_unit_test(visibly_different_rigs_meet_the_tree),
        cmocka_unit_test(hopeless_targets_meet_the_tree),
        cmocka_unit_test(the_unlike_are_the_first_of_their_look),
        cmocka_unit_test(the_same_input_gives_the_same_answer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
