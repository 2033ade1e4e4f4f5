/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice programme against brute force (tests/support/brute.c): every rig of small made-up
 * instances, worked out by arithmetic of its own. */
#include "support/check.h"
#include "support/brute.h"
#include "support/riddle.h"

enum { BEST = 10 };

static size_t mismatches, compared, feasible;

static void compare(const Riddle *riddle, const ProgOptions *options, const char *name,
                    uint64_t seed) {
    const Programme *p = &riddle->programme;
    BruteRig truth[BEST + 1];
    size_t count = brute_force(p, options->best, options->visibly_different, truth);
    ProgResult result;
    BlyError err = {0};
    assert_true(programme_solve(p, options, &result, &err));
    bool good = result.count == count && result.proven && !result.out_of_time;
    for (size_t i = 0; good && i < count; i++) {
        good = fabs(result.rigs[i].objective - truth[i].objective) < 2e-7;
        for (size_t g = 0; good && g < p->group_count; g++)
            good = result.rigs[i].columns[g] == truth[i].column[g];
    }
    compared++;
    feasible += result.count > 0 && result.rigs[0].in_bands;
    if (!good) {
        mismatches++;
        print_error("%s seed %llu: %zu rigs, want %zu, proven %d bound %.9g\n", name,
                    (unsigned long long)seed, result.count, count, (int)result.proven,
                    result.bound);
        for (size_t i = 0; i < count || i < result.count; i++) {
            if (i < count) {
                print_error("  want %.9f cost %.4f far %.6f:", truth[i].objective, truth[i].cost,
                            truth[i].distance);
                for (size_t g = 0; g < p->group_count; g++)
                    print_error(" %zu", truth[i].column[g]);
            }
            if (i < result.count) {
                print_error("   got %.9f cost %.4f far %.6f:", result.rigs[i].objective,
                            result.rigs[i].cost, result.rigs[i].distance);
                for (size_t g = 0; g < p->group_count; g++)
                    print_error(" %zu", result.rigs[i].columns[g]);
            }
            print_error("\n");
        }
    }
    programme_free(&result);
}

static void run_shape(const char *name, RiddleShape shape, size_t count, ProgMethod method) {
    mismatches = compared = feasible = 0;
    for (uint64_t seed = 1; seed <= count; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        ProgOptions options = {.best = BEST, .method = method, .exact_ties = true};
        compare(&riddle, &options, name, seed);
        options.visibly_different = true;
        compare(&riddle, &options, name, seed);
        riddle_free(&riddle);
    }
    printf("%s: %zu compared, %zu in their bands, %zu unlike\n", name, compared, feasible,
           mismatches);
    assert_int_equal(mismatches, 0);
}

static void enumeration_is_brute_force(void **state) {
    (void)state;
    run_shape("plain", (RiddleShape){5, 4, 1, 0, false, false, false, 0, 0.5}, 60, PROG_ENUMERATE);
    run_shape("one plate", (RiddleShape){5, 4, 3, 1, true, false, false, 0, 0.5}, 60,
              PROG_ENUMERATE);
    run_shape("bare", (RiddleShape){5, 4, 2, 1, false, false, false, 0, 0}, 40, PROG_ENUMERATE);
    run_shape("hopeless", (RiddleShape){5, 4, 3, 1, true, false, false, 4, 0.5}, 40,
              PROG_ENUMERATE);
    run_shape("price cap", (RiddleShape){5, 4, 2, 1, true, true, false, 0, 0.5}, 40,
              PROG_ENUMERATE);
    run_shape("pairs", (RiddleShape){5, 4, 2, 1, true, false, true, 0, 0.5}, 40, PROG_ENUMERATE);
    run_shape("two plates", (RiddleShape){3, 3, 2, 2, true, true, false, 0, 0.5}, 12,
              PROG_ENUMERATE);
}

static void tree_is_brute_force(void **state) {
    (void)state;
    run_shape("t plain", (RiddleShape){5, 4, 1, 0, false, false, false, 0, 0.5}, 20, PROG_TREE);
    run_shape("t one plate", (RiddleShape){5, 4, 3, 1, true, false, false, 0, 0.5}, 20, PROG_TREE);
    run_shape("t hopeless", (RiddleShape){5, 4, 3, 1, true, false, false, 4, 0.5}, 10, PROG_TREE);
    run_shape("t price cap", (RiddleShape){5, 4, 2, 1, true, true, false, 0, 0.5}, 10, PROG_TREE);
    run_shape("t pairs", (RiddleShape){5, 4, 2, 1, true, false, true, 0, 0.5}, 10, PROG_TREE);
    run_shape("t two plates", (RiddleShape){3, 3, 2, 2, true, true, false, 0, 0.5}, 8, PROG_TREE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tree_is_brute_force),
        cmocka_unit_test(enumeration_is_brute_force),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
