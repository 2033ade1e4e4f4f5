/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build's body out to STL and back: read by admesh as a second reading, and as a build whose body
 * is that mesh, which rests as the first one does. */
#include "ballastry/facets.h"
#include "desk/print_body.h"
#include "lure/kit.h"
#include "support/beside.h"
#include "support/shipped.h"
#include "support/stl_bytes.h"

#include <admesh/stl.h>
#include <unistd.h>

static BlyBuild *build_of(const char *path) {
    BlyBuild *build = NULL;
    BlyBuildFiles files = beside_files(path);
    char *text;
    size_t size;
    must(bly_file_read(path, (size_t)1 << 20, &text, &size, err));
    must(bly_build_read_with(text, size, &catalog, &files, &build, err));
    free(text);
    return build;
}

static PrintOrder order_of(double chord, bool whole, BlyStlKind kind) {
    return (PrintOrder){.chord = chord, .slot_gap = 1.2e-3, .whole = whole, .kind = kind};
}

/* ---- admesh ---- */

static stl_file second_reading(const PrintedBody *printed, char path[32]) {
    (void)snprintf(path, 32, "/tmp/print-XXXXXX");
    int file = mkstemp(path);
    assert_true(file >= 0);
    assert_int_equal(write(file, printed->bytes, printed->size), printed->size);
    (void)close(file);
    stl_file stl;
    stl_open(&stl, path);
    assert_int_equal(stl_get_error(&stl), 0);
    return stl;
}

/* Every edge of every facet meets one of another facet exactly; the volume is that of the true
 * body less what sections of it say that the slot takes; the nose is at 0 and the size life size.
 */
static void admesh_finds_it_closed(void **state) {
    (void)state;
    static const char *const examples[] = {"examples/board-lip.json", "examples/larch-minnow.json",
                                           "examples/sinker-swap.json"};
    for (size_t i = 0; i < 6; i++) {
        BlyBuild *build = build_of(examples[i / 2]);
        PrintOrder order = order_of(2e-5, false, i % 2 ? BLY_STL_TEXT : BLY_STL_BINARY);
        PrintedBody printed;
        char path[32];
        must(print_body(build, &build->fitted, &order, &printed, err));
        stl_file stl = second_reading(&printed, path);
        stl_check_facets_exact(&stl);
        stl_calculate_volume(&stl);
        assert_int_equal(stl.stats.number_of_facets, printed.facets);
        assert_int_equal(stl.stats.degenerate_facets, 0);
        assert_int_equal(stl.stats.connected_facets_3_edge, printed.facets);
        double area = bly_body_surface(build->shape)->area, slot = printed.slot_volume;
        assert_close(1e-9 * (double)stl.stats.volume, bly_body_solid(build->shape)->volume - slot,
                     2e-5 * area, 0);
        BlyBox box = bly_body_box(build->shape);
        assert_close((double)stl.stats.min.x, 0, 1e-4, 0);
        assert_close((double)stl.stats.size.x, 1e3 * (box.high.x - box.low.x), 1e-4, 0);
        assert_close((double)stl.stats.size.z, 1e3 * (box.high.z - box.low.z), 0.02, 0);
        assert_int_equal(printed.slots, i < 4 ? 1 : 0);
        stl_close(&stl);
        (void)unlink(path);
        print_body_release(&printed);
        bly_build_free(build);
    }
}

/* ---- back as a build ---- */

static bool hand_over(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const PrintedBody *printed = context;
    (void)name;
    *text = malloc(printed->size + 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory");
    memcpy(*text, printed->bytes, printed->size);
    (*text)[printed->size] = '\0';
    *size = printed->size;
    return true;
}

static BlyBuild *with_mesh(const BlyBuild *build, PrintedBody *printed) {
    const BlyEdit edits[] = {{"/body/stations", NULL},    {"/body/section", NULL},
                             {"/body/mesh", "\"b.stl\""}, {"/body/unit", "\"mm\""},
                             {"/body/nose", "\"-x\""},    {"/body/up", "\"+z\""}};
    const BlyBuildFiles files = {.read = hand_over, .context = printed};
    BlyBuild *again = NULL;
    char *text = NULL;
    must(bly_build_text_with_all(build, edits, sizeof edits / sizeof edits[0], &text, err));
    must(bly_build_read_with(text, strlen(text), &catalog, &files, &again, err));
    free(text);
    return again;
}

static BlyOutcome rest_of(const BlyBuild *build) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome outcome;
    must(bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err));
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    must(bly_rest(&lure, &water, &outcome, err));
    bly_lure_release(&lure);
    return outcome;
}

static void it_rests_as_before(void **state) {
    (void)state;
    static const char *const examples[] = {"examples/sinker-swap.json",
                                           "examples/cedar-floater.json"};
    for (size_t i = 0; i < 2; i++) {
        const double chord = 5e-6;
        BlyBuild *build = build_of(examples[i]);
        PrintOrder order = order_of(chord, true, BLY_STL_BINARY);
        PrintedBody printed;
        must(print_body(build, &build->fitted, &order, &printed, err));
        BlyBuild *again = with_mesh(build, &printed);
        BlyOutcome a = rest_of(build), b = rest_of(again);
        double skin = chord * bly_body_surface(build->shape)->area;
        assert_close(b.sums.net_weight, a.sums.net_weight, 1000 * skin, 0);
        assert_close(b.sums.mass, a.sums.mass, 1200 * skin, 0);
        assert_close(b.sums.buoyancy.z - b.sums.gravity.z, a.sums.buoyancy.z - a.sums.gravity.z,
                     2 * chord, 0);
        assert_close(b.sums.buoyancy.x - b.sums.gravity.x, a.sums.buoyancy.x - a.sums.gravity.x,
                     2 * chord, 0);
        /* What is seen of a mesh and of stations is worked out by different ways: 1 % of it. */
        assert_close(b.nose_down, a.nose_down, 0.02, 0);
        assert_close(b.drift, a.drift, 0, 0.02);
        assert_int_equal(b.has_surface, a.has_surface);
        if (a.has_surface)
            assert_close(b.surface.shows, a.surface.shows, 2e-3, 0);
        bly_build_free(again);
        print_body_release(&printed);
        bly_build_free(build);
    }
}

/* A body that is a mesh goes out as it came in. */
static void a_mesh_goes_out_as_it_is(void **state) {
    (void)state;
    BlyBuild *build = build_of("examples/mesh-minnow.json");
    PrintOrder order = order_of(1e-3, false, BLY_STL_BINARY);
    PrintedBody printed;
    BlyMesh back;
    must(print_body(build, &build->fitted, &order, &printed, err));
    assert_true(printed.of_mesh);
    must(bly_stl_read(printed.bytes, printed.size, 1e-3, &back, NULL, err));
    const BlyMesh *own = bly_body_mesh(build->shape);
    assert_int_equal(back.facet_count, own->facet_count);
    assert_int_equal(back.point_count, own->point_count);
    assert_close(bly_mesh_volume(&back), bly_mesh_volume(own), 0, 1e-6);
    bly_mesh_release(&back);
    print_body_release(&printed);
    bly_build_free(build);
}

/* ---- hollow bodies ---- */

static BlyBuild *hollow_build(PrintedBody *file, const char *seats) {
    char text[600];
    const BlyBuildFiles files = {.read = hand_over, .context = file};
    BlyBuild *build = NULL;
    (void)snprintf(text, sizeof text,
                   "{\"ballastry\": 1, \"name\": \"a\", \"body\": {\"mesh\": \"b.stl\", \"unit\": "
                   "\"mm\", \"nose\": \"-x\", \"up\": \"+z\", \"material\": {\"density\": "
                   "\"1.2 g/cm3\"}}%s}",
                   seats);
    must(bly_build_read_with(text, strlen(text), &catalog, &files, &build, err));
    return build;
}

static PrintedBody as_file(BlyMesh *mesh) {
    StlBytes bytes = stl_binary(mesh, "made up");
    bly_mesh_release(mesh);
    return (PrintedBody){.bytes = bytes.bytes, .size = bytes.size};
}

/* A bored brick with a loose ball in its bore: out and back it is the same body. */
static void hollows_go_out_and_come_back(void **state) {
    (void)state;
    BlyMesh mesh = mesh_brick(bly_vec(0, -7e-3, -10e-3), bly_vec(90e-3, 7e-3, 10e-3));
    BlyMesh bore = mesh_brick(bly_vec(50e-3, -5e-3, -2e-3), bly_vec(80e-3, 4e-3, 8e-3));
    BlyMesh ball = mesh_ellipsoid(3e-3, 3e-3, 3e-3, bly_vec(60e-3, 0, 3e-3), 12, 16);
    double v = bly_mesh_volume(&mesh), h = bly_mesh_volume(&bore), b = bly_mesh_volume(&ball);
    mesh_join(&mesh, &bore, false); /* whichever way it faces */
    mesh_join(&mesh, &ball, false);
    PrintedBody file = as_file(&mesh), printed;
    BlyBuild *build = hollow_build(&file, "");
    PrintOrder order = order_of(1e-4, false, BLY_STL_TEXT);
    must(print_body(build, &build->fitted, &order, &printed, err));
    BlyBuild *again = hollow_build(&printed, "");
    const BlyItem *was = &build->blank.items[0], *is = &again->blank.items[0];
    assert_close(printed.volume, v - h + b, 0, 1e-6);
    assert_close(again->blank.hull_volume, v, 0, 1e-6);
    assert_close(is->mass, 1200 * (v - h + b), 0, 1e-6);
    assert_close(is->at.x, (45e-3 * v - 65e-3 * h + 60e-3 * b) / (v - h + b), 1e-8, 0);
    assert_close(is->mass, was->mass, 0, 1e-7);
    assert_close(is->at.x, was->at.x, 1e-9, 0);
    assert_close(is->at.y, was->at.y, 1e-9, 0);
    assert_close(is->at.z, was->at.z, 1e-9, 0);
    bly_build_free(build);
    bly_build_free(again);
    print_body_release(&file);
    print_body_release(&printed);
}

/* A slot 6 mm deep through a wall of 4 mm: of the bore it takes air. The volume of what is left in
 * the file, by hand. The bore ends within the slot, or does not. */
static void a_slot_goes_through_the_wall(void **state) {
    (void)state;
    for (int ends = 0; ends < 2; ends++) {
        double bore_from = ends == 1 ? 39.8e-3 : 20e-3;
        BlyMesh mesh = mesh_brick(bly_vec(0, -7e-3, -10e-3), bly_vec(90e-3, 7e-3, 10e-3));
        BlyMesh bore = mesh_brick(bly_vec(bore_from, -5e-3, -6e-3), bly_vec(80e-3, 5e-3, 8e-3));
        double whole = bly_mesh_volume(&mesh) - bly_mesh_volume(&bore);
        mesh_join(&mesh, &bore, true);
        PrintedBody file = as_file(&mesh), printed;
        BlyBuild *build =
            hollow_build(&file, ", \"seats\": {\"lip\": {\"kind\": \"slot\", \"side\": \"belly\", "
                                "\"x\": 40, \"angle\": 90, \"depth\": 6, \"gap\": 1}}");
        PrintOrder order = order_of(1e-4, false, BLY_STL_BINARY);
        order.slot_gap = 1e-3;
        must(print_body(build, &build->fitted, &order, &printed, err));
        double air = (ends == 1 ? 0.7e-3 : 1e-3) * 2e-3 * 10e-3; /* slot from 39.5 to 40.5 */
        double taken = 1e-3 * 6e-3 * 14e-3 - air;
        double wall = 6e-3 * 14e-3 + 4e-6 * 1e3 * 6e-3 * 14e-3; /* planes move by 2 micrometres */
        assert_close(printed.slot_volume, taken, ends == 1 ? taken / 64 : 1e-13, 0);
        assert_close(printed.volume, whole - taken, 6e-6 * wall, 0);
        bly_build_free(build);
        print_body_release(&file);
        print_body_release(&printed);
    }
}

static void what_is_refused(void **state) {
    (void)state;
    BlyBuild *build = build_of("examples/larch-minnow.json");
    PrintOrder order = order_of(2e-5, false, BLY_STL_BINARY);
    PrintedBody printed;
    BlyError err = {0};
    int lip = bly_build_seat(build, "lip");
    order.slot_gap = NAN;
    build->seats[lip].gap = NAN;
    assert_false(print_body(build, &build->fitted, &order, &printed, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    assert_string_equal(err.where, "lip");
    print_body_release(&printed);
    order.slot_gap = 1e-3;
    build->seats[lip].depth = 60e-3;
    assert_false(print_body(build, &build->fitted, &order, &printed, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    print_body_release(&printed);
    order.chord = 0;
    assert_false(print_body(build, &build->fitted, &order, &printed, &err));
    assert_string_equal(err.where, "/chord");
    print_body_release(&printed);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(admesh_finds_it_closed),
        cmocka_unit_test(it_rests_as_before),
        cmocka_unit_test(a_mesh_goes_out_as_it_is),
        cmocka_unit_test(hollows_go_out_and_come_back),
        cmocka_unit_test(a_slot_goes_through_the_wall),
        cmocka_unit_test(what_is_refused),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
