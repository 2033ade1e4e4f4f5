/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "ballastry/parts.h"

static void names_read_back(void **state) {
    (void)state;
    for (int i = 0; i < BLY_PART_KINDS; i++) {
        BlyPartKind kind = BLY_PART_KINDS;
        assert_true(bly_part_kind_read(bly_part_kind_name((BlyPartKind)i), &kind));
        assert_int_equal(kind, i);
    }
    for (int i = 0; i < BLY_ORIGINS; i++) {
        BlyOrigin origin = BLY_ORIGINS;
        assert_true(bly_origin_read(bly_origin_name((BlyOrigin)i), &origin));
        assert_int_equal(origin, i);
    }
    for (int i = 0; i < BLY_OUTLINE_FORMS; i++) {
        BlyOutlineForm form = BLY_OUTLINE_FORMS;
        assert_true(bly_outline_form_read(bly_outline_form_name((BlyOutlineForm)i), &form));
        assert_int_equal(form, i);
    }
}

static void unknown_names_are_refused(void **state) {
    (void)state;
    BlyPartKind kind = BLY_PART_DOT;
    BlyOrigin origin = BLY_FROM_MODEL;
    BlyOutlineForm form = BLY_OUTLINE_FLARED;
    assert_false(bly_part_kind_read("Hook", &kind));
    assert_false(bly_part_kind_read("", &kind));
    assert_false(bly_part_kind_read(NULL, &kind));
    assert_false(bly_origin_read("guess", &origin));
    assert_false(bly_outline_form_read("heart", &form));
    assert_int_equal(kind, BLY_PART_DOT);
    assert_int_equal(origin, BLY_FROM_MODEL);
    assert_int_equal(form, BLY_OUTLINE_FLARED);
    assert_string_equal(bly_part_kind_name(BLY_PART_KINDS), "");
    assert_string_equal(bly_origin_name(BLY_ORIGINS), "");
    assert_string_equal(bly_outline_form_name(BLY_OUTLINE_FORMS), "");
}

/* Common practice, no source: numbers fall as hooks grow down to 1, then 1/0, 2/0 and so on. */
static void hook_ranks_grow_with_the_hook(void **state) {
    (void)state;
    const char *const sizes[] = {"24", "18", "14", "12", "10",  "8",   "7",   "6",   "5",
                                 "4",  "3",  "2",  "1",  "1/0", "2/0", "3/0", "9/0", "10/0"};
    int last = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        int rank = bly_hook_rank(sizes[i]);
        assert_true(rank > last);
        last = rank;
        char back[8];
        bly_hook_size(rank, back);
        assert_string_equal(back, sizes[i]);
    }
    assert_int_equal(bly_hook_rank("1/0"), bly_hook_rank("1") + 1);
}

static void every_rank_reads_back(void **state) {
    (void)state;
    char size[8];
    for (int rank = 1; rank <= 34; rank++) {
        bly_hook_size(rank, size);
        assert_int_equal(bly_hook_rank(size), rank);
    }
    const int no_rank[] = {0, -1, 35, 1000000};
    for (size_t i = 0; i < 4; i++) {
        bly_hook_size(no_rank[i], size);
        assert_string_equal(size, "");
    }
}

static void no_sizes_have_no_rank(void **state) {
    (void)state;
    const char *const bad[] = {"",   "0",  "25", "-1",   "06",   "6 ",   " 6",         "6/1", "0/0",
                               "1/", "/0", "x",  "1//0", "11/0", "1/00", "4294967297", "6a"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        if (bly_hook_rank(bad[i]) != 0)
            fail_msg("\"%s\" was taken for a hook size", bad[i]);
    }
    assert_int_equal(bly_hook_rank(NULL), 0);
}

static void surer_origins_give_less(void **state) {
    (void)state;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        double last = 0;
        for (int origin = 0; origin < BLY_ORIGINS; origin++) {
            double give = bly_origin_give((BlyOrigin)origin, (BlyPartKind)kind);
            assert_true(give >= last && give <= 0.5);
            assert_true(give > 0 || kind == BLY_PART_OUTLINE);
            last = give;
        }
    }
    assert_true(bly_origin_give(BLY_ORIGINS, BLY_PART_HOOK) == 0);
    assert_true(bly_origin_give(BLY_FROM_MODEL, BLY_PART_KINDS) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_read_back),
        cmocka_unit_test(unknown_names_are_refused),
        cmocka_unit_test(hook_ranks_grow_with_the_hook),
        cmocka_unit_test(every_rank_reads_back),
        cmocka_unit_test(no_sizes_have_no_rank),
        cmocka_unit_test(surer_origins_give_less),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
