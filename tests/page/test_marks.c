/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the page lays over the lure: parts by name, hooks' reach, the wanted band. Held against the
 * command's notes, the build itself and geometry. */
#include "page/kit.h"
#include "ballastry/rest.h"

#include <math.h>

/* The finished minnow with its belly's hanger at x mm. */
static cJSON *rest_with_belly_at(double x) {
    char *text = file_text("examples/finished-minnow.json");
    cJSON *doc = cJSON_Parse(text);
    char place[32];
    (void)snprintf(place, sizeof place, "%.1f mm", x);
    cJSON *belly = cJSON_GetObjectItem(cJSON_GetObjectItem(doc, "seats"), "belly");
    assert_true(cJSON_ReplaceItemInObject(belly, "x", cJSON_CreateString(place)));
    char *moved = cJSON_PrintUnformatted(doc);
    cJSON *tree = post("/api/rest", moved, NULL, 0, 200);
    free(moved);
    cJSON_Delete(doc);
    free(text);
    return tree;
}

static bool says_hooks_touch(const cJSON *tree) {
    const cJSON *note;
    cJSON_ArrayForEach(note, at(at(tree, "outcome"), "notes")) {
        if (strcmp(note->valuestring, bly_note_words(BLY_NOTE_HOOKS_TOUCH)) == 0)
            return true;
    }
    return false;
}

/* Two alike hooks: where each has the same room, the room shrinks as the loops come nearer, and is
 * used up just where the result says that they touch. Drawn places are turned, distances stay. */
static void test_room_between_hooks_is_that_of_the_note(void **state) {
    (void)state;
    bool touched = false, clear = false;
    double before = INFINITY;
    for (double x = 26; x <= 60; x += 2) {
        cJSON *tree = rest_with_belly_at(x);
        const cJSON *swings = at(at(tree, "drawing"), "swings");
        assert_int_equal(cJSON_GetArraySize(swings), 2);
        const cJSON *a = cJSON_GetArrayItem(swings, 0), *b = cJSON_GetArrayItem(swings, 1);
        double left = number_at(a, "left");
        assert_close(number_at(b, "left"), left, 0.02, 0);
        assert_true((left < 0) == says_hooks_touch(tree));
        assert_true(left < before);
        double apart = hypot(cJSON_GetArrayItem(at(a, "at"), 0)->valuedouble -
                                 cJSON_GetArrayItem(at(b, "at"), 0)->valuedouble,
                             cJSON_GetArrayItem(at(a, "at"), 1)->valuedouble -
                                 cJSON_GetArrayItem(at(b, "at"), 1)->valuedouble);
        assert_true(left < apart - number_at(a, "reach"));
        touched = touched || left < 0;
        clear = clear || left > 0;
        before = left;
        cJSON_Delete(tree);
    }
    assert_true(touched && clear);
}

/* Every shape of a seat names the part that it shows, and each part that is fitted is shown. */
static void test_every_part_is_shown_by_name(void **state) {
    (void)state;
    cJSON *tree = rest_with_belly_at(28);
    const cJSON *drawing = at(tree, "drawing"), *shape, *seat, *part;
    cJSON_ArrayForEach(shape, at(drawing, "shapes"))
        assert_int_equal(text_at(shape, "seat")[0] == '\0', text_at(shape, "piece")[0] == '\0');
    char *text = file_text("examples/finished-minnow.json");
    cJSON *doc = cJSON_Parse(text);
    int found = 0;
    cJSON_ArrayForEach(seat, at(doc, "fitted")) {
        cJSON_ArrayForEach(part, seat) {
            const cJSON *list = at(drawing, "shapes");
            if (strcmp(part->string, "length") == 0)
                continue;
            if (strcmp(part->string, "outline") == 0) /* its face is seen from ahead */
                list = at(at(drawing, "end"), "shapes");
            bool shown = false;
            cJSON_ArrayForEach(shape, list) shown =
                shown || (strcmp(text_at(shape, "seat"), seat->string) == 0 &&
                          strcmp(text_at(shape, "piece"), part->string) == 0);
            assert_true(shown);
            found++;
        }
    }
    assert_int_equal(found, 9);
    cJSON_Delete(doc);
    free(text);
    cJSON_Delete(tree);
}

/* The band as the file has it, the angle as it is judged, places as the file has them. */
static void test_band_and_places_are_the_file_s(void **state) {
    (void)state;
    cJSON *tree = rest_with_belly_at(28);
    const cJSON *drawing = at(tree, "drawing"), *band = at(drawing, "wanted_nose_down_deg");
    assert_close(number_at(band, "from"), 0, 1e-9, 0);
    assert_close(number_at(band, "to"), 20, 1e-9, 0);
    assert_close(number_at(band, "own"), number_at(at(tree, "outcome"), "nose_down_deg"), 1e-6, 0);
    const cJSON *keel = at(at(drawing, "sits"), "keel"), *lip = at(at(drawing, "sits"), "lip");
    assert_close(number_at(keel, "from"), 30, 1e-9, 0);
    assert_close(number_at(keel, "to"), 66, 1e-9, 0);
    assert_close(number_at(lip, "x"), 7, 1e-9, 0);
    cJSON_Delete(tree);
}

/* One build at two temperatures, and one that is none: what `rest` says of each alone. */
static void test_along_is_rest_s(void **state) {
    (void)state;
    static const char *const waters[] = {"4 C", "25 C"};
    char *text = file_text("examples/finished-minnow.json");
    cJSON *doc = cJSON_Parse(text), *in = cJSON_CreateObject();
    cJSON *builds = cJSON_AddArrayToObject(in, "builds");
    char *own[2];
    for (int i = 0; i < 2; i++) {
        cJSON *water = cJSON_GetObjectItem(doc, "water");
        assert_true(cJSON_ReplaceItemInObject(water, "temperature", cJSON_CreateString(waters[i])));
        own[i] = cJSON_PrintUnformatted(doc);
        cJSON_AddItemToArray(builds, cJSON_CreateString(own[i]));
    }
    cJSON_AddItemToArray(builds, cJSON_CreateString("{}"));
    cJSON *tree = post_tree("/api/along", in, 200);
    const cJSON *along = at(tree, "along");
    assert_int_equal(cJSON_GetArraySize(along), 3);
    for (int i = 0; i < 2; i++) {
        cJSON *rest = post("/api/rest", own[i], NULL, 0, 200);
        const cJSON *one = at(cJSON_GetArrayItem(along, i), "outcome");
        assert_true(cJSON_Compare(one, at(rest, "outcome"), true));
        cJSON_Delete(rest);
        free(own[i]);
    }
    assert_non_null(text_at(cJSON_GetArrayItem(along, 2), "refused"));
    cJSON_Delete(tree);
    cJSON_Delete(doc);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_room_between_hooks_is_that_of_the_note),
        cmocka_unit_test(test_every_part_is_shown_by_name),
        cmocka_unit_test(test_band_and_places_are_the_file_s),
        cmocka_unit_test(test_along_is_rest_s),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
