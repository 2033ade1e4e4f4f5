/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Thinning a list of candidates without memory is an error: a list left whole would be another one,
 * and a fit of it perhaps another answer. */
#include "support/check.h"
#include "support/short_memory.h"
#include "fit/problem.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define malloc(size) short_malloc(size)
#define calloc(count, size) short_calloc(count, size)
#define realloc(old, size) short_realloc(old, size)
#include "fit/candidates.c"
#undef malloc
#undef calloc
#undef realloc

static void thinning_without_memory_fails(void **state) {
    (void)state;
    enum { COUNT = 30000 };
    CandidateSet set = {.at = calloc(COUNT, sizeof(Candidate)), .count = COUNT};
    assert_non_null(set.at);
    for (size_t i = 0; i < COUNT; i++)
        set.at[i].pieces = (int)i;
    for (int early = 0; early < 2; early++) {
        BlyError err = {0};
        requests_left = 0;
        bool good = early ? candidates_thin_early(&set, 10, 0.01, &err)
                          : candidates_thin(&set, 10, 0.01, &err);
        requests_left = -1;
        assert_false(good);
        assert_int_equal(err.code, BLY_E_MEMORY);
        assert_int_equal(set.count, COUNT); /* as it was */
        assert_int_equal(set.at[COUNT - 1].pieces, COUNT - 1);
    }
    assert_true(candidates_thin(&set, 10, 0.01, NULL));
    assert_int_equal(set.count, 1); /* all are alike */
    candidates_release(&set);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(thinning_without_memory_fails)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
