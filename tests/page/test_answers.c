/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the routes answer is what the commands say: the same rooms called by hand, the program's own
 * JSON, and laws of geometry. */
#include "page/kit.h"
#include "sheet/sheet.h"
#include "report/report.h"

#include <math.h>

static cJSON *body_with_build(const char *path) {
    char *build = file_text(path);
    cJSON *o = cJSON_CreateObject();
    (void)cJSON_AddStringToObject(o, "build", build);
    free(build);
    return o;
}

/* What the program prints for these words after `ballastry`. */
static cJSON *command_json(const char *words) {
    char command[600], *text = NULL;
    size_t size = 0;
    (void)snprintf(command, sizeof command, "\"${BALLASTRY:-.build/opt/ballastry}\" %s --json",
                   words);
    FILE *out = popen(command, "r");
    assert_non_null(out);
    assert_true(bly_descriptor_read(fileno(out), "ballastry", 1 << 22, &text, &size, NULL));
    (void)pclose(out);
    cJSON *tree = cJSON_ParseWithLength(text, size);
    free(text);
    assert_non_null(tree);
    cJSON_DeleteItemFromObjectCaseSensitive(tree, "ballastry_result"); /* the page has none */
    cJSON_DeleteItemFromObjectCaseSensitive(tree, "command");
    return tree;
}

static void same_at(const cJSON *a, const cJSON *b, const char *key) {
    if (!cJSON_Compare(at(a, key), at(b, key), true))
        fail_msg("%s differs from the command's", key);
}

static void test_rest_and_sure_are_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("rest examples/cedar-floater.json");
    cJSON *rest = post_tree("/api/rest", body_with_build("examples/cedar-floater.json"), 200);
    cJSON *sure = post_tree("/api/sure", body_with_build("examples/cedar-floater.json"), 200);
    same_at(rest, said, "outcome");
    same_at(rest, said, "ladder");
    same_at(rest, said, "influence_of_100_mg");
    same_at(rest, said, "target");
    same_at(sure, said, "spread");
    same_at(sure, said, "reserve");
    assert_non_null(strstr(text_at(sure, "text"), "right first time: "));
    cJSON_Delete(said);
    cJSON_Delete(rest);
    cJSON_Delete(sure);
}

static void swap_to(cJSON *list, const char *seat, const char *kind, const char *id) {
    cJSON *o = cJSON_CreateObject();
    assert_non_null(cJSON_AddStringToObject(o, "seat", seat));
    assert_non_null(cJSON_AddStringToObject(o, "kind", kind));
    assert_non_null(cJSON_AddStringToObject(o, "id", id));
    (void)cJSON_AddItemToArray(list, o);
}

/* A lip takes two at once: neither a sheet nor an outline will do alone. */
static void test_several_swaps_are_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("swap examples/larch-minnow.json --at lip.sheet=copper-18ga "
                               "--at lip.outline=tongue-15");
    cJSON *body = body_with_build("examples/larch-minnow.json");
    cJSON *list = cJSON_AddArrayToObject(body, "after");
    swap_to(list, "lip", "sheet", "copper-18ga");
    swap_to(list, "lip", "outline", "tongue-15");
    cJSON *swapped = post_tree("/api/swap", body, 200);
    assert_true(cJSON_Compare(at(at(swapped, "after"), "outcome"), at(said, "after"), true));
    assert_true(cJSON_Compare(at(at(swapped, "before"), "outcome"), at(said, "before"), true));
    cJSON_Delete(swapped);
    cJSON_Delete(said);
    body = body_with_build("examples/larch-minnow.json");
    swap_to(cJSON_AddArrayToObject(body, "after"), "lip", "sheet", "no-such");
    cJSON_Delete(post_tree("/api/swap", body, 422));
}

/* ---- the drawing ---- */

static const cJSON *shape_of(const cJSON *drawing, const char *kind) {
    const cJSON *shape;
    cJSON_ArrayForEach(shape, at(drawing, "shapes")) {
        if (strcmp(text_at(shape, "kind"), kind) == 0)
            return shape;
    }
    fail_msg("nothing of kind %s is drawn", kind);
    return NULL;
}

static double coordinate(const cJSON *points, int index, int which) {
    return cJSON_GetArrayItem(cJSON_GetArrayItem(points, index), which)->valuedouble;
}

/* Area within a polygon, by the shoelace formula (textbook geometry). */
static double polygon_area(const cJSON *points) {
    double sum = 0;
    int count = cJSON_GetArraySize(points);
    for (int i = 0; i < count; i++) {
        int next = (i + 1) % count;
        sum += coordinate(points, i, 0) * coordinate(points, next, 1) -
               coordinate(points, next, 0) * coordinate(points, i, 1);
    }
    return fabs(sum) / 2;
}

/* Turning keeps areas: the hull's outline as drawn holds the area seen from the side, whatever the
 * angle. Points are rounded to 0.01 mm and stand on a curve of 146 points: 1 % is asked. */
static void test_outline_keeps_the_side_area(void **state) {
    (void)state;
    BlyBuild *build;
    assert_true(bly_build_read(example, strlen(example), bench.catalog, &build, NULL));
    double side = bly_body_side(build->blank.hull)->area * 1e6;
    cJSON *tree = post("/api/rest", example, NULL, 0, 200);
    const cJSON *drawing = at(tree, "drawing");
    assert_close(number_at(drawing, "heel_deg"), 0, 1e-9, 0);
    assert_true(fabs(number_at(drawing, "nose_down_deg")) > 1);
    assert_close(polygon_area(at(shape_of(drawing, "body"), "points")), side, 0, 0.01);
    cJSON_Delete(tree);
    bly_build_free(build);
}

/* A flat board that is lighter below than above floats on its side: seen from port or starboard it
 * shows its broad face. The plan area of the hull is what is seen then (heel 90 degrees). */
static void test_heel_is_drawn(void **state) {
    (void)state;
    cJSON *doc = cJSON_Parse("{\"ballastry\":1,\"name\":\"board\",\"body\":{\"stations\":["
                             "{\"x\":0,\"width\":4,\"height\":24},"
                             "{\"x\":30,\"width\":6,\"height\":30},"
                             "{\"x\":60,\"width\":4,\"height\":24}],"
                             "\"material\":{\"density\":\"0.5 g/cm3\"}},\"seats\":{}}");
    char *text = cJSON_PrintUnformatted(doc);
    cJSON_Delete(doc);
    BlyBuild *build;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), bench.catalog, &build, &err))
        fail_msg("%s %s", err.where, err.text);
    cJSON *tree = post("/api/rest", text, NULL, 0, 200);
    const cJSON *drawing = at(tree, "drawing");
    assert_true(cJSON_IsTrue(at(drawing, "afloat")));
    assert_close(fabs(number_at(drawing, "heel_deg")), 90, 1, 0);
    double plan = bly_body_plan(build->blank.hull)->area * 1e6;
    double side = bly_body_side(build->blank.hull)->area * 1e6;
    assert_true(side > 4 * plan);
    assert_close(polygon_area(at(shape_of(drawing, "body"), "points")), plan, 0, 0.02);
    /* and from ahead its height, 30 mm, lies across and its width, 6 mm, stands up */
    const cJSON *end = at(at(drawing, "end"), "box");
    double left = cJSON_GetArrayItem(end, 0)->valuedouble;
    double top = cJSON_GetArrayItem(end, 1)->valuedouble;
    assert_close(cJSON_GetArrayItem(end, 2)->valuedouble - left, 30, 0.05, 0);
    assert_close(cJSON_GetArrayItem(end, 3)->valuedouble - top, 6, 0.05, 0);
    assert_true(top < 0 && cJSON_GetArrayItem(end, 3)->valuedouble > 0); /* through the surface */
    cJSON_Delete(tree);
    bly_build_free(build);
    free(text);
}

/* Archimedes: of a body of half the water's density, half is under the surface, y = 0. Its outline
 * is symmetric about its middle, so as much of it is drawn above as below. */
static void test_surface_is_where_it_floats(void **state) {
    (void)state;
    static const char text[] =
        "{\"ballastry\":1,\"name\":\"half\",\"body\":{\"stations\":["
        "{\"x\":0,\"diameter\":0},{\"x\":20,\"diameter\":40},{\"x\":40,\"diameter\":0}],"
        "\"section\":2,\"material\":{\"density\":\"0.4991 g/cm3\"}},\"seats\":{}}";
    cJSON *tree = post("/api/rest", text, NULL, 0, 200);
    const cJSON *box = at(at(tree, "drawing"), "box");
    double top = cJSON_GetArrayItem(box, 1)->valuedouble;
    double bottom = cJSON_GetArrayItem(box, 3)->valuedouble;
    assert_close(top, -bottom, 0.1, 0);
    assert_close(bottom - top, 40, 0.3, 0);
    cJSON_Delete(tree);
}

/* The lip as drawn stands out as far as its plate does: longest side of what is drawn against the
 * length of the lip less the slot's depth, both of the build. */
static void test_lip_has_its_length(void **state) {
    (void)state;
    char *fitted = file_text("examples/finished-minnow.json");
    BlyBuild *build;
    assert_true(bly_build_read(fitted, strlen(fitted), bench.catalog, &build, NULL));
    int seat = bly_build_seat(build, "lip");
    assert_true(seat >= 0);
    double outside = (build->fitted.at[seat].length - build->seats[seat].depth) * 1e3;
    cJSON *tree = post("/api/rest", fitted, NULL, 0, 200);
    const cJSON *points = at(shape_of(at(tree, "drawing"), "lip"), "points");
    double longest = 0;
    for (int i = 0; i < cJSON_GetArraySize(points); i++) {
        int next = (i + 1) % cJSON_GetArraySize(points);
        longest = fmax(longest, hypot(coordinate(points, next, 0) - coordinate(points, i, 0),
                                      coordinate(points, next, 1) - coordinate(points, i, 1)));
    }
    assert_close(longest, outside, 0.05, 0);
    cJSON_Delete(tree);
    bly_build_free(build);
    free(fitted);
}

/* What the page drags: the file's own stations in mm, whatever unit they were written in. */
static void test_body_is_in_millimetres(void **state) {
    (void)state;
    static const char text[] =
        "{\"ballastry\":1,\"name\":\"inches\",\"body\":{\"stations\":["
        "{\"x\":0,\"diameter\":\"0 mm\"},{\"x\":\"1 in\",\"width\":\"1/2 in\",\"height\":\"1.5 "
        "cm\","
        "\"centre\":\"-1 mm\"},{\"x\":\"2 in\",\"diameter\":\"0 mm\"}],"
        "\"material\":\"larch\"},\"seats\":{\"back\":{\"kind\":\"hanger\",\"side\":\"belly\","
        "\"x\":[\"20 mm\",\"1 in\"]}}}";
    cJSON *tree = post("/api/rest", text, NULL, 0, 200);
    const cJSON *body = at(tree, "body");
    const cJSON *second = cJSON_GetArrayItem(at(body, "stations"), 1);
    assert_close(number_at(second, "x"), 25.4, 1e-9, 0);
    assert_close(number_at(second, "width"), 12.7, 1e-9, 0);
    assert_close(number_at(second, "height"), 15, 1e-9, 0);
    assert_close(number_at(second, "centre"), -1, 1e-9, 0);
    const cJSON *reach = at(at(at(body, "seats"), "back"), "x");
    assert_close(cJSON_GetArrayItem(reach, 0)->valuedouble, 20, 1e-9, 0);
    assert_close(cJSON_GetArrayItem(reach, 1)->valuedouble, 25.4, 1e-9, 0);
    double widest = 0;
    const cJSON *place;
    cJSON_ArrayForEach(place, at(body, "profile")) {
        widest = fmax(widest, number_at(place, "half_width"));
    }
    assert_close(widest, 12.7 / 2, 0.02, 0);
    cJSON_Delete(tree);
}

/* ---- tank and pour ---- */

static cJSON *reading(const char *kind, const char *text) {
    cJSON *o = cJSON_CreateObject();
    (void)cJSON_AddStringToObject(o, "kind", kind);
    (void)cJSON_AddStringToObject(o, "text", text);
    return o;
}

static cJSON *tank_body(const char *first, const char *text) {
    cJSON *o = body_with_build("examples/finished-minnow.json");
    cJSON *list = cJSON_AddArrayToObject(o, "readings");
    (void)cJSON_AddItemToArray(list, reading(first, text));
    return o;
}

static void test_tank_is_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("tank examples/finished-minnow.json --scale \"11.92 g\" --sinks "
                               "\"60 cm in 10.4 s\" --tilts \"9 deg\" --water \"15 C\"");
    cJSON *body = tank_body("scale", "11.92 g");
    cJSON *list = cJSON_GetObjectItemCaseSensitive(body, "readings");
    (void)cJSON_AddItemToArray(list, reading("sinks", "60 cm in 10.4 s"));
    (void)cJSON_AddItemToArray(list, reading("tilts", "9 deg"));
    (void)cJSON_AddStringToObject(body, "water", "15 C");
    cJSON *tree = post_tree("/api/tank", body, 200);
    const cJSON *key;
    cJSON_ArrayForEach(key, said) {
        same_at(tree, said, key->string);
    }
    /* the corrected build weighs on the scale what was read */
    cJSON *rest = post("/api/rest", text_at(tree, "build"), NULL, 0, 200);
    assert_close(number_at(at(rest, "outcome"), "mass_g"), 11.92, 0.03, 0);
    cJSON_Delete(rest);
    cJSON_Delete(tree);
    cJSON_Delete(said);
}

static void test_tank_names_the_reading_that_is_wrong(void **state) {
    (void)state;
    cJSON *tree = post_tree("/api/tank", tank_body("scale", "11.92 bananas"), 422);
    assert_string_equal(text_at(at(tree, "error"), "where"), "/readings/0/text");
    cJSON_Delete(tree);
    cJSON_Delete(post_tree("/api/tank", tank_body("scales", "11.92 g"), 422));
    cJSON *body = tank_body("scale", "11.92 g");
    (void)cJSON_AddStringToObject(body, "stage", "soaked");
    tree = post_tree("/api/tank", body, 422);
    assert_string_equal(text_at(at(tree, "error"), "where"), "/stage");
    cJSON_Delete(tree);
}

/* A scale that says twice what the lure weighs contradicts: nothing is corrected unless asked. */
static void test_tank_keeps_the_build_when_readings_contradict(void **state) {
    (void)state;
    for (int anyway = 0; anyway < 2; anyway++) {
        cJSON *body = tank_body("scale", "11.92 g +- 0.01 g");
        cJSON *list = cJSON_GetObjectItemCaseSensitive(body, "readings");
        (void)cJSON_AddItemToArray(list, reading("scale", "13.5 g +- 0.01 g"));
        (void)cJSON_AddBoolToObject(body, "anyway", anyway);
        cJSON *tree = post_tree("/api/tank", body, 200);
        assert_true(cJSON_IsTrue(at(tree, "contradiction")));
        assert_int_equal(cJSON_IsNull(at(tree, "build")) != 0, !anyway);
        cJSON_Delete(tree);
    }
}

/* All that `mend` prints as JSON of the very build that a test left; and taking it leaves the lure
 * as heavy as the advice says. */
static void test_mend_is_the_command_s(void **state) {
    (void)state;
    cJSON *taught = post_tree("/api/tank", tank_body("sinks", "60 cm in 10.4 s"), 200);
    put_disk("read.json", text_at(taught, "build"));
    char words[300];
    (void)snprintf(words, sizeof words, "mend %s/read.json", folder);
    cJSON *said = command_json(words);
    cJSON *tree = post("/api/mend", text_at(taught, "build"), NULL, 0, 200);
    const cJSON *key;
    cJSON_ArrayForEach(key, said) {
        if (strcmp(key->string, "slips") != 0)
            same_at(tree, said, key->string);
    }
    assert_true(cJSON_GetArraySize(at(tree, "do")) > 0);
    assert_non_null(strstr(text_at(tree, "text"), text_at(tree, "otherwise")));
    assert_non_null(strstr(text_at(tree, "text"), text_at(tree, "expected")));
    cJSON *rest = post("/api/rest", text_at(tree, "build"), NULL, 0, 200);
    double mass = number_at(at(rest, "outcome"), "mass_g"); /* of sizes as written, rounded */
    assert_close(mass, number_at(tree, "mass_g"), 1e-3, 0);
    cJSON_Delete(rest);
    cJSON_Delete(tree);
    cJSON_Delete(said);
    cJSON_Delete(taught);
}

/* ---- on the line ---- */

static void test_the_line_is_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("tow examples/finished-minnow.json --speed \"0.8 m/s\" --line "
                               "\"20 m of 0.25 mm\"");
    cJSON *body = body_with_build("examples/finished-minnow.json");
    cJSON *speeds = cJSON_AddArrayToObject(body, "speeds");
    (void)cJSON_AddItemToArray(speeds, cJSON_CreateString("0.8 m/s"));
    (void)cJSON_AddStringToObject(body, "line", "20 m of 0.25 mm");
    cJSON *tree = post_tree("/api/tow", body, 200);
    same_at(tree, said, "tow");
    same_at(tree, said, "changes");
    cJSON_Delete(tree);
    cJSON_Delete(said);
    said = command_json("tow examples/finished-minnow.json --cures porpoises");
    body = body_with_build("examples/finished-minnow.json");
    (void)cJSON_AddStringToObject(body, "saw", "porpoises");
    tree = post_tree("/api/cures", body, 200);
    same_at(tree, said, "cures");
    cJSON_Delete(tree);
    cJSON_Delete(said);
}

static cJSON *water_body(const char *kind, const char *text) {
    cJSON *o = body_with_build("examples/finished-minnow.json");
    cJSON *list = cJSON_AddArrayToObject(o, "readings");
    (void)cJSON_AddItemToArray(list, reading(kind, text));
    return o;
}

/* Faults are told where they stand in the request; what cannot be is not kept. */
static void test_the_water_is_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("tow examples/finished-minnow.json --ran-deep \"1.3 m at 1 m/s\"");
    cJSON *tree = post_tree("/api/water", water_body("ran-deep", "1.3 m at 1 m/s"), 200);
    same_at(tree, said, "from_water");
    assert_non_null(strstr(text_at(tree, "build"), "trolled depth 1.3 m at 1.0 m/s"));
    cJSON_Delete(tree);
    cJSON_Delete(said);
    tree = post_tree("/api/water", water_body("ran-deep", "1.3 m"), 422);
    assert_string_equal(text_at(at(tree, "error"), "where"), "/readings/0/text");
    cJSON_Delete(tree);
    tree = post_tree("/api/water", water_body("ran-deep", "14 m at 1 m/s"), 200);
    assert_true(cJSON_IsNull(at(tree, "build")));
    cJSON_Delete(tree);
    cJSON *body = water_body("ran-deep", "1.3 m at 1 m/s");
    (void)cJSON_AddStringToObject(body, "on", "2031-02-30");
    tree = post_tree("/api/water", body, 422);
    assert_string_equal(text_at(at(tree, "error"), "where"), "/on");
    cJSON_Delete(tree);
    body = water_body("ran-deep", "1.3 m at 1 m/s");
    (void)cJSON_AddBoolToObject(body, "keep", true);
    tree = post_tree("/api/water", body, 422); /* this bench has no book */
    assert_string_equal(text_at(at(tree, "error"), "where"), "/keep");
    cJSON_Delete(tree);
}

static void test_pour_is_the_command_s(void **state) {
    (void)state;
    cJSON *said = command_json("pour examples/cast-mix.json --filler \"0.2 g/cm3\" --target "
                               "\"0.75 g/cm3\" --stirred --by-weight 2:1 --cured \"1.05 g/cm3\"");
    cJSON *body = body_with_build("examples/cast-mix.json");
    cJSON *asked = cJSON_AddObjectToObject(body, "asked");
    (void)cJSON_AddStringToObject(asked, "filler", "0.2 g/cm3");
    (void)cJSON_AddStringToObject(asked, "target", "0.75 g/cm3");
    (void)cJSON_AddBoolToObject(asked, "stirred", true);
    (void)cJSON_AddStringToObject(asked, "by-weight", "2:1");
    (void)cJSON_AddStringToObject(asked, "cured", "1.05 g/cm3");
    cJSON *tree = post_tree("/api/pour", body, 200);
    const cJSON *key;
    cJSON_ArrayForEach(key, said) {
        same_at(tree, said, key->string);
    }
    cJSON_Delete(tree);
    cJSON_Delete(said);
    cJSON *wrong = cJSON_CreateObject();
    (void)cJSON_AddStringToObject(cJSON_AddObjectToObject(wrong, "asked"), "mold", "3 ml");
    cJSON_Delete(post_tree("/api/pour", wrong, 422));
}

/* ---- sheet and bodies ---- */

static BenchReply sheet(const char *format, const char *view, int number) {
    cJSON *body = body_with_build("examples/sinker-swap.json");
    BenchReply reply;
    (void)cJSON_AddStringToObject(body, "format", format);
    (void)cJSON_AddStringToObject(body, "view", view);
    (void)cJSON_AddNumberToObject(body, "number", number);
    char *text = cJSON_PrintUnformatted(body);
    const BenchRequest request = good_request("/api/sheet", text);
    bench_answer(&bench, &request, &reply);
    free(text);
    cJSON_Delete(body);
    return reply;
}

/* First bytes by the formats' own standards: ISO 32000-1 (PDF), PNG (ISO/IEC 15948), XML 1.0. */
static void test_sheet_gives_files_of_its_kind(void **state) {
    (void)state;
    static const char *const kinds[][3] = {{"pdf", "application/pdf", "%PDF-"},
                                           {"png", "image/png", "\x89PNG\r\n\x1a\n"},
                                           {"svg", "image/svg+xml", "<?xml "}};
    for (size_t i = 0; i < 3; i++) {
        BenchReply reply = sheet(kinds[i][0], "page", 1);
        assert_int_equal(reply.status, 200);
        assert_string_equal(reply.type, kinds[i][1]);
        assert_memory_equal(reply.bytes, kinds[i][2], strlen(kinds[i][2]));
        assert_true(reply.pages >= 2);
        bench_reply_release(&reply);
    }
    BenchReply beyond = sheet("svg", "page", 99);
    assert_int_equal(beyond.status, 422);
    bench_reply_release(&beyond);
}

/* The body as triangles: a binary STL of `n` facets takes 84 + 50 n bytes, n standing behind its
 * first 80; and it is byte for byte what the command writes. */
static void test_the_body_is_the_command_s(void **state) {
    (void)state;
    char path[256], command[400];
    in_folder("body.stl", path);
    (void)snprintf(command, sizeof command,
                   "\"${BALLASTRY:-.build/opt/ballastry}\" sheet examples/sinker-swap.json -o %s "
                   ">/dev/null",
                   path);
    assert_int_equal(system(command), 0);
    BenchReply reply = sheet("stl", "page", 1);
    assert_int_equal(reply.status, 200);
    assert_string_equal(reply.type, "model/stl");
    char *written;
    size_t size;
    assert_true(bly_file_read(path, (size_t)1 << 30, &written, &size, NULL));
    const unsigned char *count = (const unsigned char *)written + 80;
    size_t facets = count[0] + 256u * count[1] + 65536u * count[2] + 16777216u * count[3];
    assert_true(facets > 100);
    assert_int_equal(size, 84 + 50 * facets);
    assert_int_equal(reply.size, size);
    assert_memory_equal(reply.bytes, written, size);
    free(written);
    bench_reply_release(&reply);
}

/* Byte for byte what `ballastry sheet` writes. */
static void test_every_view_is_the_command_s(void **state) {
    (void)state;
    for (int view = 0; view < BLY_SHEET_VIEWS; view++) {
        const char *name = sheet_view_name((BlySheetView)view);
        char command[400], path[256];
        in_folder("view.svg", path);
        (void)snprintf(command, sizeof command,
                       "\"${BALLASTRY:-.build/opt/ballastry}\" sheet examples/sinker-swap.json "
                       "--view %s -o %s >/dev/null",
                       name, path);
        assert_int_equal(system(command), 0);
        BenchReply reply = sheet("svg", name, 1);
        assert_int_equal(reply.status, 200);
        char *written = file_text(path);
        assert_int_equal(strlen(written), reply.size);
        assert_memory_equal(written, reply.bytes, reply.size);
        free(written);
        bench_reply_release(&reply);
    }
}

static void test_bodies_are_builds(void **state) {
    (void)state;
    cJSON *tree = post("/api/bodies", NULL, NULL, 0, 200);
    const cJSON *body;
    int count = 0;
    cJSON_ArrayForEach(body, at(tree, "bodies")) {
        cJSON *rest = post("/api/rest", text_at(body, "build"), NULL, 0, 200);
        assert_string_equal(text_at(rest, "name"), text_at(body, "name"));
        cJSON_Delete(rest);
        count++;
    }
    assert_true(count >= 3);
    cJSON_Delete(tree);
}

/* Units and catalogs that the bench was started with; 25.4 mm are an inch (by definition). */
static void test_settings_of_the_start_are_kept(void **state) {
    (void)state;
    Bench other;
    BlyCatalog catalog = {0};
    char *body;
    assert_true(bly_catalog_shipped(&catalog, NULL));
    size_t shipped = catalog.part_count;
    static const char own[] =
        "{ \"ballastry_catalog\": 1, \"parts\": [ { \"kind\": \"ring\", \"id\": \"own-ring\", "
        "\"name\": \"own ring\", \"size\": \"4\", \"material\": \"steel\", \"mass\": \"0.2 g\", "
        "\"wire\": \"0.5 mm\", \"outer\": \"6 mm\", \"passes\": \"1 mm\", \"origin\": "
        "\"practice\", \"source\": \"invented\" } ] }";
    assert_true(bly_catalog_read_json(&catalog, own, sizeof own - 1, NULL));
    assert_true(bench_start(&other, folder, &catalog, BLY_INCH, NULL));
    assert_int_equal(catalog.part_count, 0);
    assert_int_equal(other.catalog->part_count, shipped + 1);
    other.port = 4321;
    body = body_of(example, NULL, 0);
    BenchRequest request = good_request("/api/rest", body);
    request.token = other.token;
    BenchReply reply;
    bench_answer(&other, &request, &reply);
    assert_int_equal(reply.status, 200);
    cJSON *tree = cJSON_ParseWithLength(reply.bytes, reply.size);
    assert_non_null(strstr(text_at(at(tree, "words"), "mass"), "oz"));
    assert_non_null(strstr(text_at(at(tree, "words"), "roll_arm"), "in"));
    cJSON_Delete(tree);
    bench_reply_release(&reply);
    free(body);
    bench_release(&other);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rest_and_sure_are_the_command_s),
        cmocka_unit_test(test_several_swaps_are_the_command_s),
        cmocka_unit_test(test_outline_keeps_the_side_area),
        cmocka_unit_test(test_heel_is_drawn),
        cmocka_unit_test(test_surface_is_where_it_floats),
        cmocka_unit_test(test_lip_has_its_length),
        cmocka_unit_test(test_body_is_in_millimetres),
        cmocka_unit_test(test_tank_is_the_command_s),
        cmocka_unit_test(test_tank_names_the_reading_that_is_wrong),
        cmocka_unit_test(test_tank_keeps_the_build_when_readings_contradict),
        cmocka_unit_test(test_mend_is_the_command_s),
        cmocka_unit_test(test_the_line_is_the_command_s),
        cmocka_unit_test(test_the_water_is_the_command_s),
        cmocka_unit_test(test_pour_is_the_command_s),
        cmocka_unit_test(test_sheet_gives_files_of_its_kind),
        cmocka_unit_test(test_every_view_is_the_command_s),
        cmocka_unit_test(test_the_body_is_the_command_s),
        cmocka_unit_test(test_bodies_are_builds),
        cmocka_unit_test(test_settings_of_the_start_are_kept),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
