/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A corpus of broken files, made here, each with its error or what is said of it. */
#include "ballastry/stl.h"
#include "support/stl_bytes.h"

static void must_fail(const char *what, const char *bytes, size_t size, BlyCode code,
                      const char *where, const char *text) {
    BlyMesh mesh = {0};
    BlyError err = {0};
    if (bly_stl_read(bytes, size, 1e-3, &mesh, NULL, &err))
        fail_msg("%s: was taken", what);
    if (err.code != code || strstr(err.where, where) == NULL || strstr(err.text, text) == NULL)
        fail_msg("%s: want %s, \"%s\", \"%s\"; got %s, \"%s\", \"%s\"", what, bly_code_words(code),
                 where, text, bly_code_words(err.code), err.where, err.text);
    assert_null(mesh.points);
    /* and nothing is lost without a place for the error */
    assert_false(bly_stl_read(bytes, size, 1e-3, &mesh, NULL, NULL));
}

static StlBytes good_file(void) {
    BlyMesh made = mesh_ellipsoid(0.03, 0.007, 0.009, bly_vec(0.03, 0.0, 0.0), 20, 16);
    StlBytes file = stl_binary(&made, "made up");
    bly_mesh_release(&made);
    return file;
}

/* Every length of the file but its own is refused. */
static void cut_short(void **state) {
    (void)state;
    StlBytes file = good_file();
    for (size_t size = 0; size < file.size; size += size < 300 ? 1 : 97) {
        char *part = calloc(size + 1, 1);
        assert_non_null(part);
        memcpy(part, file.bytes, size);
        must_fail("cut short", part, size, BLY_E_SYNTAX, "", size == 0 ? "empty" : "STL");
        free(part);
    }
    must_fail("a byte too long", file.bytes, file.size + 1, BLY_E_SYNTAX, "", "cut short");
    free(file.bytes);
}

static void wrong_counts(void **state) {
    (void)state;
    StlBytes file = good_file();
    static const unsigned char counts[][4] = {
        {0, 0, 0, 0}, {1, 0, 0, 0}, {0xff, 0xff, 0xff, 0xff}, {0, 0, 0, 0x80}};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        memcpy(file.bytes + 80, counts[i], 4);
        must_fail("wrong count", file.bytes, file.size, BLY_E_SYNTAX, "", "counts");
    }
    free(file.bytes);
    StlBytes none = {0};
    char head[84] = "";
    stl_put(&none, head, sizeof head);
    must_fail("no facets", none.bytes, none.size, BLY_E_RANGE, "", "no facets");
    free(none.bytes);
}

static void numbers_that_are_none(void **state) {
    (void)state;
    static const struct {
        const char *what;
        uint32_t word;
        const char *text;
    } cases[] = {{"NaN", 0x7fc00000, "not finite"},
                 {"infinite", 0x7f800000, "not finite"},
                 {"minus infinite", 0xff800000, "not finite"},
                 {"huge", 0x7f7fffff, "3.403e+38"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        StlBytes file = good_file();
        for (int byte = 0; byte < 4; byte++)
            file.bytes[84 + 50 * 17 + 12 + 20 + byte] = (char)(cases[i].word >> (8 * byte));
        must_fail(cases[i].what, file.bytes, file.size, BLY_E_RANGE, "facet 18", cases[i].text);
        free(file.bytes);
    }
}

/* A normal may be anything, and is. */
static void normals_do_not_matter(void **state) {
    (void)state;
    StlBytes file = good_file();
    for (size_t i = 0; i < 600; i++)
        memset(file.bytes + 84 + 50 * i, 0xff, 12); /* NaN */
    BlyMesh mesh;
    assert_true(bly_stl_read(file.bytes, file.size, 1e-3, &mesh, NULL, NULL));
    assert_int_equal(mesh.facet_count, 640);
    bly_mesh_release(&mesh);
    free(file.bytes);
}

#define FACET(a, b, c)                                                                             \
    "facet normal 0 0 1\nouter loop\nvertex " a "\nvertex " b "\nvertex " c "\nendloop\nendfacet"  \
    "\n"

static void text_out_of_place(void **state) {
    (void)state;
    static const struct {
        const char *text, *where, *says;
        BlyCode code;
    } cases[] = {
        {"solid", "line 1", "the file ends", BLY_E_SYNTAX},
        {"solid a\nendsolid a\n", "", "no facets", BLY_E_RANGE},
        {"solid a\nfacet normal 0 0\nouter loop\n", "line 3", "three numbers", BLY_E_SYNTAX},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0\nvertex", "line 5", "a number",
         BLY_E_SYNTAX},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 nan\n", "line 4", "not finite",
         BLY_E_RANGE},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 1e300\n", "line 4", "1e+300",
         BLY_E_RANGE},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 1,5\n", "line 4", "1,5",
         BLY_E_SYNTAX},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nendloop\n", "line 6",
         "expected vertex", BLY_E_SYNTAX},
        {"solid a\n" FACET("0 0 0", "1 0 0", "0 1 0"), "line 9", "the file ends", BLY_E_SYNTAX},
        {"solid a\n" FACET("0 0 0", "1 0 0", "0 1 0") "endsolid\nmore\n", "line 10",
         "expected solid", BLY_E_SYNTAX},
        {"solid a\nwhat is this\n", "line 2", "expected facet", BLY_E_SYNTAX},
        {"solid a\n" FACET("0 0 0", "0 0 0", "0 1 0") "endsolid a\n", "", "no facet with an area",
         BLY_E_RANGE},
        {"{\"ballastry\": 1, \"name\": \"not an STL file at all\", \"body\": {\"mesh\": \"x\"}, "
         "\"note\": \"long enough for a head\"}",
         "", "not an STL file", BLY_E_SYNTAX},
        {"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 \x01\x02\n", "line 4", "a number",
         BLY_E_SYNTAX},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        must_fail(cases[i].text, cases[i].text, strlen(cases[i].text), cases[i].code,
                  cases[i].where, cases[i].says);
    static const char nul[] = "solid a\nfacet nor\0mal 0 0 1\n";
    must_fail("a NUL", nul, sizeof nul - 1, BLY_E_SYNTAX, "line 2", "expected normal");
}

static void must_not_close(const char *what, const BlyMesh *made, const char *text) {
    StlBytes file = stl_binary(made, "");
    must_fail(what, file.bytes, file.size, BLY_E_CONFLICT, "", text);
    free(file.bytes);
}

/* Things that enclose nothing or run into themselves. */
static void shapes_that_are_no_bodies(void **state) {
    (void)state;
    BlyMesh one = mesh_room(3, 1);
    (void)mesh_point(&one, 0.0, 0.0, 0.0);
    (void)mesh_point(&one, 0.05, 0.0, 0.0);
    (void)mesh_point(&one, 0.0, 0.05, 0.0);
    mesh_facet(&one, 0, 1, 2);
    must_not_close("one facet", &one, "facet 1 near (25, 0, 0) mm");
    bly_mesh_release(&one);

    BlyMesh brick = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(0.05, 0.01, 0.01));
    BlyMesh lidless = mesh_room(8, 12);
    for (size_t p = 0; p < 8; p++)
        lidless.points[lidless.point_count++] = brick.points[p];
    for (size_t i = 2; i < 12; i++)
        mesh_facet(&lidless, brick.facets[i][0], brick.facets[i][1], brick.facets[i][2]);
    must_not_close("a box without its lid", &lidless, "the hole is too large");
    bly_mesh_release(&lidless);

    /* two bricks that share an edge: four facets meet there */
    BlyMesh other = mesh_brick(bly_vec(0.0, 0.01, 0.01), bly_vec(0.05, 0.02, 0.02));
    mesh_join(&brick, &other, false);
    must_not_close("two bricks on one edge", &brick, "more than two facets share an edge");
    bly_mesh_release(&brick);
}

static BlyBody *to_body(const StlBytes *file, BlyMeshFacts *facts, BlyError *err) {
    BlyMesh mesh;
    BlyBody *body = NULL;
    if (!bly_stl_read(file->bytes, file->size, 1e-3, &mesh, NULL, err))
        return NULL;
    bool good = bly_body_from_mesh(&mesh, NULL, &body, facts, err);
    bly_mesh_release(&mesh);
    return good ? body : NULL;
}

/* Ten balls apart are ten bodies; ten in a row inside each other are alternately bodies and
 * hollows. Two that overlap, and more than BLY_MESH_SHELLS_MAX, are refused. */
static void many_shells(void **state) {
    (void)state;
    const double r = 0.004;
    BlyMesh apart = mesh_room(0, 0), nested = mesh_room(0, 0), crowd = mesh_room(0, 0);
    for (int i = 0; i < BLY_MESH_SHELLS_MAX + 1; i++) {
        BlyMesh ball = mesh_ellipsoid(r, r, r, bly_vec(0.01 * i, 0.0, 0.0), 6, 7);
        mesh_join(&crowd, &ball, false);
        if (i >= 10)
            continue;
        ball = mesh_ellipsoid(r, r, r, bly_vec(0.01 * i, 0.0, 0.0), 6, 7);
        mesh_join(&apart, &ball, false);
        ball = mesh_ellipsoid(r * (i + 1), r * (i + 1), r * (i + 1), bly_vec(0, 0, 0), 6, 7);
        mesh_join(&nested, &ball, i % 3 == 0);
    }
    BlyMesh one = mesh_ellipsoid(r, r, r, bly_vec(0, 0, 0), 6, 7);
    StlBytes single = stl_binary(&one, ""), row = stl_binary(&apart, "");
    StlBytes onion = stl_binary(&nested, ""), many = stl_binary(&crowd, "");
    BlyMeshFacts facts;
    BlyError err = {0};
    BlyBody *ball = to_body(&single, &facts, &err), *body = to_body(&row, &facts, &err);
    assert_non_null(ball);
    assert_non_null(body);
    double v = bly_body_solid(ball)->volume;
    assert_int_equal(facts.shells, 10);
    assert_int_equal(facts.hollows, 0);
    assert_close(bly_body_solid(body)->volume, 10.0 * v, 0.0, 1e-5);
    bly_body_free(body);
    body = to_body(&onion, &facts, &err);
    assert_non_null(body);
    assert_int_equal(facts.hollows, 5);
    assert_close(bly_body_solid(body)->volume, 1000.0 * v, 0.0, 1e-5);
    double left = 0.0; /* 10^3 - 9^3 + 8^3 - .. */
    for (int i = 10; i >= 1; i--)
        left += (i % 2 == 0 ? 1.0 : -1.0) * i * i * i * v;
    assert_close(bly_body_material(body)->volume, left, 0.0, 1e-5);
    bly_body_free(body);
    assert_null(to_body(&many, &facts, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_non_null(strstr(err.text, "separate shells"));
    BlyMesh second = mesh_ellipsoid(r, r, r, bly_vec(r, 0.0, 0.0), 6, 7);
    mesh_join(&one, &second, false);
    StlBytes lens = stl_binary(&one, "");
    assert_null(to_body(&lens, &facts, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_non_null(strstr(err.text, "run through each other"));
    bly_body_free(ball);
    bly_mesh_release(&apart);
    bly_mesh_release(&nested);
    bly_mesh_release(&crowd);
    bly_mesh_release(&one);
    free(single.bytes);
    free(row.bytes);
    free(onion.bytes);
    free(many.bytes);
    free(lens.bytes);
}

/* A fin of one facet, three facets at its foot, is no part of a body: it is left out, and counted.
 */
static void a_fin_of_one_facet(void **state) {
    (void)state;
    BlyMesh finned = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(0.05, 0.01, 0.01));
    BlyMesh fin = mesh_room(3, 1);
    for (uint32_t p = 0; p < 2; p++)
        (void)mesh_point(&fin, finned.points[p].x, finned.points[p].y, finned.points[p].z);
    (void)mesh_point(&fin, 0.02, -0.01, -0.02);
    mesh_facet(&fin, 0, 1, 2);
    mesh_join(&finned, &fin, false);
    StlBytes file = stl_binary(&finned, "");
    BlyMesh mesh;
    BlyStlMends mends;
    assert_true(bly_stl_read(file.bytes, file.size, 1e-3, &mesh, &mends, NULL));
    assert_int_equal(mends.removed, 1);
    assert_int_equal(mesh.facet_count, 12);
    bly_mesh_release(&mesh);
    bly_mesh_release(&finned);
    free(file.bytes);
}

/* Sizes no lure has, and a closed mesh of no thickness. */
static void sizes(void **state) {
    (void)state;
    BlyMeshFacts facts;
    BlyError err = {0};
    BlyMesh large = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(2.5, 0.01, 0.01));
    BlyMesh flat = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(0.05, 0.01, 0.01));
    for (size_t p = 0; p < flat.point_count; p++)
        flat.points[p].z = 1e-3 * flat.points[p].x + 2e-3 * flat.points[p].y;
    StlBytes big = stl_binary(&large, ""), sheet = stl_binary(&flat, "");
    assert_null(to_body(&big, &facts, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_non_null(strstr(err.text, "2500 mm long"));
    assert_null(to_body(&sheet, &facts, &err));
    assert_true(err.code == BLY_E_RANGE || err.code == BLY_E_CONFLICT);
    bly_mesh_release(&large);
    bly_mesh_release(&flat);
    free(big.bytes);
    free(sheet.bytes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cut_short),
        cmocka_unit_test(wrong_counts),
        cmocka_unit_test(numbers_that_are_none),
        cmocka_unit_test(normals_do_not_matter),
        cmocka_unit_test(text_out_of_place),
        cmocka_unit_test(shapes_that_are_no_bodies),
        cmocka_unit_test(a_fin_of_one_facet),
        cmocka_unit_test(many_shells),
        cmocka_unit_test(sizes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
