/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program that links the library and has asked for a locale with decimal commas reads the same
 * files and gets the same bytes as one that has not. */
#include "sheet/sheet.h"
#include "ballastry/stl.h"
#include "json/json.h"
#include "report/report.h"
#include "sheet/kit.h"
#include "support/comma.h"

#include <gsl/gsl_errno.h>

static void say_error(BlyText *out, const BlyError *err) {
    bly_text_appendf(out, "%s: %s\n", err->where, err->text);
}

static void say_rest(BlyText *out, const BlyBuild *build) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome outcome;
    Report report = {report_collect(out), BLY_INCH};
    assert_non_null(report.out);
    assert_true(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, NULL));
    assert_true(
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, NULL));
    assert_true(bly_rest(&lure, &water, &outcome, NULL));
    text_outcome(&report, &outcome);
    text_ladder(&report, NULL, &lure);
    text_rig(&report, build, &build->fitted, NULL);
    text_said(&report, build);
    (void)fclose(report.out);
    cJSON *tree = json_outcome(&outcome);
    assert_true(tree != NULL && bly_json_print(tree, out, NULL));
    cJSON_Delete(tree);
    bly_lure_release(&lure);
}

static void say_build(BlyText *out, const BlyBuild *build) {
    char *text = NULL;
    assert_true(bly_build_text_with_rig(build, &build->fitted, &text, NULL));
    bly_text_append(out, text);
    free(text);
}

static void say_sheet(BlyText *out, const BlyBuild *build, const BlyCatalog *catalog) {
    BlySheetFacts facts;
    BlySheet sheet;
    BlySheetOrder order = {.view = BLY_VIEW_PAGE, .paper = BLY_PAPER_A4, .system = BLY_METRIC};
    kit_gather(build, catalog, &facts);
    assert_true(bly_sheet_draw(&facts, NULL, &order, &sheet, NULL));
    for (size_t i = 0; i < sheet.count; i++)
        bly_text_append(out, sheet.pages[i].svg);
    bly_sheet_release(&sheet);
    bly_sheet_facts_release(&facts);
}

/* A mesh as text and back: tests/fuzz/stl/tetrahedron.txt has its corners written with points. */
static void say_mesh(BlyText *out) {
    char *file, *again;
    size_t size, length;
    BlyMesh mesh, same;
    assert_true(bly_file_read("tests/fuzz/stl/tetrahedron.txt", 1 << 20, &file, &size, NULL));
    assert_true(bly_stl_read(file, size, 0.37e-3, &mesh, NULL, NULL));
    assert_true(bly_stl_write(&mesh, 1e-3, BLY_STL_TEXT, &again, &length, NULL));
    assert_true(bly_stl_read(again, length, 1e-3, &same, NULL, NULL));
    bly_text_append(out, again);
    bly_mesh_release(&mesh);
    bly_mesh_release(&same);
    free(file);
    free(again);
}

/* What is refused is told with a number. */
static void say_faults(BlyText *out, BlyCatalog *catalog) {
    static const char off[] =
        "{\"ballastry\": 1, \"name\": \"off\", \"body\": {\"material\": \"balsa\", \"stations\": ["
        "{\"x\": \"0.5 mm\", \"diameter\": \"0 mm\"}, {\"x\": \"20.5 mm\", \"diameter\": \"9.5 "
        "mm\"}]},"
        " \"seats\": {\"tie\": {\"kind\": \"tie\", \"side\": \"nose\", \"x\": \"77.25 mm\"}}}";
    static const char weighed[] = "id,mass,give\nballsa,0.5 g,0.25 g\n";
    BlyBuild *build = NULL;
    BlyError err = {0};
    assert_false(bly_build_read(off, sizeof off - 1, catalog, &build, &err));
    assert_non_null(strstr(err.text, "77.25"));
    say_error(out, &err);
    assert_false(bly_catalog_read_csv(catalog, weighed, sizeof weighed - 1, &err));
    say_error(out, &err);
    BlyWater water;
    assert_false(bly_water_at(-0.5, 0.0, &water, &err));
    assert_non_null(strstr(err.text, "-0.5"));
    say_error(out, &err);
}

/* Bodies by stations, by a caliper list, by a drawing and by a mesh. */
static char *everything(void) {
    static const char *const paths[] = {"examples/larch-minnow.json", "examples/caliper-stick.json",
                                        "examples/traced-minnow.json", "examples/mesh-minnow.json"};
    BlyCatalog catalog;
    BlyText out = {0};
    kit_catalog(&catalog, true);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        BlyBuild *build = kit_build(paths[i], &catalog);
        say_rest(&out, build);
        say_build(&out, build);
        if (i == 0)
            say_sheet(&out, build, &catalog);
        bly_build_free(build);
    }
    say_mesh(&out);
    say_faults(&out, &catalog);
    bly_catalog_release(&catalog);
    return bly_text_detach(&out);
}

static void comma_locales_change_nothing(void **state) {
    (void)state;
    char *points = everything();
    assert_non_null(points);
    if (comma_begin()) {
        char *commas = everything(), text[8];
        (void)snprintf(text, sizeof text, "%.1f", 0.5);
        assert_string_equal(text, "0,5"); /* and the program's own locale is left alone */
        comma_end();
        assert_string_equal(commas, points);
        free(commas);
    }
    free(points);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(comma_locales_change_nothing)};
    (void)gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
