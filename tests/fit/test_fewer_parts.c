/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Thousands of parts and of candidates: what is left out, by its own rule worked anew for every
 * pair, and thinning early against thinning at the end. */
#include "support/check.h"
#include "support/dice.h"
#include "fit/candidates.h"
#include "fit/fewer_parts.h"

enum { PARTS = 3000 };

static void ring_id(size_t i, char id[16]) {
    (void)snprintf(id, 16, "r%05u", (unsigned)i % 100000);
}

/* Rings of a few hundred sorts, many alike, some dearer than others. */
static void make_rings(BlyPart *parts, char ids[][16], size_t count) {
    Dice dice = {7};
    memset(parts, 0, count * sizeof *parts);
    for (size_t i = 0; i < count; i++) {
        ring_id(i, ids[i]);
        BlyPart *p = &parts[i];
        p->kind = BLY_PART_RING;
        p->id = ids[i];
        p->mass.value = 1e-5 * floor(dice_between(&dice, 4, 24));
        p->volume = NAN;
        p->passes = 1e-4 * floor(dice_between(&dice, 8, 16));
        p->price = dice_between(&dice, 0, 1) < 0.2 ? NAN : floor(dice_between(&dice, 0, 5)) / 100;
        p->density.value = p->wire = p->outer = p->length = p->shank = p->bore = NAN;
        p->thickness = p->width = p->root_width = p->root_length = p->thinnest = NAN;
        p->length_least = p->length_most = NAN;
    }
}

static bool alike(const BlyPart *a, const BlyPart *b) {
    return fabs(a->mass.value - b->mass.value) < 1e-9 && fabs(a->passes - b->passes) < 1e-9;
}

static double price(const BlyPart *p) {
    return isfinite(p->price) ? p->price : 0;
}

static void one_of_those_alike(void **state) {
    (void)state;
    static BlyPart parts[PARTS];
    static char ids[PARTS][16];
    make_rings(parts, ids, PARTS);
    BlyBuild build = {.limits = {.changes_most = -1, .price_most = NAN}};
    BlyCatalog catalog = {.parts = parts, .part_count = PARTS};
    const BlyPart *stays = &parts[PARTS - 1], **left;
    size_t count;
    assert_true(fit_fewer_parts(&build, &catalog, BLY_PART_RING, stays, &left, &count, NULL));
    assert_between((double)count, 100, 20 * 8 + 1);
    for (size_t i = 1; i < count; i++)
        assert_true(left[i] > left[i - 1]);
    bool there[PARTS] = {false};
    for (size_t i = 0; i < count; i++)
        there[left[i] - parts] = true;
    assert_true(there[PARTS - 1]);
    for (size_t i = 0; i < PARTS; i++) {
        bool bettered = false;
        for (size_t j = 0; j < PARTS; j++) {
            bool better = price(&parts[j]) < price(&parts[i]) ||
                          (price(&parts[j]) <= price(&parts[i]) && j < i);
            bettered = bettered || (j != i && better && alike(&parts[i], &parts[j]));
        }
        assert_int_equal(there[i], !bettered || i == PARTS - 1);
    }
    free(left);
}

static void few_are_left_alone(void **state) {
    (void)state;
    static BlyPart parts[FIT_PARTS_MOST + 1];
    static char ids[FIT_PARTS_MOST + 1][16];
    make_rings(parts, ids, FIT_PARTS_MOST + 1);
    BlyBuild build = {.limits = {.changes_most = -1, .price_most = NAN}};
    const BlyPart **left;
    size_t count;
    BlyCatalog catalog = {.parts = parts, .part_count = FIT_PARTS_MOST};
    assert_true(fit_fewer_parts(&build, &catalog, BLY_PART_RING, NULL, &left, &count, NULL));
    assert_int_equal(count, FIT_PARTS_MOST);
    free(left);
    catalog.part_count++;
    assert_true(fit_fewer_parts(&build, &catalog, BLY_PART_RING, NULL, &left, &count, NULL));
    assert_true(count < FIT_PARTS_MOST);
    free(left);
}

static Candidate made_up(Dice *dice) {
    double m = dice_between(dice, 0, 2), x = dice_between(dice, 20, 22);
    return (Candidate){.lump = {.m = m, .mx = m * x},
                       .cost = floor(dice_between(dice, 0, 4)) / 50,
                       .pieces = (int)dice_between(dice, 0, 1000)};
}

static void thinning_early_changes_nothing(void **state) {
    (void)state;
    enum { MANY = 120000, KEPT = 100 };
    CandidateSet late = {.at = calloc(MANY, sizeof(Candidate))};
    CandidateSet early = {.at = calloc(MANY, sizeof(Candidate))};
    size_t longest = 0;
    Dice dice = {11};
    assert_non_null(late.at);
    assert_non_null(early.at);
    for (size_t i = 0; i < MANY; i++) {
        Candidate c = made_up(&dice);
        late.at[late.count++] = c;
        early.at[early.count++] = c;
        assert_true(candidates_thin_early(&early, KEPT, 0.01, NULL));
        longest = early.count > longest ? early.count : longest;
    }
    assert_true(candidates_thin(&late, KEPT, 0.01, NULL));
    assert_true(candidates_thin(&early, KEPT, 0.01, NULL));
    assert_true(longest < MANY / 4);
    assert_int_equal(early.count, late.count);
    assert_between((double)late.count, 400, 1000);
    for (size_t i = 0; i < late.count; i++) {
        assert_true(early.at[i].lump.m >= late.at[i].lump.m &&
                    early.at[i].lump.m <= late.at[i].lump.m);
        assert_int_equal(early.at[i].pieces, late.at[i].pieces);
    }
    candidates_release(&late);
    candidates_release(&early);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_of_those_alike),
        cmocka_unit_test(few_are_left_alone),
        cmocka_unit_test(thinning_early_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
