/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the programme takes a strip or dots for is what the lure room makes of them: cells added up
 * along the line against the piece laid at once, under thick coats, on a bent belly. The build is
 * invented; what is checked is that chooser and checker speak of one lure. */
#include "support/check.h"
#include "support/shipped.h"
#include "fit/candidates.h"

static const char text[] =
    "{ \"ballastry\": 1, \"name\": \"columns\", \"water\": { \"temperature\": \"12 C\" },"
    "\"body\": { \"stations\": [ { \"x\": 0, \"width\": 0, \"height\": 0 },"
    "{ \"x\": 20, \"width\": 12, \"height\": 16, \"centre\": 1 },"
    "{ \"x\": 55, \"width\": 13, \"height\": 15, \"centre\": -1 },"
    "{ \"x\": 95, \"width\": 4, \"height\": 5 } ], \"section\": 2.4,"
    "\"material\": { \"density\": \"0.60 g/cm3\", \"give\": \"0.02 g/cm3\" },"
    "\"coats\": [ { \"material\": \"epoxy\", \"thickness\": 0.9 } ] },"
    "\"seats\": {"
    "\"keel\": { \"kind\": \"patch\", \"x\": [20, 50], \"side\": \"belly\", \"open\": [\"strip\", "
    "\"dot\"] },"
    "\"spine\": { \"kind\": \"patch\", \"x\": [8, 40], \"side\": \"back\", \"open\": [\"strip\", "
    "\"dot\"] } },"
    "\"target\": { \"state\": \"sink\" } }";

static Lump laid_at_once(const BlyBuild *build, int seat, const BlyChoice *choice) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    BlyError err = {0};
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, choice, items, &count, &err))
        fail_msg("%s: %s", err.where, err.text);
    return lump_of_items(items, count);
}

static void columns_are_the_lure(void **state) {
    (void)state;
    BlyError err = {0};
    BlyBuild *build = NULL;
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_close(build->blank.coat_thickness, 0.9e-3, 1e-12, 0);
    for (int seat = 0; seat < 2; seat++) {
        CandidateSet set = {.seat = seat};
        size_t strips = 0, dots = 0;
        unsigned open = 1u << BLY_PART_STRIP | 1u << BLY_PART_DOT;
        assert_true(patch_candidates(build, &catalog, seat, open, &set, &err));
        for (size_t i = 0; i < set.count; i++) {
            const Candidate *column = &set.at[i];
            if (bly_choice_is_empty(&column->choice))
                continue;
            Lump once = laid_at_once(build, seat, &column->choice), sum = column->lump;
            strips += column->choice.of[BLY_PART_STRIP].part != NULL;
            dots += column->choice.of[BLY_PART_DOT].part != NULL;
            assert_close(sum.m, once.m, 1e-6, 1e-3);
            assert_close(sum.v, once.v, 1e-7, 1e-3);
            /* a place to 0.1 mm lengthwise, to 0.03 mm of height: a thick strip on a steep line is
             * longer where the line turns */
            assert_close(sum.mx / sum.m, once.mx / once.m, 0.1, 0);
            assert_close(sum.mz / sum.m, once.mz / once.m, 0.03, 0);
            assert_close(sum.vx / sum.v, once.vx / once.v, 0.1, 0);
            assert_close(sum.vz / sum.v, once.vz / once.v, 0.03, 0);
            /* the coat lies between the two, square to the skin, which leans at a wide strip's
             * edges */
            double off = fabs(once.vz / once.v) - fabs(once.mz / once.m);
            assert_between(off, 0.3, 0.92);
        }
        assert_true(strips > 100 && dots > 20);
        candidates_release(&set);
    }
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(columns_are_the_lure)};
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
