/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A maker's box as CSV. Laws: like bodies weigh as the cube of their sizes, so the wire model of
 * docs/parts.md, put to a part that was scaled, gives the mass on the scale again; what is known
 * keeps its sizes; a list changes all or nothing. Lists and masses are invented. */
#include "lure/kit.h"
#include "ballastry/catalog.h"

#include <string.h>

static BlyCatalog shipped_with(const char *list) {
    BlyCatalog catalog = {0};
    BlyError found = {0};
    must(bly_catalog_shipped(&catalog, err));
    if (!bly_catalog_read_box(&catalog, list, strlen(list), &found))
        fail_msg("%s: %s in %s", found.where, found.text, list);
    return catalog;
}

static const BlyPart *part(const BlyCatalog *catalog, const char *id) {
    const BlyPart *found = bly_catalog_part(catalog, id);
    if (found == NULL)
        fail_msg("no part %s", id);
    return found;
}

static void lists_as_makers_write_them(void **state) {
    (void)state;
    static const char *const lists[] = {
        "id,count,mass\ntreble-6-medium,12,0.55\n", "mass;id;count\n0,55;treble-6-medium;12\n",
        "# my box\nCount\tID\tMass (mg)\n# spring\n12\ttreble-6-medium\t550\n",
        "Part,Weight,Pieces,weighed\ntreble-6-medium,2.75 g,12,5\n",
        "\xef\xbb\xbf\"id\";\"mass in g\";\"pieces\"\r\n\"treble-6-medium\";\"0,55\";\"12\"\r\n"};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        BlyCatalog catalog = shipped_with(lists[i]);
        const BlyPart *hook = part(&catalog, "treble-6-medium");
        assert_close(hook->mass.value, 0.55e-3, 0, 1e-12);
        assert_close(hook->mass.give, 0.05 * 0.55e-3, 0, 1e-12); /* docs/parts.md: weighed, 5 % */
        assert_true(hook->in_box == 12.0 && hook->origin == BLY_FROM_MEASURED);
        assert_true(bly_catalog_has_box(&catalog));
        bly_catalog_release(&catalog);
    }
}

static void counts_alone_leave_the_part_as_it_was(void **state) {
    (void)state;
    BlyCatalog plain = {0}, catalog = shipped_with("id,count\nring-3,20\nring-4,\nring-5,0\n"
                                                   "copper-wire-0.5,1.5 m\n");
    must(bly_catalog_shipped(&plain, err));
    assert_false(bly_catalog_has_box(&plain));
    const BlyPart *was = part(&plain, "ring-3"), *is = part(&catalog, "ring-3");
    assert_true(is->mass.value == was->mass.value && is->origin == was->origin);
    assert_string_equal(is->source, was->source);
    assert_true(is->in_box == 20.0 && isinf(part(&catalog, "ring-4")->in_box));
    assert_true(part(&catalog, "ring-5")->in_box == 0.0);
    assert_close(part(&catalog, "copper-wire-0.5")->in_box, 1.5, 0, 1e-12);
    assert_true(isnan(part(&catalog, "ring-6")->in_box));
    bly_catalog_release(&plain);
    bly_catalog_release(&catalog);
}

/* m = rho (pi/4) d^2 L: with all lengths times s it is s^3 m. */
static void new_parts_keep_the_model(void **state) {
    (void)state;
    static const struct {
        const char *line, *id, *like;
        double mass; /* kg */
    } rows[] = {
        {"hook,6,treble,medium,,0.60,", "box-treble-6-medium", "treble-6-medium", 0.60e-3},
        /* both shanks are of that number and grade; the short one, 0.377 g, is nearer than 0.408 g
         */
        {"treble,8,,stout,steel,0.36,4", "box-treble-8-stout-steel", "treble-8-short-stout",
         0.36e-3},
        {"single,2,,,,0.30,", "box-single-2", NULL, 0.30e-3},
        {"split ring,4,,,,0.20,9", "box-ring-4", NULL, 0.20e-3},
        {"screw eye,1.0 x 13,,,stainless,0.15,", "box-screw-1.0-x-13-stainless", NULL, 0.15e-3},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char list[200];
        (void)snprintf(list, sizeof list, "kind,size,style,grade,material,mass,count\n%s\n",
                       rows[i].line);
        BlyCatalog catalog = shipped_with(list);
        const BlyPart *is = part(&catalog, rows[i].id);
        assert_close(is->mass.value, rows[i].mass, 0, 1e-12);
        if (is->kind != BLY_PART_EYE) /* an eye's wire and shank are as said, not scaled */
            assert_close(bly_part_model_mass(is, bly_catalog_material(&catalog, is->material)),
                         rows[i].mass, 0, 0.02);
        assert_non_null(strstr(is->source, "sizes of "));
        if (is->kind != BLY_PART_EYE) /* of an eye the shank is in the wood */
            assert_close(is->volume, rows[i].mass / is->density.value, 0, 1e-9);
        if (rows[i].like != NULL) {
            const BlyPart *was = part(&catalog, rows[i].like);
            double s = cbrt(rows[i].mass / was->mass.value);
            assert_close(is->wire, s * was->wire, 0, 1e-9);
            assert_close(is->gape, s * was->gape, 0, 1e-9);
            assert_close(is->length, s * was->length, 0, 1e-9);
            assert_int_equal(is->size_rank, was->size_rank);
        }
        assert_int_equal(
            bly_part_check(is, bly_catalog_material(&catalog, is->material), NULL, NULL), 0);
        bly_catalog_release(&catalog);
    }
}

/* Brass is denser than steel: the same mass in smaller sizes. */
static void another_metal_is_thought_of(void **state) {
    (void)state;
    BlyCatalog catalog = shipped_with("kind;size;material;mass\nring;4;brass;0,18\n");
    const BlyPart *is = part(&catalog, "box-ring-4-brass");
    double brass = bly_catalog_material(&catalog, "brass")->density.value;
    assert_close(is->density.value, brass, 0, 1e-12);
    assert_close(is->volume, 0.18e-3 / brass, 0, 1e-9);
    assert_close(bly_part_model_mass(is, bly_catalog_material(&catalog, "brass")), 0.18e-3, 0,
                 0.02);
    bly_catalog_release(&catalog);
}

static void sheets_are_cut_by_gauge(void **state) {
    (void)state;
    BlyCatalog catalog = shipped_with("kind,size,material,count\nsheet,0.9,brass,1\n"
                                      "tape,0.5 x 8,tungsten-tape,2 m\n");
    const BlyPart *sheet = part(&catalog, "box-sheet-0.9-brass");
    assert_close(sheet->thickness, 0.9e-3, 0, 1e-12);
    assert_true(sheet->thinnest <= sheet->thickness && isnan(sheet->mass.value));
    const BlyPart *tape = part(&catalog, "box-strip-0.5-x-8-tungsten-tape");
    assert_close(tape->width, 8e-3, 0, 1e-12);
    assert_close(tape->in_box, 2.0, 0, 1e-12);
    bly_catalog_release(&catalog);
}

static void what_is_wrong_is_said_where(void **state) {
    (void)state;
    static const struct {
        const char *list, *where, *words;
        BlyCode code;
    } rows[] = {
        {"", "line 1, column 1", "header row", BLY_E_MISSING},
        {"mass,count\n1,2\n", "line 1, column 1", "must name", BLY_E_MISSING},
        {"id,colour\nring-3,red\n", "line 1, column 2", "no column", BLY_E_UNKNOWN},
        {"id,count,count\nring-3,1,1\n", "line 1, column 3", "twice", BLY_E_CONFLICT},
        {"id,count\nring-33,1\n", "line 2, column 1", "did you mean \"ring-3", BLY_E_UNKNOWN},
        {"id,count\nring-3,-1\n", "line 2, column 2", "a count", BLY_E_RANGE},
        {"id,count\nring-3,two\n", "line 2, column 2", "a count", BLY_E_RANGE},
        {"id,count\nring-3,1\n\nring-3,2\n", "line 4, column 1", "twice", BLY_E_CONFLICT},
        {"id,mass\nring-3,-1 g\n", "line 2, column 2", "", BLY_E_RANGE},
        {"id,mass\nbrass-0.6,1 g\n", "line 2, column 2", "gauge", BLY_E_CONFLICT},
        {"kind,size,mass\nhook,6,\n", "line 2, column 3", "mass", BLY_E_MISSING},
        {"kind,size,mass\nhook,,1\n", "line 2, column 1", "size", BLY_E_MISSING},
        {"kind,size,mass\nhok,6,1\n", "line 2, column 1", "no such kind", BLY_E_UNKNOWN},
        {"kind,size,mass\nhook,6,55 g\n", "line 2, column 2", "one piece", BLY_E_CONFLICT},
        {"kind,size,mass\nhook,23,1\n", "line 2, column 2", "nearest", BLY_E_UNKNOWN},
        {"kind,size,material,mass\nring,4,bras,1\n", "line 2, column 3", "\"brass\"",
         BLY_E_UNKNOWN},
        {"kind,size,material\nsheet,0.8,\n", "line 2, column 1", "needs its material",
         BLY_E_MISSING},
        {"id,kind,size,mass\nMine 6,hook,6,0.5\n", "line 2, column 1", "a-z", BLY_E_SYNTAX},
        {"id,count\nring-3,1,5\n", "line 2, column 3", "3 columns", BLY_E_SYNTAX},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyCatalog catalog = {0};
        BlyError found = {0};
        must(bly_catalog_shipped(&catalog, err));
        size_t parts = catalog.part_count;
        if (bly_catalog_read_box(&catalog, rows[i].list, strlen(rows[i].list), &found))
            fail_msg("row %zu was read", i);
        if (found.code != rows[i].code || strcmp(found.where, rows[i].where) != 0 ||
            strstr(found.text, rows[i].words) == NULL)
            fail_msg("row %zu: %d %s: %s", i, (int)found.code, found.where, found.text);
        assert_int_equal(catalog.part_count, parts);
        assert_false(bly_catalog_has_box(&catalog));
        bly_catalog_release(&catalog);
    }
}

static void a_catalog_may_list_the_box(void **state) {
    (void)state;
    static const char text[] = "{\"ballastry_catalog\": 1, \"box\": [{\"id\": \"ring-3\", "
                               "\"count\": 4}, {\"id\": \"ring-4\"}]}";
    static const char bad[] = "{\"ballastry_catalog\": 1, \"box\": [{\"id\": \"rng-3\"}]}";
    BlyCatalog catalog = {0};
    BlyError found = {0};
    must(bly_catalog_shipped(&catalog, err));
    assert_false(bly_catalog_read_json(&catalog, bad, sizeof bad - 1, &found));
    assert_string_equal(found.where, "/box/0/id");
    must(bly_catalog_read_json(&catalog, text, sizeof text - 1, err));
    assert_true(part(&catalog, "ring-3")->in_box == 4.0 && isinf(part(&catalog, "ring-4")->in_box));
    bly_catalog_release(&catalog);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lists_as_makers_write_them),
        cmocka_unit_test(counts_alone_leave_the_part_as_it_was),
        cmocka_unit_test(new_parts_keep_the_model),
        cmocka_unit_test(another_metal_is_thought_of),
        cmocka_unit_test(sheets_are_cut_by_gauge),
        cmocka_unit_test(what_is_wrong_is_said_where),
        cmocka_unit_test(a_catalog_may_list_the_box),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
