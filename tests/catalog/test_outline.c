/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines of a maker's own. Areas are closed forms (rectangle, trapezoid, half circle, ellipse),
 * and a drawn tongue must be the tongue of docs/parts.md. All shapes are invented. */
#include "lure/kit.h"
#include "build/build.h"
#include "ballastry/catalog.h"

#include <string.h>

enum { TEXT_MOST = 4000 };

static const char *drawing_text; /* what the file "lip.svg" holds */

static bool read_file(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    (void)context;
    if (strcmp(name, "lip.svg") != 0)
        return bly_fail(err, BLY_E_IO, name, "is not there");
    *size = strlen(drawing_text);
    *text = malloc(*size + 1);
    assert_non_null(*text);
    memcpy(*text, drawing_text, *size + 1);
    return true;
}

static bool read(BlyCatalog *catalog, const char *own, BlyError *found) {
    char text[TEXT_MOST];
    const BlyCatalogFiles files = {read_file, NULL};
    (void)snprintf(
        text, sizeof text,
        "{\"ballastry_catalog\": 1, \"parts\": [{\"kind\": \"outline\", \"id\": \"mine\", "
        "\"name\": \"mine\", \"origin\": \"measured\", \"source\": \"drawn\", \"form\": "
        "\"drawn\", %s}]}",
        own);
    return bly_catalog_read_json_with(catalog, text, strlen(text), &files, found);
}

static BlyCatalog with(const char *own) {
    BlyCatalog catalog = {0};
    BlyError found = {0};
    must(bly_catalog_shipped(&catalog, err));
    if (!read(&catalog, own, &found))
        fail_msg("%s: %s in %s", found.where, found.text, own);
    return catalog;
}

static const BlyPart *mine(const BlyCatalog *catalog) {
    const BlyPart *part = bly_catalog_part(catalog, "mine");
    assert_non_null(part);
    return part;
}

static void points_are_straight_between(void **state) {
    (void)state;
    /* A root of 12 mm, a waist of 8 mm at 6 mm, then a trapezoid to 20 mm. */
    BlyCatalog catalog = with("\"points\": [[\"0 mm\", \"12 mm\"], [6, 8], [26, 20]], "
                              "\"shortest\": \"20 mm\"");
    const BlyPart *p = mine(&catalog);
    assert_close(p->width, 20e-3, 0, 1e-12);
    assert_close(p->length_most, 26e-3, 0, 1e-12);
    assert_close(p->length_least, 20e-3, 0, 1e-12);
    assert_close(bly_outline_area(p, 26e-3), 60e-6 + 280e-6, 0, 1e-12);
    /* 6 mm shorter is cut at the slot end: the waist is the root. */
    assert_close(bly_outline_area(p, 20e-3), 280e-6, 0, 1e-12);
    assert_close(bly_outline_half_width(p, 26e-3, 6e-3), 4e-3, 0, 1e-12);
    assert_close(bly_outline_half_width(p, 26e-3, 16e-3), 7e-3, 0, 1e-12);
    assert_close(bly_outline_half_width(p, 20e-3, 0), 4e-3, 0, 1e-12);
    assert_close(bly_outline_half_width(p, 20e-3, 20e-3), 10e-3, 0, 1e-12);
    assert_true(bly_outline_half_width(p, 26e-3, 26.1e-3) == 0.0);
    bly_catalog_release(&catalog);
}

/* Straight sides of 10 mm and a half circle of 8 mm: pi/2 r2 + 16 x 10, and the form "tongue". */
static void is_a_tongue(const BlyCatalog *catalog) {
    BlyPart tongue = bly_part_blank(BLY_PART_OUTLINE);
    const BlyPart *p = mine(catalog);
    tongue.form = BLY_OUTLINE_TONGUE;
    tongue.width = 16e-3;
    double area = 160e-6 + M_PI / 2 * 64e-6;
    assert_close(p->width, 16e-3, 0, 1e-9);
    assert_close(p->length_most, 18e-3, 0, 1e-6);
    assert_close(bly_outline_area(p, p->length_most), area, 0, 1e-3);
    for (int i = 0; i <= 17; i++)
        assert_close(bly_outline_half_width(p, p->length_most, 1e-3 * i),
                     bly_outline_half_width(&tongue, 18e-3, 1e-3 * i), 1e-4, 0);
}

static void a_drawn_tongue_is_the_tongue(void **state) {
    (void)state;
    static const char *const ways[] = {
        "\"path\": \"M 5 -8 H 15 A 8 8 0 0 1 15 8 H 5 Z\"",
        "\"path\": \"M 15 -8 H 5 A 8 8 0 0 0 5 8 H 15 Z\", \"slot\": \"right\"",
        "\"path\": \"M -8 5 V 15 A 8 8 0 0 0 8 15 V 5 Z\", \"slot\": \"top\"",
        "\"path\": \"m -8 15 v -10 a 8 8 0 0 1 16 0 v 10 z\", \"slot\": \"bottom\"",
        "\"drawing\": \"lip.svg\"",
        "\"drawing\": \"lip.svg#spade\", \"slot\": \"left\""};
    drawing_text =
        "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 "
        "40 40'><path id='spade' d='M 5 12 H 15 A 8 8 0 0 1 15 28 H 5 Z'/></svg>";
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        BlyCatalog catalog = with(ways[i]);
        is_a_tongue(&catalog);
        bly_catalog_release(&catalog);
    }
}

static void an_ellipse_keeps_its_area(void **state) {
    (void)state;
    BlyCatalog catalog = with("\"path\": \"M 0 0 A 15 9 0 0 1 30 0 A 15 9 0 0 1 0 0 Z\"");
    const BlyPart *p = mine(&catalog);
    assert_close(bly_outline_area(p, p->length_most), M_PI * 15e-3 * 9e-3, 0, 1e-3);
    bly_catalog_release(&catalog);
}

/* Copies of a record own their points. */
static void records_own_their_points(void **state) {
    (void)state;
    BlyCatalog catalog = with("\"points\": [[0, 10], [20, 14]]"), other = {0};
    must(bly_catalog_put_part(&other, mine(&catalog), err));
    must(bly_catalog_put_part(&other, mine(&catalog), err)); /* takes the place of the first */
    assert_ptr_not_equal(mine(&other)->drawn, mine(&catalog)->drawn);
    bly_catalog_release(&catalog);
    assert_close(bly_outline_area(mine(&other), 20e-3), 240e-6, 0, 1e-12);
    bly_catalog_release(&other);
}

static void what_is_wrong_is_said_where(void **state) {
    (void)state;
    static const struct {
        const char *own, *where, *words;
        BlyCode code;
    } rows[] = {
        {"\"width\": 10", "/parts/0", "one of", BLY_E_MISSING},
        {"\"points\": [[0, 9], [9, 9]], \"path\": \"M0 0\"", "/parts/0", "one of", BLY_E_MISSING},
        {"\"points\": [[0, 9], [9, 9]], \"width\": 9", "/parts/0", "its own width", BLY_E_CONFLICT},
        {"\"points\": [[1, 9], [9, 9]]", "/parts/0/points/0/0", "slot end", BLY_E_RANGE},
        {"\"points\": [[0, 9], [9, 9], [9, 8]]", "/parts/0/points/2/0", "outwards", BLY_E_RANGE},
        {"\"points\": [[0, 9], [9, -9]]", "/parts/0/points/1/1", "0 or more", BLY_E_RANGE},
        {"\"points\": [[0, 9]]", "/parts/0/points", "", BLY_E_RANGE},
        {"\"points\": [[0, 0], [9, 0]]", "/parts/0", "wide", BLY_E_RANGE},
        {"\"points\": [[0, 9], [900, 9]]", "/parts/0", "500 mm", BLY_E_RANGE},
        {"\"points\": [[0, 9], [9, 9]], \"shortest\": 10", "/parts/0/shortest", "up to",
         BLY_E_RANGE},
        {"\"path\": \"L 3 3\"", "/parts/0/path", "offset", BLY_E_SYNTAX},
        {"\"path\": \"M 0 0 H 10 V 4 H 5 V 9 H 0 Z\"", "/parts/0/path", "lopsided", BLY_E_CONFLICT},
        {"\"drawing\": \"lop.svg\"", "/parts/0/drawing", "is not there", BLY_E_IO},
        {"\"drawing\": \"lip.svg#shovel\"", "/parts/0/drawing", "shovel", BLY_E_UNKNOWN},
    };
    drawing_text =
        "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 "
        "40 40'><path id='spade' d='M 5 12 H 15 A 8 8 0 0 1 15 28 H 5 Z'/></svg>";
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyCatalog catalog = {0};
        BlyError found = {0};
        if (read(&catalog, rows[i].own, &found))
            fail_msg("row %zu was read", i);
        if (found.code != rows[i].code || strcmp(found.where, rows[i].where) != 0 ||
            strstr(found.text, rows[i].words) == NULL)
            fail_msg("row %zu: %d %s: %s", i, (int)found.code, found.where, found.text);
        bly_catalog_release(&catalog);
    }
    drawing_text =
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><path d='M0 0H5V5H0Z'/>"
        "</svg>";
    BlyCatalog catalog = {0};
    BlyError found = {0};
    assert_false(read(&catalog, "\"drawing\": \"lip.svg\"", &found));
    assert_int_equal(found.code, BLY_E_MISSING);
    bly_catalog_release(&catalog);
}

/* The lip of a drawn tongue weighs what one of the form does. */
static void it_hangs_in_a_build_like_the_form(void **state) {
    (void)state;
    static const char build_text[] =
        "{\"ballastry\": 1, \"name\": \"n\", \"body\": {\"stations\": [{\"x\": 0, \"diameter\": "
        "0}, "
        "{\"x\": 30, \"diameter\": 16}, {\"x\": 90, \"diameter\": 3}], \"material\": \"larch\"}, "
        "\"seats\": {\"lip\": {\"kind\": \"slot\", \"x\": 9, \"side\": \"belly\", \"angle\": \"40 "
        "deg\", \"depth\": 6, \"width\": 20}}, \"fitted\": {\"lip\": {\"sheet\": \"brass-0.8\", "
        "\"outline\": \"%s\", \"length\": \"18 mm\"}}}";
    BlyCatalog catalog = with("\"path\": \"M 5 -8 H 15 A 8 8 0 0 1 15 8 H 5 Z\"");
    BlyPart form = *bly_catalog_part(&catalog, "tongue-12");
    form.id = (char[]){"form"};
    form.width = 16e-3;
    form.length_least = 10e-3;
    form.length_most = 30e-3;
    must(bly_catalog_put_part(&catalog, &form, err));
    double mass[2];
    for (int i = 0; i < 2; i++) {
        char text[TEXT_MOST];
        BlyBuild *build;
        BlyLure lure;
        BlyWater water;
        BlyOutcome out;
        (void)snprintf(text, sizeof text, build_text, i == 0 ? "mine" : "form");
        must(bly_build_read(text, strlen(text), &catalog, &build, err));
        must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
        must(bly_water_at(12, 0, &water, err));
        must(bly_rest(&lure, &water, &out, err));
        mass[i] = out.sums.mass;
        bly_lure_release(&lure);
        bly_build_free(build);
    }
    assert_close(mass[0], mass[1], 2e-6, 0);
    bly_catalog_release(&catalog);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_are_straight_between),
        cmocka_unit_test(a_drawn_tongue_is_the_tongue),
        cmocka_unit_test(an_ellipse_keeps_its_area),
        cmocka_unit_test(records_own_their_points),
        cmocka_unit_test(what_is_wrong_is_said_where),
        cmocka_unit_test(it_hangs_in_a_build_like_the_form),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
