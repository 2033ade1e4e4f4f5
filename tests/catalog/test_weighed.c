/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV lists of weighed parts: what they change, and each way in which they can be wrong. */
#include "support/check.h"
#include "ballastry/catalog.h"

static char *text(const char *words) {
    return (char *)(uintptr_t)words;
}

static void put(BlyCatalog *catalog, const char *id, BlyPartKind kind, const char *material) {
    BlyPart part = bly_part_blank(kind);
    part.id = text(id);
    part.origin = BLY_FROM_MODEL;
    part.source = text("a model");
    part.material = text(material);
    part.mass.value = 0.5e-3;
    part.wire = 1e-3;
    part.outer = 5e-3;
    part.length = 12e-3;
    BlyError err = {0};
    assert_true(bly_catalog_put_part(catalog, &part, &err));
}

static BlyCatalog small_catalog(void) {
    BlyCatalog catalog = {0};
    BlyMaterial steel = bly_material_blank();
    steel.id = text("steel");
    steel.density = (BlyFigure){7850, 30};
    BlyError err = {0};
    assert_true(bly_catalog_put_material(&catalog, &steel, &err));
    put(&catalog, "treble-6-medium", BLY_PART_HOOK, "steel");
    put(&catalog, "ring-4", BLY_PART_RING, "steel");
    put(&catalog, "eye-a", BLY_PART_EYE, "steel");
    put(&catalog, "wire-a", BLY_PART_WIRE, "steel");
    put(&catalog, "brass-0.8", BLY_PART_SHEET, "steel");
    bly_catalog_complete(&catalog);
    bly_catalog_sort(&catalog);
    return catalog;
}

static bool read(BlyCatalog *catalog, const char *list, BlyError *err) {
    return bly_catalog_read_csv(catalog, list, strlen(list), err);
}

static void a_list_in_any_order_and_style(void **state) {
    (void)state;
    const char *const lists[] = {
        "id,mass\ntreble-6-medium,0.53 g\n",
        "mass,id\r\n0.53,treble-6-medium",
        "\xef\xbb\xbfid, mass ,note\n\n  treble-6-medium ,\t530 mg , \n\n",
        "\"id\",\"mass\"\n\"treble-6-medium\",\"0.53 g\"\n",
        "id,count,mass\ntreble-6-medium,5,2.65 g\n",
        /* as spreadsheets write them, like caliper lists */
        "ID;Mass (g)\ntreble-6-medium;0,53\n",
        "Id\tMASS [mg]\tNote\ntreble-6-medium\t530\t\n",
        "# box of spring\nid;mass in mg\n# two left out\ntreble-6-medium;530\n",
        "id;mass g;count\r\ntreble-6-medium;2,65;5\r\n",
        "id;mass\ntreble-6-medium;0,53 g\n",
        "id,mass\ntreble-6-medium,\"0,53\"\n",
        "Part,Weight (g),Pieces,Remark\ntreble-6-medium,2.65,5,\n",
        "\"ID\"\t\"Mass (g)\"\n\"treble-6-medium\"\t\"0,53\"\n",
    };
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        BlyCatalog catalog = small_catalog();
        BlyError err = {0};
        if (!read(&catalog, lists[i], &err))
            fail_msg("list %zu: %s: %s", i, err.where, err.text);
        const BlyPart *hook = bly_catalog_part(&catalog, "treble-6-medium");
        assert_close(hook->mass.value, 0.53e-3, 0, 1e-12);
        assert_close(hook->mass.give, 0.05 * 0.53e-3, 0, 1e-12); /* measured: 5 % */
        assert_close(hook->volume, 0.53e-3 / 7850, 0, 1e-12);
        assert_int_equal(hook->origin, BLY_FROM_MEASURED);
        assert_string_equal(hook->source, "the maker's own scale");
        assert_close(bly_catalog_part(&catalog, "ring-4")->mass.value, 0.5e-3, 0, 0);
        bly_catalog_release(&catalog);
    }
}

/* Five hooks of "3 g" together are good to 0.5 g, 0.1 g each; of "2.7 g" to 0.01 g, less than the
 * usual 5 %. */
static void few_digits_widen_the_give(void **state) {
    (void)state;
    const struct {
        const char *list;
        double mass, give;
    } cases[] = {
        {"id,mass\ntreble-6-medium,0.5 g\n", 0.5e-3, 0.05e-3},
        {"id,mass\ntreble-6-medium,0.5\n", 0.5e-3, 0.05e-3},
        {"id,mass\ntreble-6-medium,0.50 g\n", 0.5e-3, 0.025e-3},
        {"id,mass,count\ntreble-6-medium,2.7 g,5\n", 0.54e-3, 0.05 * 0.54e-3},
        {"id,mass,count\ntreble-6-medium,3 g,5\n", 0.6e-3, 0.1e-3},
        {"id,mass,give\ntreble-6-medium,0.5 g,0.01 g\n", 0.5e-3, 0.01e-3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyCatalog catalog = small_catalog();
        BlyError err = {0};
        assert_true(read(&catalog, cases[i].list, &err));
        const BlyPart *hook = bly_catalog_part(&catalog, "treble-6-medium");
        assert_close(hook->mass.value, cases[i].mass, 0, 1e-12);
        assert_close(hook->mass.give, cases[i].give, 0, 1e-12);
        bly_catalog_release(&catalog);
    }
}

static void every_column_is_used(void **state) {
    (void)state;
    BlyCatalog catalog = small_catalog();
    BlyError err = {0};
    assert_true(read(&catalog,
                     "source,note,give,count,mass,id\n"
                     "\"kitchen scale, 0.01 g\",\"the \"\"black\"\" box\",0.02 g,4,2.4,ring-4\n"
                     ",,10 %,,0.6 g,eye-a\n"
                     ",,,50 cm,0.2 g,wire-a\n",
                     &err));
    const BlyPart *ring = bly_catalog_part(&catalog, "ring-4");
    assert_close(ring->mass.value, 0.6e-3, 0, 1e-12);
    assert_close(ring->mass.give, 0.02e-3, 0, 1e-12);
    assert_string_equal(ring->source, "kitchen scale, 0.01 g; the \"black\" box");
    const BlyPart *eye = bly_catalog_part(&catalog, "eye-a");
    assert_close(eye->mass.give, 0.06e-3, 0, 1e-12);
    assert_close((eye->volume + eye->shank_volume) * 7850, 0.6e-3, 0, 1e-12);
    const BlyPart *wire = bly_catalog_part(&catalog, "wire-a"); /* metres, not pieces */
    assert_close(wire->mass.value, 0.4e-3, 0, 1e-12);
    /* units in the headings hold for bare numbers, and for those alone */
    assert_true(read(&catalog,
                     "ID;Mass (mg);Give (mg);Length (cm)\n"
                     "wire-a;300,0;12;50\neye-a;0,7 g;2 %;\n",
                     &err));
    wire = bly_catalog_part(&catalog, "wire-a");
    assert_close(wire->mass.value, 0.6e-3, 0, 1e-12);
    assert_close(wire->mass.give, 0.012e-3, 0, 1e-12);
    assert_close(bly_catalog_part(&catalog, "eye-a")->mass.value, 0.7e-3, 0, 1e-12);
    bly_catalog_release(&catalog);
}

static void each_fault_has_its_place(void **state) {
    (void)state;
    const struct {
        const char *list;
        BlyCode code;
        const char *where, *text;
    } cases[] = {
        {"", BLY_E_MISSING, "line 1, column 1",
         "the list is empty: it begins with a header row such as id,mass"},
        {"id\nring-4\n", BLY_E_MISSING, "line 1, column 1",
         "the header row must name the columns id and mass"},
        {"id,mass,colour\n", BLY_E_UNKNOWN, "line 1, column 3",
         "no column \"colour\": id, mass, give, count, note and source are known"},
        {"id,mass,id\n", BLY_E_CONFLICT, "line 1, column 3", "column id appears twice"},
        {"id;mass (mm)\nring-4;0,6\n", BLY_E_UNIT, "line 1, column 2",
         "\"mm\" is not a unit of mass"},
        {"id;mass (g\nring-4;0,6\n", BLY_E_SYNTAX, "line 1, column 2",
         "expected a unit in brackets, \"mass (g)\""},
        {"id\tmass\tMass (g)\n", BLY_E_CONFLICT, "line 1, column 3", "column mass appears twice"},
        {"id,mass\n\nring-4\n", BLY_E_SYNTAX, "line 3, column 1",
         "1 columns here, the header has 2"},
        {"id,mass\nring-4,0,6\n", BLY_E_SYNTAX, "line 2, column 3",
         "3 columns here, the header has 2; with decimal commas part the columns by ;"},
        {"id,mass\nring-5,1 g\n", BLY_E_UNKNOWN, "line 2, column 1",
         "no part \"ring-5\"; did you mean \"ring-4\"?"},
        {"id,mass\nsomething-else,1 g\n", BLY_E_UNKNOWN, "line 2, column 1",
         "no part \"something-else\""},
        {"mass,id\n1 g,brass-0.8\n", BLY_E_CONFLICT, "line 2, column 2",
         "brass-0.8 is cut to size and has no mass of its own: give its thickness in a JSON "
         "catalog"},
        {"id,mass\nring-4,0 g\n", BLY_E_RANGE, "line 2, column 2",
         "a part weighs something, not \"0 g\""},
        {"id,mass\nring-4,-1 g\n", BLY_E_RANGE, "line 2, column 2",
         "a part weighs something, not \"-1 g\""},
        {"id,mass,count\nring-4,1 g,0\n", BLY_E_RANGE, "line 2, column 3",
         "a count of pieces from 1 to 100000, not \"0\""},
        {"id,mass,count\nring-4,1 g,2.5\n", BLY_E_RANGE, "line 2, column 3",
         "a count of pieces from 1 to 100000, not \"2.5\""},
        {"id,mass,count\nwire-a,1 g,0 m\n", BLY_E_RANGE, "line 2, column 3",
         "no wire on the scale: \"0 m\""},
        {"id,mass,give\nring-4,1 g,2 g\n", BLY_E_RANGE, "line 2, column 3",
         "a tolerance lies between nothing and the whole value, not \"2 g\""},
        {"id,mass\nring-4,1 g\neye-a,1 g\nring-4,2 g\n", BLY_E_CONFLICT, "line 4, column 1",
         "ring-4 appears twice in this list"},
        {"id,mass\n\"ring-4,1 g\n", BLY_E_SYNTAX, "line 2, column 1",
         "a quoted field must end with a quote, then a comma or the line's end"},
        {"id,mass\n\"ring-4\"x,1 g\n", BLY_E_SYNTAX, "line 2, column 1",
         "a quoted field must end with a quote, then a comma or the line's end"},
        {"id,mass,note\nring-4,1 g,\"two\nlines\"\nring-4,1 g,\n", BLY_E_CONFLICT,
         "line 4, column 1", "ring-4 appears twice in this list"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyCatalog catalog = small_catalog();
        BlyError err = {0};
        if (read(&catalog, cases[i].list, &err))
            fail_msg("list %zu was taken", i);
        assert_int_equal(err.code, cases[i].code);
        assert_string_equal(err.where, cases[i].where);
        assert_string_equal(err.text, cases[i].text);
        /* nothing was changed, not even by the good rows before the fault */
        assert_close(bly_catalog_part(&catalog, "ring-4")->mass.value, 0.5e-3, 0, 0);
        assert_close(bly_catalog_part(&catalog, "eye-a")->mass.value, 0.5e-3, 0, 0);
        assert_false(read(&catalog, cases[i].list, NULL));
        bly_catalog_release(&catalog);
    }
}

/* The words of these are the units room's; here only code and place count. */
static void bad_quantities_keep_their_place(void **state) {
    (void)state;
    const struct {
        const char *list, *where;
    } cases[] = {
        {"id,mass\nring-4,3 mm\n", "line 2, column 2"},
        {"id,mass\nring-4,heavy\n", "line 2, column 2"},
        {"id,mass\nring-4,\n", "line 2, column 2"},
        {"id,mass\nring-4,nan\n", "line 2, column 2"},
        {"id,mass\nring-4,inf g\n", "line 2, column 2"},
        {"id;mass\nring-4;0,6,1 g\n", "line 2, column 2"},
        {"id;mass (g)\nring-4;3 mm\n", "line 2, column 2"},
        {"id;count;mass (g)\nwire-a;1,5 kg;1\n", "line 2, column 2"},
        {"give,id,mass\n1 mm,ring-4,1 g\n", "line 2, column 1"},
        {"count,id,mass\n1 g,wire-a,1 g\n", "line 2, column 1"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyCatalog catalog = small_catalog();
        BlyError err = {0};
        if (read(&catalog, cases[i].list, &err))
            fail_msg("list %zu was taken", i);
        assert_true(err.code == BLY_E_UNIT || err.code == BLY_E_SYNTAX || err.code == BLY_E_RANGE ||
                    err.code == BLY_E_MISSING);
        assert_string_equal(err.where, cases[i].where);
        assert_true(err.text[0] != '\0');
        assert_false(read(&catalog, cases[i].list, NULL));
        bly_catalog_release(&catalog);
    }
}

static void odd_bytes_are_refused(void **state) {
    (void)state;
    BlyCatalog catalog = small_catalog();
    BlyError err = {0};
    static const char zero[] = "id,mass\nring-4,\0 1 g\n";
    assert_false(bly_catalog_read_csv(&catalog, zero, sizeof zero - 1, &err));
    assert_int_equal(err.code, BLY_E_SYNTAX);
    assert_false(bly_catalog_read_csv(&catalog, "", 0, &err));
    char wide[200] = "a";
    for (int i = 0; i < 40; i++)
        strcat(wide, ",a");
    assert_false(read(&catalog, wide, &err));
    assert_string_equal(err.where, "line 1, column 33");
    bly_catalog_release(&catalog);
}

/* Every prefix of a good list either reads or is refused; run with the address sanitizer. */
static void cut_off_lists_are_safe(void **state) {
    (void)state;
    const char *list = "id,mass,count,note\nring-4,2.4 g,4,\"a \"\"b\"\"\"\r\neye-a,0.6,,x\n";
    int taken = 0;
    for (size_t size = 0; size <= strlen(list); size++) {
        BlyCatalog catalog = small_catalog();
        char *copy = malloc(size + 1); /* no byte behind the text belongs to it */
        assert_non_null(copy);
        memcpy(copy, list, size);
        BlyError err = {0};
        taken += bly_catalog_read_csv(&catalog, copy, size, &err) ? 1 : 0;
        free(copy);
        bly_catalog_release(&catalog);
    }
    assert_true(taken >= 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_list_in_any_order_and_style),
        cmocka_unit_test(every_column_is_used),
        cmocka_unit_test(few_digits_widen_the_give),
        cmocka_unit_test(each_fault_has_its_place),
        cmocka_unit_test(bad_quantities_keep_their_place),
        cmocka_unit_test(odd_bytes_are_refused),
        cmocka_unit_test(cut_off_lists_are_safe),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
