/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hooks and rings as families: along the sizes of one style and grade everything grows, evenly; and
 * facts of the trade about them, with their source. No standard fixes a hook's size. */
#include "support/check.h"
#include "ballastry/catalog.h"

static BlyCatalog catalog;

static int load(void **state) {
    (void)state;
    BlyError err = {0};
    return bly_catalog_shipped(&catalog, &err) ? 0 : -1;
}

static int unload(void **state) {
    (void)state;
    bly_catalog_release(&catalog);
    return 0;
}

static const BlyPart *hook_of(const char *style, int rank, const char *more, const char *grade) {
    char size[8], id[64];
    bly_hook_size(rank, size);
    if (strchr(size, '/') != NULL)
        *strchr(size, '/') = '-';
    snprintf(id, sizeof id, "%s-%s%s-%s", style, size, more, grade);
    return bly_catalog_part(&catalog, id);
}

/* One number up, no size of a hook falls or leaps: a number is a step of some twelfth to a sixth in
 * length (numbers that are left out, 9 and 11 and so on, count as steps). Mass goes with about the
 * cube. Common practice, no source: catalogs of hooks print such rows. */
static void hold_step(const BlyPart *small, const BlyPart *large) {
    double steps = large->size_rank - small->size_rank;
    const struct {
        const char *what;
        double ratio, least, most;
    } held[] = {{"length", large->length / small->length, 1.06, 1.14},
                {"gape", large->gape / small->gape, 1.06, 1.14},
                {"wire", large->wire / small->wire, 1.04, 1.13},
                {"bore", large->bore / small->bore, 1.04, 1.13},
                {"mass", large->mass.value / small->mass.value, 1.18, 1.42}};
    for (size_t i = 0; i < sizeof held / sizeof held[0]; i++) {
        double one = pow(held[i].ratio, 1 / steps);
        if (!(one >= held[i].least && one <= held[i].most))
            fail_msg("%s to %s: %s grows by %.3f a number", small->id, large->id, held[i].what,
                     one);
    }
}

static int hold_family(const char *style, const char *more, const char *grade) {
    const BlyPart *before = NULL;
    int count = 0;
    for (int rank = 1; rank <= 34; rank++) {
        const BlyPart *hook = hook_of(style, rank, more, grade);
        if (hook == NULL)
            continue;
        assert_int_equal(hook->size_rank, rank);
        if (before != NULL)
            hold_step(before, hook);
        before = hook;
        count++;
    }
    return count;
}

static void sizes_grow_evenly(void **state) {
    (void)state;
    static const char *const grades[] = {"fine", "medium", "stout", "extra"};
    for (int i = 0; i < 4; i++)
        assert_int_equal(hold_family("treble", "", grades[i]), 18);
    for (int i = 0; i < 3; i++)
        assert_int_equal(hold_family("single", "", grades[i]), 15);
    for (int i = 1; i < 3; i++)
        assert_int_equal(hold_family("treble", "-short", grades[i]), 10);
}

static void sizes_run_from_18_to_5_0(void **state) {
    (void)state;
    static const char *const styles[] = {"treble", "single"};
    for (int i = 0; i < 2; i++) {
        assert_non_null(hook_of(styles[i], bly_hook_rank("18"), "", "medium"));
        assert_non_null(hook_of(styles[i], bly_hook_rank("5/0"), "", "medium"));
    }
}

/* Short shanks reach 2 to 4 mm less in the sizes 8 to 2 (makers' pages on tangling hooks); gape,
 * wire and eye are the usual ones. */
static void short_shanks_are_only_shorter(void **state) {
    (void)state;
    int met = 0;
    for (int rank = 1; rank <= 34; rank++) {
        const BlyPart *one = hook_of("treble", rank, "-short", "medium");
        const BlyPart *usual = hook_of("treble", rank, "", "medium");
        if (one == NULL)
            continue;
        assert_true(one->gape == usual->gape && one->wire == usual->wire);
        assert_true(one->bore == usual->bore && one->mass.value < usual->mass.value);
        double less = (usual->length - one->length) * 1e3;
        print_message("%s is %.1f mm shorter\n", one->id, less);
        if (rank >= bly_hook_rank("8") && rank <= bly_hook_rank("2"))
            assert_between(less, 1.9, 4.0), met++;
    }
    assert_int_equal(met, 7);
}

/* An angler's published list of hooks weighed in fives: a stout short-shanked treble 8, 0.336 g. */
static void a_short_treble_weighs_what_was_weighed(void **state) {
    (void)state;
    const BlyPart *hook = bly_catalog_part(&catalog, "treble-8-short-stout");
    assert_non_null(hook);
    assert_close(hook->mass.value, 0.336e-3, hook->mass.give, 0);
}

/* Singles in place of trebles, nearest by weight: three pages, two even numbers up to four (treble
 * 12 by single 8, 10 by 6, 6 by 1). */
static void singles_stand_in_for_trebles_of_their_weight(void **state) {
    (void)state;
    static const char *const pairs[][2] = {{"12", "8"}, {"10", "6"}, {"6", "1"}};
    for (size_t i = 0; i < 3; i++) {
        const BlyPart *treble = hook_of("treble", bly_hook_rank(pairs[i][0]), "", "medium");
        const BlyPart *best = NULL;
        for (int rank = 1; rank <= 34; rank++) {
            const BlyPart *s = hook_of("single", rank, "", "medium");
            if (s != NULL && (best == NULL || fabs(s->mass.value - treble->mass.value) <
                                                  fabs(best->mass.value - treble->mass.value)))
                best = s;
        }
        print_message("%s: %s\n", treble->id, best->id);
        assert_string_equal(best->size, pairs[i][1]);
    }
}

/* Rings by number: pages of makers hang 14 on 00 to 0, 12 on 0 to 1, 10 on 1, 8 on 2, 6 and 5 on 3,
 * 4 and 3 on 4, 2 on 5, 1/0 on 6. It is the middle one of those that name the hook, the lower of
 * two. */
static void the_middle_ring_is_the_usual_one(void **state) {
    (void)state;
    static const char *const usual[][2] = {{"12", "0"}, {"10", "1"}, {"8", "2"},
                                           {"6", "3"},  {"5", "3"},  {"4", "4"},
                                           {"3", "4"},  {"2", "5"},  {"1/0", "6"}};
    static const char *const numbers[] = {"000", "00", "0", "1", "2", "3", "4", "5", "6", "7", "8"};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        const BlyPart *hook = hook_of("treble", bly_hook_rank(usual[i][0]), "", "medium");
        const char *taken[11];
        size_t count = 0;
        for (size_t n = 0; n < 11; n++) {
            char id[32];
            snprintf(id, sizeof id, "ring-%s", numbers[n]);
            const BlyPart *ring = bly_catalog_part(&catalog, id);
            assert_non_null(ring);
            if (ring->hook_rank_low <= hook->size_rank && hook->size_rank <= ring->hook_rank_high)
                taken[count++] = numbers[n];
        }
        assert_true(count > 0);
        print_message("%s\n", hook->id);
        assert_string_equal(taken[(count - 1) / 2], usual[i][1]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes_grow_evenly),
        cmocka_unit_test(sizes_run_from_18_to_5_0),
        cmocka_unit_test(short_shanks_are_only_shorter),
        cmocka_unit_test(a_short_treble_weighs_what_was_weighed),
        cmocka_unit_test(singles_stand_in_for_trebles_of_their_weight),
        cmocka_unit_test(the_middle_ring_is_the_usual_one),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
