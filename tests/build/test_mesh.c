/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies from STL files: unit, how they lie, what is said, and printed bodies. The mesh is a
 * frustum or a brick, whose figures have closed forms. */
#include "build/build.h"
#include "build/shelf.h"
#include "support/stl_bytes.h"

#include <gsl/gsl_errno.h>

static bool give_bytes(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const StlBytes *file = context;
    if (strcmp(name, "body.stl") != 0)
        return bly_fail(err, BLY_E_IO, name, "cannot be opened");
    *size = file->size;
    *text = calloc(file->size + 1, 1);
    assert_non_null(*text);
    memcpy(*text, file->bytes, file->size);
    return true;
}

static bool read_body(const BlyCatalog *shelf, const BlyMesh *mesh, const char *keys,
                      BlyBuild **build, BlyError *err) {
    char text[512];
    StlBytes file = stl_binary(mesh, "made up");
    const BlyBuildFiles files = {.read = give_bytes, .context = &file};
    (void)snprintf(text, sizeof text,
                   "{\"ballastry\": 1, \"name\": \"a\", \"body\": {\"mesh\": \"body.stl\", "
                   "\"material\": {\"density\": \"1.2 g/cm3\", \"give\": \"0.03 g/cm3\"}%s}}",
                   keys);
    bool good = bly_build_read_with(text, strlen(text), shelf, &files, build, err);
    free(file.bytes);
    return good;
}

static BlyBuild *read_good(const BlyCatalog *shelf, const BlyMesh *mesh, const char *keys) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!read_body(shelf, mesh, keys, &build, &err))
        fail_msg("%s: %s: %s", keys, err.where, err.text);
    return build;
}

static bool says(const BlyBuild *build, const char *words) {
    for (size_t i = 0; i < build->said_count; i++) {
        if (strstr(build->said[i], words) != NULL)
            return true;
    }
    return false;
}

/* Turns x, y, z into y, z, x and so on, and mirrors the first axis with its facets. */
static void lay_along(BlyMesh *mesh, int axis, bool mirror) {
    for (size_t p = 0; p < mesh->point_count; p++) {
        BlyVec3 q = mesh->points[p];
        double x = mirror ? -q.x : q.x;
        mesh->points[p] = axis == 0   ? bly_vec(x, q.y, q.z)
                          : axis == 1 ? bly_vec(q.z, x, q.y)
                                      : bly_vec(q.y, q.z, x);
    }
}

/* A frustum with the thick end ahead lies as it was drawn, whichever way that was: its centroid
 * from the thick end is L/4 (R^2 + 2 R r + 3 r^2)/(R^2 + R r + r^2). */
static void the_nose_is_found_and_said(void **state) {
    static const char *const along[3][2] = {{"-x", "+x"}, {"-y", "+y"}, {"-z", "+z"}};
    const double length = 0.08, r0 = 0.009, r1 = 0.004;
    double squares = r0 * r0 + r0 * r1 + r1 * r1;
    double x = length / 4.0 * (r0 * r0 + 2.0 * r0 * r1 + 3.0 * r1 * r1) / squares;
    for (int axis = 0; axis < 3; axis++) {
        for (int mirror = 0; mirror < 2; mirror++) {
            BlyMesh mesh = mesh_frustum(length, r0, r1, 48);
            lay_along(&mesh, axis, mirror);
            BlyBuild *build = read_good(*state, &mesh, ", \"unit\": \"mm\"");
            assert_close(bly_body_solid(build->shape)->centroid.x, x, 0.0, 1e-6);
            assert_close(bly_body_box(build->shape).low.x, 0.0, 1e-12, 0.0);
            assert_close(bly_body_box(build->shape).high.x, length, 0.0, 1e-6);
            assert_true(says(build, along[axis][mirror]));
            bly_build_free(build);
            bly_mesh_release(&mesh);
        }
    }
}

/* A brick 90 x 14 x 20 with the nose named: width across nose and up, height along up. */
static void nose_and_up_are_taken_as_named(void **state) {
    BlyMesh mesh = mesh_brick(bly_vec(0.01, 0.0, -0.03), bly_vec(0.1, 0.014, -0.01));
    static const struct {
        const char *keys;
        double length, width, height;
    } cases[] = {
        {", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\"", 0.09, 0.014, 0.02},
        {", \"unit\": \"mm\", \"nose\": \"+x\", \"up\": \"-y\"", 0.09, 0.02, 0.014},
        {", \"unit\": \"mm\", \"nose\": \"+z\", \"up\": \"+x\"", 0.02, 0.014, 0.09},
        {", \"unit\": \"cm\", \"nose\": \"-y\", \"up\": \"-z\"", 0.14, 0.9, 0.2},
        {", \"unit\": \"in\", \"nose\": \"-x\", \"up\": \"+z\"", 2.286, 0.3556, 0.508},
    };
    for (size_t i = 0; i + 1 < sizeof cases / sizeof cases[0]; i++) {
        BlyBuild *build = read_good(*state, &mesh, cases[i].keys);
        BlyBox box = bly_body_box(build->shape);
        assert_int_equal(build->said_count, 0);
        assert_close(box.low.x, 0.0, 1e-12, 0.0);
        assert_close(box.high.x, cases[i].length, 0.0, 1e-6);
        assert_close(box.high.y, cases[i].width / 2.0, 0.0, 1e-6);
        assert_close(box.low.z, -cases[i].height / 2.0, 0.0, 1e-6);
        bly_build_free(build);
    }
    BlyBuild *build = NULL; /* as inches it would be over 2 m long */
    BlyError err = {0};
    assert_false(read_body(*state, &mesh, cases[4].keys, &build, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_non_null(strstr(err.text, "2286 mm"));
    bly_mesh_release(&mesh);
}

/* A brick with a second one at its starboard side leans that way; the brick alone does not. */
static void one_sided_bodies_are_said(void **state) {
    BlyMesh mesh = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(0.09, 0.007, 0.01));
    BlyBuild *build =
        read_good(*state, &mesh, ", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\"");
    assert_false(says(build, "from side to side"));
    bly_build_free(build);
    BlyMesh side = mesh_brick(bly_vec(0.03, 0.008, -0.003), bly_vec(0.05, 0.012, 0.003));
    mesh_join(&mesh, &side, false);
    build = read_good(*state, &mesh, ", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\"");
    assert_true(says(build, "from side to side"));
    /* 14 x 19 wide over all, middle at 2.5 mm: centroids -2.5 and 7.5 mm from there */
    double v = 0.09 * 0.014 * 0.02, w = 0.02 * 0.004 * 0.006;
    assert_close(bly_body_solid(build->shape)->centroid.y, (-0.0025 * v + 0.0075 * w) / (v + w),
                 1e-8, 1e-5);
    bly_build_free(build);
    bly_mesh_release(&mesh);
}

static void what_is_wrong_is_said(void **state) {
    BlyMesh mesh = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(0.09, 0.014, 0.02));
    static const struct {
        const char *keys, *where, *text;
        BlyCode code;
    } cases[] = {
        {"", "/body", "measures 90 by 14 by 20", BLY_E_MISSING},
        {", \"unit\": \"kg\"", "/body/unit", "not a unit of length", BLY_E_UNIT},
        {", \"unit\": \"mm\", \"nose\": \"+x\", \"up\": \"-x\"", "/body/up", "one axis",
         BLY_E_CONFLICT},
        {", \"unit\": \"mm\", \"wall\": \"200 mm\", \"infill\": 0", "/body/wall", "", BLY_E_RANGE},
        {", \"unit\": \"mm\", \"stations\": []", "/body/mesh", "already", BLY_E_CONFLICT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyBuild *build = NULL;
        BlyError err = {0};
        assert_false(read_body(*state, &mesh, cases[i].keys, &build, &err));
        if (err.code != cases[i].code || strcmp(err.where, cases[i].where) != 0 ||
            strstr(err.text, cases[i].text) == NULL)
            fail_msg("%s: %s: %s", cases[i].keys, err.where, err.text);
    }
    mesh.facet_count--; /* a hole as large as half a side */
    BlyBuild *build = NULL;
    BlyError err = {0};
    assert_false(read_body(*state, &mesh, ", \"unit\": \"mm\"", &build, &err));
    assert_string_equal(err.where, "/body/mesh");
    assert_non_null(strstr(err.text, "is not closed"));
    bly_mesh_release(&mesh);
}

static const BlySlip *slip_at(const BlyBuild *build, const char *where) {
    for (size_t i = 0; i < build->slips.count; i++) {
        if (strcmp(build->slips.at[i].where, where) == 0)
            return &build->slips.at[i];
    }
    return NULL;
}

/* 90 mm are 3.543 in (NIST SP 811, 2008, appendix B.8): a mesh drawn in inches and read in mm. One
 * that is short in any unit is not told that it is in inches. */
static void inches_taken_for_mm_are_said(void **state) {
    static const struct {
        double length;
        const char *unit, *text;
    } cases[] = {{90.0 / 25.4, "mm", "\"unit\": \"in\" (new --unit in): 90 mm"},
                 {90.0 / 25.4, "in", NULL},
                 {90.0, "mm", NULL},
                 {0.5, "mm", "0.5 mm long, lures are mostly 20 to 400 mm"},
                 {90.0, "cm", "900 mm long"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char keys[40];
        double l = 1e-3 * cases[i].length;
        BlyMesh mesh =
            mesh_brick(bly_vec(0.0, -0.08 * l, -0.11 * l), bly_vec(l, 0.08 * l, 0.11 * l));
        (void)snprintf(keys, sizeof keys, ", \"unit\": \"%s\"", cases[i].unit);
        BlyBuild *build = read_good(*state, &mesh, keys);
        const BlySlip *slip = slip_at(build, "/body/mesh");
        assert_int_equal(slip != NULL, cases[i].text != NULL);
        if (slip != NULL && strstr(slip->text, cases[i].text) == NULL)
            fail_msg("%s", slip->text);
        bly_build_free(build);
        bly_mesh_release(&mesh);
    }
}

static void two_bodies_are_one_rigid_lure(void **state) {
    BlyMesh mesh = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(0.045, 0.007, 0.01));
    BlyMesh tail = mesh_brick(bly_vec(0.05, -0.006, -0.009), bly_vec(0.09, 0.006, 0.009));
    mesh_join(&mesh, &tail, false);
    BlyBuild *build = read_good(*state, &mesh, ", \"unit\": \"mm\"");
    assert_true(
        says(build, "2 bodies apart from each other, worked as one rigid lure: what hinges"));
    bly_build_free(build);
    bly_mesh_release(&mesh);
}

/* Where closing the holes by guess folds the surface, it is the holes that are told, with the place
 * of one of the facets that are missing. */
static void holes_that_cannot_be_closed_are_told_as_holes(void **state) {
    BlyMesh mesh = mesh_ellipsoid(0.045, 0.009, 0.009, bly_vec(0.045, 0.0, 0.0), 15, 24);
    static const size_t missing[] = {275, 274, 247, 246, 245, 244, 216, 163, 162, 132};
    BlyBuild *build = NULL;
    BlyError err = {0};
    for (size_t i = 0; i < sizeof missing / sizeof missing[0]; i++) {
        mesh.facet_count--;
        memmove(&mesh.facets[missing[i]], &mesh.facets[missing[i] + 1],
                (mesh.facet_count - missing[i]) * sizeof mesh.facets[0]);
    }
    assert_false(read_body(*state, &mesh, ", \"unit\": \"mm\"", &build, &err));
    assert_string_equal(err.where, "/body/mesh");
    assert_non_null(strstr(err.text, "is not closed: an edge has no second facet, at facet "));
    assert_non_null(strstr(err.text, " mm in the file's axes, the first of "));
    assert_null(strstr(err.text, "folded back"));
    bly_mesh_release(&mesh);
    mesh = mesh_ellipsoid(0.045, 0.009, 0.009, bly_vec(0.045, 0.0, 0.0), 15, 24);
    mesh.facet_count--;
    build = read_good(*state, &mesh, ", \"unit\": \"mm\"");
    assert_true(says(build, "1 facet added to close a hole; it was open at facet "));
    bly_build_free(build);
    bly_mesh_release(&mesh);
}

/* A printed brick: skin w on all six faces, infill f behind it. The core is (a - 2w)(b - 2w)(c -
 * 2w). The grid's own error on a brick is below 2 % of the skin (docs/shape.md). */
static void a_printed_brick(void **state) {
    const double a = 0.09, b = 0.014, c = 0.02, w = 0.0012, f = 0.15;
    BlyMesh mesh = mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(a, b, c));
    BlyBuild *build = read_good(*state, &mesh,
                                ", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\", \"wall\": "
                                "\"1.2 mm\", \"infill\": \"15 %\"");
    double whole = a * b * c, core = (a - 2 * w) * (b - 2 * w) * (c - 2 * w);
    double filled = (whole - core + f * core) / whole;
    assert_close(build->filled.value, filled, 0.02 * (whole - core) / whole, 0.0);
    assert_close(build->blank.body_mass, 1200.0 * whole * build->filled.value, 0.0, 1e-6);
    assert_close(build->blank.hull_volume, whole, 0.0, 1e-6);
    /* 0.1 mm of wall all over, 10 % of the infill, 30 kg/m3 of 1200 */
    double by_wall = 1e-4 * (1 - f) * 2 * (a * b + b * c + c * a) / whole;
    double by_infill = 0.1 * f * core / whole;
    double give = hypot(30.0 / 1200.0, hypot(by_wall, by_infill) / filled);
    assert_close(build->facts.density.give / build->facts.density.value, give, 0.0, 0.03);
    bly_build_free(build);
    /* a body of skin alone balances at its skin's centroid: here the middle */
    build = read_good(*state, &mesh, ", \"unit\": \"mm\", \"wall\": \"1 mm\", \"infill\": \"0 %\"");
    assert_close(build->facts.balance.value, a / 2.0, 1e-6, 0.0);
    assert_true(says(build, "material fills"));
    bly_build_free(build);
    bly_mesh_release(&mesh);
}

/* A hollow towards the tail moves the centre of mass forward and the displaced volume not at all.
 */
static void a_hollow_moves_the_centre(void **state) {
    BlyMesh mesh = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(0.09, 0.007, 0.01));
    BlyMesh hollow = mesh_brick(bly_vec(0.06, -0.004, -0.006), bly_vec(0.08, 0.004, 0.006));
    mesh_join(&mesh, &hollow, true);
    BlyBuild *build =
        read_good(*state, &mesh, ", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\"");
    double v = 0.09 * 0.014 * 0.02, h = 0.02 * 0.008 * 0.012;
    assert_close(build->blank.body_mass, 1200.0 * (v - h), 0.0, 1e-6);
    assert_close(build->blank.items[0].at.x, (v * 0.045 - h * 0.07) / (v - h), 0.0, 1e-6);
    assert_close(build->blank.hull_volume, v, 0.0, 1e-6);
    assert_true(says(build, "1 hollow, 1.92 cm3"));
    bly_build_free(build);
    bly_mesh_release(&mesh);
}

static int load(void **state) {
    static BlyCatalog shelf;
    (void)gsl_set_error_handler_off();
    shelf_material(&shelf, (char *)"larch", 590.0, 60.0);
    *state = &shelf;
    return 0;
}

/* A mesh glued of pieces: a brick's layers are bricks. Hollow ones take solids alone. */
static void pieces_of_a_mesh(void **state) {
    BlyMesh brick = mesh_brick(bly_vec(0.0, -0.006, -0.01), bly_vec(0.08, 0.006, 0.01));
    const char *pieces =
        ", \"unit\": \"mm\", \"pieces\": [{\"name\": \"belly\", \"below\": \"-4 mm\", "
        "\"density\": \"0.4 g/cm3\"}]";
    char printed[256];
    BlyBuild *build = read_good(*state, &brick, pieces);
    const BlyItem *items = build->blank.items;
    assert_close(items[0].mass, 1200.0 * 0.08 * 0.012 * 0.014, 0.0, 1e-6);
    assert_close(items[1].mass, 400.0 * 0.08 * 0.012 * 0.006, 0.0, 1e-6);
    assert_close(items[1].at.z, -0.007, 1e-8, 0.0);
    assert_close(items[0].at.z, 0.003, 1e-8, 0.0);
    bly_build_free(build);
    BlyError err = {0};
    (void)snprintf(printed, sizeof printed, "%s, \"wall\": \"1 mm\", \"infill\": \"20 %%\"",
                   pieces);
    assert_false(read_body(*state, &brick, printed, &build, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_string_equal(err.where, "/body/pieces/0");
    /* a ball of lead-like density in the infill: 20 % of 1.2 g/cm3 gives way to it */
    const char *ball =
        ", \"unit\": \"mm\", \"wall\": \"1 mm\", \"infill\": \"20 %\", \"pieces\": "
        "[{\"name\": \"ball\", \"x\": 40, \"diameter\": 6, \"density\": \"11 g/cm3\"}]";
    build = read_good(*state, &brick, ball);
    double size = 4.0 / 3.0 * 3.14159265358979 * 27e-9;
    double filled = bly_body_material(build->shape)->volume;
    assert_close(build->blank.items[1].mass, 11000.0 * size, 0.0, 1e-9);
    assert_close(build->blank.items[0].mass, 1200.0 * (filled - 0.2 * size), 0.0, 1e-5);
    bly_build_free(build);
    bly_mesh_release(&brick);
}

static int unload(void **state) {
    bly_catalog_release(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_of_a_mesh),
        cmocka_unit_test(the_nose_is_found_and_said),
        cmocka_unit_test(nose_and_up_are_taken_as_named),
        cmocka_unit_test(one_sided_bodies_are_said),
        cmocka_unit_test(what_is_wrong_is_said),
        cmocka_unit_test(inches_taken_for_mm_are_said),
        cmocka_unit_test(two_bodies_are_one_rigid_lure),
        cmocka_unit_test(holes_that_cannot_be_closed_are_told_as_holes),
        cmocka_unit_test(a_printed_brick),
        cmocka_unit_test(a_hollow_moves_the_centre),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
