/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "ballastry/parts.h"

static BlyPart part_named(const char *id, BlyPartKind kind) {
    BlyPart part = bly_part_blank(kind);
    part.id = (char *)(uintptr_t)id;
    return part;
}

static void put(BlyCatalog *catalog, const char *id, BlyPartKind kind, double mass) {
    BlyPart part = part_named(id, kind);
    part.mass.value = mass;
    BlyError err = {0};
    assert_true(bly_catalog_put_part(catalog, &part, &err));
}

static void put_material(BlyCatalog *catalog, const char *id, double density) {
    BlyMaterial material = bly_material_blank();
    material.id = (char *)(uintptr_t)id;
    material.density.value = density;
    BlyError err = {0};
    assert_true(bly_catalog_put_material(catalog, &material, &err));
}

static void an_empty_catalog_is_valid(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    assert_null(bly_catalog_part(&catalog, "x"));
    assert_null(bly_catalog_part(&catalog, NULL));
    assert_null(bly_catalog_material(&catalog, "x"));
    assert_null(bly_catalog_nearest_part(&catalog, "x"));
    assert_null(bly_catalog_nearest_material(&catalog, "x"));
    bly_catalog_sort(&catalog);
    bly_catalog_complete(&catalog);
    bly_catalog_release(&catalog);
    bly_catalog_release(&catalog);
}

static void records_are_copied_and_replaced(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    char id[] = "hook-a";
    put(&catalog, id, BLY_PART_HOOK, 1);
    id[5] = 'b'; /* the caller's text may change */
    put(&catalog, id, BLY_PART_HOOK, 2);
    put(&catalog, "hook-a", BLY_PART_RING, 3);
    assert_int_equal(catalog.part_count, 2);
    const BlyPart *a = bly_catalog_part(&catalog, "hook-a");
    assert_non_null(a);
    assert_close(a->mass.value, 3, 0, 0);
    assert_int_equal(a->kind, BLY_PART_RING);
    assert_string_equal(a->name, ""); /* never NULL in a catalog */
    put_material(&catalog, "brass", 8500);
    put_material(&catalog, "brass", 8400);
    assert_int_equal(catalog.material_count, 1);
    assert_close(bly_catalog_material(&catalog, "brass")->density.value, 8400, 0, 0);
    bly_catalog_release(&catalog);
}

static void a_record_may_be_put_back_from_the_catalog_itself(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    put(&catalog, "a", BLY_PART_HOOK, 1);
    BlyError err = {0};
    assert_true(bly_catalog_put_part(&catalog, bly_catalog_part(&catalog, "a"), &err));
    assert_int_equal(catalog.part_count, 1);
    assert_string_equal(catalog.parts[0].id, "a");
    bly_catalog_release(&catalog);
}

static void sorted_by_kind_and_id(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    const char *const ids[] = {"z", "b", "a", "y"};
    const BlyPartKind kinds[] = {BLY_PART_EYE, BLY_PART_WIRE, BLY_PART_WIRE, BLY_PART_RING};
    for (int i = 0; i < 4; i++)
        put(&catalog, ids[i], kinds[i], i);
    put_material(&catalog, "tin", 7300);
    put_material(&catalog, "lead", 11340);
    bly_catalog_sort(&catalog);
    const char *const want[] = {"z", "y", "a", "b"};
    for (int i = 0; i < 4; i++) {
        assert_string_equal(catalog.parts[i].id, want[i]);
        assert_ptr_equal(bly_catalog_part(&catalog, want[i]), &catalog.parts[i]);
    }
    assert_string_equal(catalog.materials[0].id, "lead");
    assert_ptr_equal(bly_catalog_material(&catalog, "tin"), &catalog.materials[1]);
    bly_catalog_release(&catalog);
}

static void bad_ids_are_refused(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    const char *const bad[] = {NULL, "", "Hook", "a b", "a_b", "a/b", "-a", ".a", "\xc3\xa4"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyError err = {0};
        BlyPart part = part_named(bad[i], BLY_PART_HOOK);
        assert_false(bly_catalog_put_part(&catalog, &part, &err));
        assert_int_equal(err.code, BLY_E_SYNTAX);
        assert_string_equal(err.where, "/id");
        BlyMaterial material = bly_material_blank();
        material.id = part.id;
        assert_false(bly_catalog_put_material(&catalog, &material, &err));
        assert_int_equal(err.code, BLY_E_SYNTAX);
    }
    assert_int_equal(catalog.part_count, 0);
    bly_catalog_release(&catalog);
}

/* A catalog that a test or a caller lays out by hand has no index; look-ups work all the same. */
static void a_hand_made_catalog_is_searched(void **state) {
    (void)state;
    BlyPart parts[2] = {part_named("one", BLY_PART_HOOK), part_named("two", BLY_PART_HOOK)};
    BlyCatalog catalog = {.parts = parts, .part_count = 2};
    assert_ptr_equal(bly_catalog_part(&catalog, "two"), &parts[1]);
    assert_null(bly_catalog_part(&catalog, "three"));
}

static void near_misses_are_suggested(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    const char *const ids[] = {"treble-6-medium", "treble-6-fine", "treble-8-fine", "ring-4",
                               "single-1.0-fine"};
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++)
        put(&catalog, ids[i], BLY_PART_HOOK, 1);
    put_material(&catalog, "basswood", 414);
    put_material(&catalog, "beech", 717);
    const char *const cases[][2] = {
        {"trebel-8-fine", "treble-8-fine"},
        {"treble-6", "treble-6-fine"},
        {"treble-8-fin", "treble-8-fine"},
        {"ring-44", "ring-4"},
        {"ring4", "ring-4"},
        {"Treble-6-medium", "treble-6-medium"},
    };
    for (int order = 0; order < 2; order++) {
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
            assert_string_equal(bly_catalog_nearest_part(&catalog, cases[i][0]), cases[i][1]);
        bly_catalog_sort(&catalog); /* the answer does not hang on the order */
    }
    assert_string_equal(bly_catalog_nearest_material(&catalog, "baswood"), "basswood");
    assert_null(bly_catalog_nearest_material(&catalog, "unobtainium"));
    assert_null(bly_catalog_nearest_part(&catalog, "snap-swivel"));
    assert_null(bly_catalog_nearest_part(&catalog, ""));
    assert_null(bly_catalog_nearest_part(&catalog, NULL));
    char longest[200];
    memset(longest, 'a', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    assert_null(bly_catalog_nearest_part(&catalog, longest));
    put(&catalog, longest, BLY_PART_HOOK, 1);
    assert_null(bly_catalog_nearest_part(&catalog, "aaaa"));
    bly_catalog_release(&catalog);
}

/* Quadratic look-ups would take this test from a fraction of a second to minutes; no clock says so.
 */
static void a_hundred_thousand_parts_are_all_found(void **state) {
    (void)state;
    enum { COUNT = 100000 };
    BlyCatalog catalog = {0};
    char id[32];
    for (size_t i = 0; i < COUNT; i++) {
        snprintf(id, sizeof id, "part-%zu", (i * 7919) % COUNT); /* out of order */
        put(&catalog, id, (BlyPartKind)(i % BLY_PART_KINDS), (double)i);
    }
    bly_catalog_sort(&catalog);
    for (size_t i = 0; i < COUNT; i += 7) {
        snprintf(id, sizeof id, "part-%zu", i);
        assert_non_null(bly_catalog_part(&catalog, id));
    }
    assert_int_equal(catalog.part_count, COUNT);
    bly_catalog_release(&catalog);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_empty_catalog_is_valid),
        cmocka_unit_test(records_are_copied_and_replaced),
        cmocka_unit_test(a_record_may_be_put_back_from_the_catalog_itself),
        cmocka_unit_test(sorted_by_kind_and_id),
        cmocka_unit_test(bad_ids_are_refused),
        cmocka_unit_test(a_hand_made_catalog_is_searched),
        cmocka_unit_test(near_misses_are_suggested),
        cmocka_unit_test(a_hundred_thousand_parts_are_all_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
