/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped catalog: sound by its own check, complete, and its parts go together. What is
 * published of it: test_published.c. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/catalog.h"

static BlyCatalog catalog;

static int load(void **state) {
    (void)state;
    BlyError err = {0};
    if (bly_catalog_shipped(&catalog, &err))
        return 0;
    print_error("%s: %s\n", err.where, err.text);
    return -1;
}

static int unload(void **state) {
    (void)state;
    bly_catalog_release(&catalog);
    return 0;
}

static void print_finding(const BlyFinding *finding, void *user) {
    (void)user;
    print_error("%s %s %s\n", finding->kind, finding->id, finding->text);
}

static void the_check_finds_nothing(void **state) {
    (void)state;
    assert_int_equal(bly_catalog_check(&catalog, print_finding, NULL), 0);
}

static void there_is_enough_to_choose_from(void **state) {
    (void)state;
    size_t of_kind[BLY_PART_KINDS] = {0};
    for (size_t i = 0; i < catalog.part_count; i++)
        of_kind[catalog.parts[i].kind]++;
    const size_t least[BLY_PART_KINDS] = {
        [BLY_PART_EYE] = 20,   [BLY_PART_RING] = 18,  [BLY_PART_HOOK] = 72,
        [BLY_PART_SNAP] = 5,   [BLY_PART_SHEET] = 45, [BLY_PART_OUTLINE] = 16,
        [BLY_PART_STRIP] = 20, [BLY_PART_DOT] = 20,   [BLY_PART_WIRE] = 12,
    };
    for (int kind = 0; kind < BLY_PART_KINDS; kind++)
        assert_true(of_kind[kind] >= least[kind]);
    assert_true(catalog.part_count >= 250);
    assert_true(catalog.material_count >= 50);
}

/* Every figure that balance and fit use is there, whatever the origin. */
static void every_part_is_complete(void **state) {
    (void)state;
    for (size_t i = 0; i < catalog.part_count; i++) {
        const BlyPart *p = &catalog.parts[i];
        assert_non_null(bly_catalog_part(&catalog, p->id));
        assert_true(p->source[0] != '\0' && p->name[0] != '\0');
        if (p->kind == BLY_PART_OUTLINE)
            continue;
        assert_true(p->density.value > 0 && p->density.give > 0);
        assert_between(bly_part_give_share(p), 0.01, 0.35);
        if (p->kind == BLY_PART_SHEET || p->kind == BLY_PART_STRIP)
            continue;
        assert_true(p->mass.value > 0 && p->mass.give > 0 && p->volume > 0);
        double inside = p->kind == BLY_PART_EYE ? p->shank_volume : 0;
        assert_close((p->volume + inside) * p->density.value, p->mass.value, 0, 1e-9);
    }
}

/* Hooks that somebody weighed, five at a time. */
static void weighed_trebles_lie_within_give(void **state) {
    (void)state;
    Table *table = table_read("tests/parts/weighed_trebles.csv");
    for (size_t i = 0; i < table_rows(table); i++) {
        char id[64];
        snprintf(id, sizeof id, "treble-%s-%s", table_text(table, i, "size"),
                 table_text(table, i, "grade"));
        const BlyPart *hook = bly_catalog_part(&catalog, id);
        assert_non_null(hook);
        assert_close(table_number(table, i, "mean_g") * 1e-3, hook->mass.value, hook->mass.give, 0);
    }
    table_free(table);
}

/* Common practice, no source: a ring of a number hangs on hooks that it is sold for. */
static void rings_go_with_hooks_and_eyes(void **state) {
    (void)state;
    const char *const chains[][3] = {
        {"screw-eye-1.0-10", "ring-2", "treble-8-medium"},
        {"twisted-eye-1.04-15", "ring-3", "treble-6-medium"},
        {"twisted-eye-1.04-15", "ring-4", "treble-4-medium"},
        {"screw-eye-1.83-19", "ring-5", "treble-2-stout"},
        {"screw-eye-2.34-25", "ring-6", "treble-1-0-medium"},
        {"twisted-eye-1.04-15", "ring-4", "single-1-0-medium"},
    };
    for (size_t i = 0; i < sizeof chains / sizeof chains[0]; i++) {
        const BlyPart *eye = bly_catalog_part(&catalog, chains[i][0]);
        const BlyPart *ring = bly_catalog_part(&catalog, chains[i][1]);
        const BlyPart *hook = bly_catalog_part(&catalog, chains[i][2]);
        if (eye == NULL || ring == NULL || hook == NULL)
            fail_msg("chain %zu is not in the catalog", i);
        BlyError why = {0};
        if (!bly_fits_ring_eye(ring, eye, &why) || !bly_fits_ring_hook(ring, hook, &why))
            fail_msg("%s", why.text);
    }
    BlyError why = {0};
    assert_false(bly_fits_ring_hook(bly_catalog_part(&catalog, "ring-6"),
                                    bly_catalog_part(&catalog, "treble-8-fine"), &why));
    assert_int_equal(why.code, BLY_E_CONFLICT);
}

/* No hook and no ring may be left without a partner. */
static void nobody_is_left_over(void **state) {
    (void)state;
    for (size_t i = 0; i < catalog.part_count; i++) {
        const BlyPart *p = &catalog.parts[i];
        if (p->kind != BLY_PART_HOOK && p->kind != BLY_PART_RING)
            continue;
        int partners = 0;
        for (size_t j = 0; j < catalog.part_count; j++) {
            const BlyPart *q = &catalog.parts[j];
            if (p->kind == BLY_PART_HOOK && q->kind == BLY_PART_RING)
                partners += bly_fits_ring_hook(q, p, NULL) ? 1 : 0;
            if (p->kind == BLY_PART_RING && q->kind == BLY_PART_EYE)
                partners += bly_fits_ring_eye(p, q, NULL) ? 1 : 0;
        }
        if (partners == 0)
            fail_msg("%s goes with nothing", p->id);
    }
}

/* Within a size, thicker wire weighs more; within a grade, a larger size does. */
static void hooks_grow_with_size_and_wire(void **state) {
    (void)state;
    for (size_t i = 0; i < catalog.part_count; i++) {
        for (size_t j = 0; j < catalog.part_count; j++) {
            const BlyPart *a = &catalog.parts[i], *b = &catalog.parts[j];
            if (a->kind != BLY_PART_HOOK || b->kind != BLY_PART_HOOK ||
                strcmp(a->style, b->style) != 0)
                continue;
            if (a->size_rank == b->size_rank && a->wire < b->wire)
                assert_true(a->mass.value < b->mass.value);
            if (a->size_rank < b->size_rank && strcmp(a->grade, b->grade) == 0)
                assert_true(a->mass.value < b->mass.value);
        }
    }
}

static void lead_is_said(void **state) {
    (void)state;
    size_t with = 0;
    for (size_t i = 0; i < catalog.part_count; i++) {
        const BlyPart *p = &catalog.parts[i];
        bool named = strstr(p->id, "lead") != NULL;
        if (named != p->lead)
            fail_msg("%s: lead is %s", p->id, p->lead ? "said" : "not said");
        with += p->lead ? 1 : 0;
    }
    assert_true(with >= 10 && catalog.part_count - with >= 240);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_check_finds_nothing),
        cmocka_unit_test(there_is_enough_to_choose_from),
        cmocka_unit_test(every_part_is_complete),
        cmocka_unit_test(weighed_trebles_lie_within_give),
        cmocka_unit_test(rings_go_with_hooks_and_eyes),
        cmocka_unit_test(nobody_is_left_over),
        cmocka_unit_test(hooks_grow_with_size_and_wire),
        cmocka_unit_test(lead_is_said),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
