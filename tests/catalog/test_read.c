/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalogs in JSON: what joins and overrides, and each way in which a file can be wrong. */
#include "support/check.h"
#include "ballastry/catalog.h"

#define HEAD "{\"ballastry_catalog\": 1, "
#define STEEL                                                                                      \
    "\"materials\": [{\"id\": \"steel\", \"name\": \"steel\", \"density\": \"7.85 g/cm3\", "       \
    "\"give\": \"1 %\", \"origin\": \"published\", \"source\": \"a handbook\", \"metal\": "        \
    "true}], "
#define PART(kind, more)                                                                           \
    HEAD STEEL "\"parts\": [{\"kind\": \"" kind "\", \"id\": \"p\", \"name\": \"a part\", "        \
               "\"origin\": \"model\", \"source\": \"a model\", " more "}]}"
#define MATERIAL(more)                                                                             \
    HEAD "\"materials\": [{\"id\": \"m\", \"name\": \"a material\", \"origin\": \"memory\", "      \
         "\"source\": \"memory\", " more "}]}"
#define HOOK_SIZES                                                                                 \
    "\"style\": \"treble\", \"size\": \"6\", \"wire\": \"0.95 mm\", \"gape\": \"6.7 mm\", "        \
    "\"length\": \"18.3 mm\", \"bore\": \"1.75 mm\", \"shank\": \"7.4 mm\""
#define RING_SIZES                                                                                 \
    "\"material\": \"steel\", \"size\": \"4\", \"wire\": \"0.85 mm\", \"outer\": \"7.2 mm\", "     \
    "\"passes\": \"1.7 mm\""

static bool read(BlyCatalog *catalog, const char *text, BlyError *err) {
    return bly_catalog_read_json(catalog, text, strlen(text), err);
}

static BlyCatalog read_good(const char *text) {
    BlyCatalog catalog = {0};
    BlyError err = {0};
    if (!read(&catalog, text, &err))
        fail_msg("%s: %s", err.where, err.text);
    return catalog;
}

static void a_material_is_read(void **state) {
    (void)state;
    BlyCatalog c = read_good(MATERIAL("\"density\": \"0.65 g/cm3\", \"give\": \"8 %\", "
                                      "\"expansion\": \"20e-6 /K\", \"expansion_give\": \"50 %\", "
                                      "\"expansion_origin\": \"practice\", "
                                      "\"expansion_source\": \"trade\""));
    const BlyMaterial *m = bly_catalog_material(&c, "m");
    assert_close(m->density.value, 650, 0, 1e-12);
    assert_close(m->density.give, 52, 0, 1e-12);
    assert_close(m->expansion.value, 20e-6, 0, 1e-12);
    assert_close(m->expansion.give, 10e-6, 0, 1e-12);
    assert_int_equal(m->origin, BLY_FROM_MEMORY);
    assert_int_equal(m->expansion_origin, BLY_FROM_PRACTICE);
    assert_false(m->metal || m->lead);
    bly_catalog_release(&c);

    c = read_good(MATERIAL("\"density\": 0.65, \"give\": 0.05")); /* bare: g/cm3 */
    m = bly_catalog_material(&c, "m");
    assert_close(m->density.value, 650, 0, 1e-12);
    assert_close(m->density.give, 50, 0, 1e-12);
    assert_true(isnan(m->expansion.value)); /* not known is never silently zero */
    bly_catalog_release(&c);
}

static void each_kind_is_read(void **state) {
    (void)state;
    BlyCatalog c = read_good(PART("hook", HOOK_SIZES ", \"material\": \"steel\""));
    const BlyPart *p = bly_catalog_part(&c, "p");
    assert_close(p->mass.value, 0.521e-3, 0, 2e-3); /* by the model: its origin says so */
    assert_close(p->mass.give, 0.15 * p->mass.value, 0, 1e-12);
    assert_int_equal(p->size_rank, bly_hook_rank("6"));
    assert_string_equal(p->style, "treble");
    assert_string_equal(p->grade, "");
    bly_catalog_release(&c);

    c = read_good(PART("ring", RING_SIZES ", \"mass\": \"0.18 g\", \"give\": \"0.02 g\", "
                                          "\"hook_size\": [\"6\", \"2\"], "
                                          "\"single_size\": [\"4\", \"2/0\"], \"price\": 0.05"));
    p = bly_catalog_part(&c, "p");
    assert_close(p->mass.value, 0.18e-3, 0, 1e-12);
    assert_close(p->mass.give, 0.02e-3, 0, 1e-12);
    assert_close(p->price, 0.05, 0, 1e-12);
    assert_int_equal(p->hook_rank_low, bly_hook_rank("6"));
    assert_int_equal(p->single_rank_high, bly_hook_rank("2/0"));
    bly_catalog_release(&c);

    c = read_good(PART("eye", "\"material\": \"steel\", \"style\": \"screw\", \"wire\": 1, "
                              "\"outer\": 4.2, \"length\": 10")); /* bore: 4.2 - 2 */
    p = bly_catalog_part(&c, "p");
    assert_close(p->bore, 2.2e-3, 1e-12, 0);
    assert_close(p->shank_volume + p->volume, p->mass.value / 7850, 0, 1e-9);
    bly_catalog_release(&c);

    c = read_good(PART("snap", "\"wire\": \"0.65 mm\", \"length\": \"13 mm\", \"passes\": "
                               "\"0.65 mm\", \"mass\": \"0.11 g\", \"volume\": \"0.014 cm3\""));
    p = bly_catalog_part(&c, "p"); /* compound: no material, but a volume */
    assert_close(p->volume, 0.014e-6, 0, 1e-12);
    assert_true(p->volume_given);
    assert_string_equal(p->material, "");
    bly_catalog_release(&c);

    c = read_good(PART("sheet", "\"material\": \"steel\", \"thickness\": \"1/16 in\", "
                                "\"thinnest\": \"1.2 mm\""));
    p = bly_catalog_part(&c, "p");
    assert_close(p->thickness, 25.4e-3 / 16, 0, 1e-12);
    assert_close(p->thickness_give, 0.05 * p->thickness, 0, 1e-12);
    bly_catalog_release(&c);

    c = read_good(
        PART("sheet", "\"material\": \"steel\", \"thickness\": 1, \"thickness_give\": 0"));
    p = bly_catalog_part(&c,
                         "p"); /* what was measured so is not doubted: the density's give stays */
    assert_close(p->thickness_give, 0, 0, 0);
    assert_close(bly_part_give_share(p), bly_catalog_material(&c, "steel")->density.give / 7850, 0,
                 1e-12);
    bly_catalog_release(&c);

    c = read_good(PART("outline", "\"form\": \"round\", \"width\": 16, \"root_width\": 9, "
                                  "\"root_length\": 8, \"lengths\": [20, 40]"));
    p = bly_catalog_part(&c, "p");
    assert_int_equal(p->form, BLY_OUTLINE_ROUND);
    assert_close(p->length_most, 40e-3, 0, 1e-12);
    bly_catalog_release(&c);

    c = read_good(PART("wire", "\"material\": \"steel\", \"wire\": \"0.5 mm\""));
    p = bly_catalog_part(&c, "p");
    assert_close(p->mass.value, 7850 * 3.14159265358979 / 4 * 0.25e-6, 0, 1e-9);
    bly_catalog_release(&c);

    c = read_good(PART("dot", "\"material\": \"steel\", \"outer\": 7, \"bore\": 3.2, "
                              "\"thickness\": 0.5, \"lead\": false"));
    assert_close(bly_catalog_part(&c, "p")->mass.value, 0.1195e-3, 0, 1e-3); /* ISO 7089 M3 */
    bly_catalog_release(&c);
}

static void a_users_file_joins_and_overrides(void **state) {
    (void)state;
    BlyCatalog c;
    BlyError err = {0};
    assert_true(bly_catalog_shipped(&c, &err));
    size_t parts = c.part_count, materials = c.material_count;
    assert_true(read(&c,
                     HEAD "\"parts\": [{\"kind\": \"ring\", \"id\": \"ring-4\", \"name\": \"mine\","
                          "\"origin\": \"measured\", \"source\": \"my scale\", "
                          "\"mass\": \"0.2 g\", " RING_SIZES "},"
                          "{\"kind\": \"sheet\", \"id\": \"ash-3\", \"name\": \"ash\", "
                          "\"origin\": \"measured\", \"source\": \"calipers\", "
                          "\"material\": \"ash\", \"thickness\": \"3 mm\"}],"
                          "\"materials\": [{\"id\": \"ash\", \"name\": \"ash\", "
                          "\"origin\": \"measured\", \"source\": \"offcuts\", "
                          "\"density\": \"0.65 g/cm3\", \"give\": \"5 %\"},"
                          "{\"id\": \"brass\", \"name\": \"my brass\", \"origin\": \"measured\", "
                          "\"source\": \"offcuts\", \"density\": \"8.40 g/cm3\", "
                          "\"give\": \"0.05 g/cm3\", \"metal\": true}]}",
                     &err));
    assert_int_equal(c.part_count, parts + 1);
    assert_int_equal(c.material_count, materials + 1);
    const BlyPart *ring = bly_catalog_part(&c, "ring-4");
    assert_close(ring->mass.value, 0.2e-3, 0, 1e-12);
    assert_string_equal(ring->name, "mine");
    assert_close(bly_catalog_part(&c, "ash-3")->density.value, 650, 0, 1e-12);
    /* the shipped sheets are now of the user's brass */
    assert_close(bly_catalog_part(&c, "brass-0.8")->density.value, 8400, 0, 1e-12);
    for (size_t i = 1; i < c.part_count; i++)
        assert_true(c.parts[i - 1].kind < c.parts[i].kind ||
                    strcmp(c.parts[i - 1].id, c.parts[i].id) < 0);
    bly_catalog_release(&c);
}

typedef struct Fault {
    const char *text;
    BlyCode code;
    const char *where, *says; /* says: part of the message; "" where another room words it */
} Fault;

static void assert_faults(const Fault *faults, size_t count) {
    for (size_t i = 0; i < count; i++) {
        BlyCatalog c = read_good(HEAD STEEL "\"parts\": []}");
        BlyError err = {0};
        if (read(&c, faults[i].text, &err))
            fail_msg("fault %zu was taken: %s", i, faults[i].text);
        if (err.code != faults[i].code || strcmp(err.where, faults[i].where) != 0 ||
            strstr(err.text, faults[i].says) == NULL)
            fail_msg("fault %zu: code %d at \"%s\": %s", i, (int)err.code, err.where, err.text);
        assert_int_equal(c.part_count, 0); /* nothing was added */
        assert_int_equal(c.material_count, 1);
        assert_false(read(&c, faults[i].text, NULL));
        bly_catalog_release(&c);
    }
}

static void faults_of_the_frame(void **state) {
    (void)state;
    const Fault faults[] = {
        {"", BLY_E_SYNTAX, "line 1, column 1", ""},
        {"{", BLY_E_SYNTAX, "line 1, column 2", ""},
        {"[]", BLY_E_SYNTAX, "", ""},
        {"{}", BLY_E_MISSING, "", "ballastry_catalog"},
        {"{\"ballastry_catalog\": 2}", BLY_E_RANGE, "/ballastry_catalog", ""},
        {"{\"ballastry_catalog\": \"1\"}", BLY_E_SYNTAX, "/ballastry_catalog", ""},
        {HEAD "\"part\": []}", BLY_E_UNKNOWN, "/part", "parts"},
        {HEAD "\"parts\": [], \"parts\": []}", BLY_E_CONFLICT, "/parts", ""},
        {HEAD "\"parts\": {}}", BLY_E_SYNTAX, "/parts", ""},
        {HEAD "\"parts\": [1]}", BLY_E_SYNTAX, "/parts/0", ""},
        {HEAD "\"materials\": [[]]}", BLY_E_SYNTAX, "/materials/0", ""},
        {HEAD "\"parts\": [{}]}", BLY_E_MISSING, "/parts/0", "kind"},
        {HEAD "\"parts\": [{\"kind\": \"hok\"}]}", BLY_E_UNKNOWN, "/parts/0/kind", "hook"},
    };
    assert_faults(faults, sizeof faults / sizeof faults[0]);
}

static void faults_of_materials(void **state) {
    (void)state;
    const Fault faults[] = {
        {MATERIAL("\"give\": \"5 %\""), BLY_E_MISSING, "/materials/0", "density"},
        {MATERIAL("\"density\": \"1 g/cm3\""), BLY_E_MISSING, "/materials/0", "give"},
        {MATERIAL("\"density\": \"5 mm\", \"give\": \"5 %\""), BLY_E_UNIT, "/materials/0/density",
         ""},
        {MATERIAL("\"density\": 0, \"give\": 0"), BLY_E_RANGE, "/materials/0/density", "above 0"},
        {MATERIAL("\"density\": 650, \"give\": \"5 %\""), BLY_E_RANGE, "/materials/0/density",
         "nothing is denser than 23 g/cm3"},
        {MATERIAL("\"density\": \"23.1 g/cm3\", \"give\": \"5 %\""), BLY_E_RANGE,
         "/materials/0/density", "is 23.1 g/cm3"},
        {HEAD "\"materials\": [{\"id\": \"none\", \"name\": \"x\", \"origin\": \"memory\", "
              "\"source\": \"x\", \"density\": 1, \"give\": 0.1}]}",
         BLY_E_CONFLICT, "/materials/0/id", "\"none\" is what takes a part off"},
        {MATERIAL("\"density\": 1, \"give\": 2"), BLY_E_RANGE, "/materials/0/give",
         "between nothing and the whole value"},
        {MATERIAL("\"density\": 1, \"give\": \"-5 %\""), BLY_E_RANGE, "/materials/0/give", ""},
        {MATERIAL("\"density\": 1, \"give\": \"5 %\", \"lead\": \"yes\""), BLY_E_SYNTAX,
         "/materials/0/lead", ""},
        {MATERIAL("\"density\": 1, \"give\": \"5 %\", \"expansion_give\": 1e-6"), BLY_E_CONFLICT,
         "/materials/0/expansion_give", "no expansion"},
        {MATERIAL("\"density\": 1, \"give\": \"5 %\", \"expansion\": 1e-5"), BLY_E_MISSING,
         "/materials/0", "expansion_give"},
        {MATERIAL("\"density\": 1, \"give\": \"5 %\", \"colour\": 1"), BLY_E_UNKNOWN,
         "/materials/0/colour", ""},
        {HEAD "\"materials\": [{\"id\": \"Not An Id\", \"name\": \"x\", \"origin\": \"memory\", "
              "\"source\": \"x\", \"density\": 1, \"give\": 0.1}]}",
         BLY_E_SYNTAX, "/materials/0/id", "point and hyphen"},
        {HEAD "\"materials\": [{\"id\": \"x\", \"name\": \"x\", \"origin\": \"guess\", "
              "\"source\": \"x\", \"density\": 1, \"give\": 0.1}]}",
         BLY_E_UNKNOWN, "/materials/0/origin", ""},
    };
    assert_faults(faults, sizeof faults / sizeof faults[0]);
}

static void faults_of_parts(void **state) {
    (void)state;
    const Fault faults[] = {
        {PART("hook", HOOK_SIZES), BLY_E_MISSING, "/parts/0", "needs \"mass\""},
        {PART("hook", HOOK_SIZES ", \"mass\": \"1 g\""), BLY_E_MISSING, "/parts/0", "\"volume\""},
        {PART("hook", HOOK_SIZES ", \"material\": \"stel\""), BLY_E_UNKNOWN, "/parts/0/material",
         "did you mean \"steel\"?"},
        {PART("hook", HOOK_SIZES ", \"material\": \"gold\""), BLY_E_UNKNOWN, "/parts/0/material",
         "no material \"gold\""},
        {PART("hook", HOOK_SIZES ", \"colour\": \"red\""), BLY_E_UNKNOWN, "/parts/0/colour", ""},
        {PART("hook", HOOK_SIZES ", \"passes\": 1"), BLY_E_UNKNOWN, "/parts/0/passes", ""},
        {PART("hook", HOOK_SIZES ", \"wire\": 1"), BLY_E_CONFLICT, "/parts/0/wire", ""},
        {PART("hook", HOOK_SIZES ", \"grade\": \"5X\""), BLY_E_UNKNOWN, "/parts/0/grade", ""},
        {PART("hook", "\"style\": \"treble\", \"size\": \"6/1\""), BLY_E_RANGE, "/parts/0/size",
         "not a hook size"},
        {PART("hook", "\"style\": \"double\""), BLY_E_UNKNOWN, "/parts/0/style", ""},
        {PART("hook", "\"size\": \"6\""), BLY_E_MISSING, "/parts/0", "style"},
        {PART("hook", "\"style\": \"treble\", \"size\": \"6\", \"material\": \"steel\", "
                      "\"mass\": 1"),
         BLY_E_MISSING, "/parts/0", "needs \"wire\""},
        {PART("hook", "\"wire\": \"3 g\""), BLY_E_UNIT, "/parts/0/wire", ""},
        {PART("hook", "\"wire\": 0"), BLY_E_RANGE, "/parts/0/wire", "above 0"},
        {PART("hook", "\"wire\": \"-1 mm\""), BLY_E_RANGE, "/parts/0/wire", "0 or more"},
        {PART("hook", "\"wire\": null"), BLY_E_SYNTAX, "/parts/0/wire", ""},
        {PART("hook", "\"wire\": 1e999"), BLY_E_RANGE, "/parts/0/wire", ""},
        {PART("hook", "\"give\": \"5 %\""), BLY_E_CONFLICT, "/parts/0/give", "no mass"},
        {PART("ring", RING_SIZES ", \"hook_size\": [\"6\"]"), BLY_E_RANGE, "/parts/0/hook_size",
         ""},
        {PART("ring", RING_SIZES ", \"hook_size\": [\"2\", \"6\"]"), BLY_E_CONFLICT,
         "/parts/0/hook_size", "smallest hook comes first"},
        {PART("ring", RING_SIZES ", \"single_size\": [\"2\", \"x\"]"), BLY_E_RANGE,
         "/parts/0/single_size/1", "not a hook size"},
        {PART("ring", RING_SIZES ", \"price\": -1"), BLY_E_RANGE, "/parts/0/price", "0 or more"},
        {PART("ring", "\"material\": \"steel\", \"mass\": 1"), BLY_E_MISSING, "/parts/0", "size"},
        {PART("sheet", "\"thickness\": 1"), BLY_E_MISSING, "/parts/0", "material"},
        {PART("sheet", "\"material\": \"steel\""), BLY_E_MISSING, "/parts/0", "thickness"},
        {PART("sheet", "\"material\": \"steel\", \"thickness\": 1, \"mass\": 1"), BLY_E_UNKNOWN,
         "/parts/0/mass", ""},
        {PART("outline", "\"form\": \"heart\""), BLY_E_UNKNOWN, "/parts/0/form", ""},
        {PART("outline", "\"form\": \"square\", \"width\": 10, \"lengths\": [30, 20]"), BLY_E_RANGE,
         "/parts/0/lengths", ""},
        {PART("outline", "\"form\": \"square\", \"width\": 10, \"lengths\": [0, 20]"), BLY_E_RANGE,
         "/parts/0/lengths", "above 0"},
        {PART("outline", "\"form\": \"square\", \"width\": 10, \"lengths\": [10, null]"),
         BLY_E_RANGE, "/parts/0/lengths", "above 0"},
        {PART("outline", "\"form\": \"flared\", \"width\": 10, \"lengths\": [10, 20]"),
         BLY_E_MISSING, "/parts/0", "root_width"},
        {PART("outline", "\"form\": \"round\", \"width\": 10, \"root_width\": 6, "
                         "\"lengths\": [10, 20]"),
         BLY_E_MISSING, "/parts/0", "root_length"},
        {PART("outline", "\"form\": \"square\", \"lengths\": [10, 20]"), BLY_E_MISSING, "/parts/0",
         "width"},
        {PART("wire", "\"wire\": 1, \"mass_per_m\": 1"), BLY_E_MISSING, "/parts/0", "material"},
        {HEAD STEEL "\"parts\": [{\"kind\": \"sheet\", \"id\": \"s\", \"name\": \"s\", "
                    "\"origin\": \"memory\", \"source\": \"s\", \"material\": \"steel\", "
                    "\"thickness\": 1}, {\"kind\": \"sheet\", \"id\": \"s\", \"name\": \"s\", "
                    "\"origin\": \"memory\", \"source\": \"s\", \"material\": \"steel\", "
                    "\"thickness\": 2}]}",
         BLY_E_CONFLICT, "/parts/1/id", "\"s\" appears twice"},
        {HEAD STEEL "\"parts\": [{\"kind\": \"sheet\", \"id\": \"a/b\", \"name\": \"s\", "
                    "\"origin\": \"memory\", \"source\": \"s\", \"material\": \"steel\", "
                    "\"thickness\": 1}]}",
         BLY_E_SYNTAX, "/parts/0/id", "point and hyphen"},
    };
    assert_faults(faults, sizeof faults / sizeof faults[0]);
}

/* Only the whole text is a catalog; run with the address sanitizer. */
static void cut_off_files_are_safe(void **state) {
    (void)state;
    const char *text = PART("ring", RING_SIZES ", \"mass\": \"0.18 g\", \"give\": \"5 %\"");
    for (size_t size = 0; size <= strlen(text); size++) {
        char *copy = malloc(size + 1);
        assert_non_null(copy);
        memcpy(copy, text, size);
        BlyCatalog c = {0};
        BlyError err = {0};
        assert_int_equal(bly_catalog_read_json(&c, copy, size, &err), size == strlen(text));
        free(copy);
        bly_catalog_release(&c);
    }
}

/* A file of `count` rings, in no order; the caller frees it. */
static char *many_parts(int count) {
    static const char head[] = HEAD STEEL "\"parts\": [";
    size_t room = sizeof head + (size_t)count * 256, used = sizeof head - 1;
    char *text = malloc(room);
    assert_non_null(text);
    memcpy(text, head, sizeof head);
    for (int i = 0; i < count; i++)
        used += (size_t)snprintf(text + used, room - used,
                                 "%s{\"kind\": \"ring\", \"id\": \"ring-%d\", \"name\": \"r\", "
                                 "\"origin\": \"model\", \"source\": \"s\", " RING_SIZES "}",
                                 i > 0 ? "," : "", (int)((i * 7919L) % count));
    assert_true(used + 3 < room);
    memcpy(text + used, "]}", 3);
    return text;
}

/* Found again by id, each as it was written. What reading many costs: tests/catalog/many.sh. */
static void large_files_are_read_whole(void **state) {
    (void)state;
    enum { COUNT = 8000 };
    char *text = many_parts(COUNT), id[32];
    BlyCatalog c = read_good(text);
    free(text);
    assert_int_equal(c.part_count, COUNT);
    for (int i = 0; i < COUNT; i++) {
        (void)snprintf(id, sizeof id, "ring-%d", i);
        const BlyPart *p = bly_catalog_part(&c, id);
        assert_non_null(p);
        assert_string_equal(p->id, id);
    }
    bly_catalog_release(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_material_is_read),
        cmocka_unit_test(each_kind_is_read),
        cmocka_unit_test(a_users_file_joins_and_overrides),
        cmocka_unit_test(faults_of_the_frame),
        cmocka_unit_test(faults_of_materials),
        cmocka_unit_test(faults_of_parts),
        cmocka_unit_test(cut_off_files_are_safe),
        cmocka_unit_test(large_files_are_read_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
