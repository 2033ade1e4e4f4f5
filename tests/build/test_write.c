/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds back into text. Checked by law: what is written reads the same, printing what was read
 * from a print gives the same bytes, and what was not changed keeps the maker's own words. */
#include "build/build.h"
#include "build/files.h"
#include "build/shelf.h"

#include <gsl/gsl_errno.h>

static const char *const good_files[] = {
    "tests/build/good/everything.json", "tests/build/good/inches.json",
    "tests/build/good/measured.json", "tests/build/good/smallest.json"};
enum { GOOD_FILES = sizeof good_files / sizeof good_files[0] };

static BlyBuild *read_text(const BlyCatalog *shelf, const char *text) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), shelf, &build, &err))
        fail_msg("%s: %s in\n%s", err.where, err.text, text);
    return build;
}

static BlyBuild *read_file(const BlyCatalog *shelf, const char *path) {
    size_t size;
    char *text = file_bytes(path, &size);
    BlyBuild *build = read_text(shelf, text);
    free(text);
    return build;
}

static char *write_rig(const BlyBuild *build, const BlyRig *rig) {
    char *text = NULL;
    BlyError err = {0};
    if (!bly_build_text_with_rig(build, rig, &text, &err))
        fail_msg("%s: %s", err.where, err.text);
    return text;
}

static void assert_same_number(double a, double b) {
    assert_true(fabs(a - b) <= 1e-9 || (isnan(a) && isnan(b))); /* m; of a scale's kg, far less */
}

static void assert_same_rig(const BlyRig *a, const BlyRig *b) {
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++) {
        for (int k = 0; k < BLY_PART_KINDS; k++) {
            assert_ptr_equal(a->at[i].of[k].part, b->at[i].of[k].part);
            assert_same_number(a->at[i].of[k].weighed.value, b->at[i].of[k].weighed.value);
        }
        if (bly_choice_is_empty(&a->at[i]))
            continue;
        assert_same_number(a->at[i].x, b->at[i].x);
        assert_same_number(a->at[i].length, b->at[i].length);
        assert_same_number(a->at[i].thickness, b->at[i].thickness);
        assert_int_equal(a->at[i].count, b->at[i].count);
    }
}

static void printing_settles(void **state) {
    for (size_t i = 0; i < GOOD_FILES; i++) {
        BlyBuild *build = read_file(*state, good_files[i]);
        char *once = write_rig(build, &build->fitted);
        BlyBuild *again = read_text(*state, once);
        char *twice = write_rig(again, &again->fitted);
        assert_string_equal(once, twice);
        assert_same_rig(&build->fitted, &again->fitted);
        for (size_t s = 0; s < build->seat_count; s++)
            assert_int_equal(build->seats[s].open, again->seats[s].open);
        free(once);
        free(twice);
        bly_build_free(build);
        bly_build_free(again);
    }
}

static void swap(const BlyBuild *build, const BlyCatalog *shelf, BlyRig *rig, const char *seat,
                 const char *kind, const char *id) {
    BlyError err = {0};
    if (!bly_build_swap(build, shelf, rig, seat, kind, id, &err))
        fail_msg("%s: %s", err.where, err.text);
}

static void a_rig_comes_back(void **state) {
    const BlyCatalog *shelf = *state;
    BlyBuild *build = read_file(shelf, good_files[0]);
    BlyRig rig;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    swap(build, shelf, &rig, "belly", "hook", "hook-6");
    swap(build, shelf, &rig, "tail", "eye", "eye-small");
    swap(build, shelf, &rig, "tail", "hook", "hook-8");
    swap(build, shelf, &rig, "keel", "strip", "strip-brass");
    swap(build, shelf, &rig, "tie", "snap", "snap-1");
    rig.at[1].x = 0.0284;
    rig.at[3].length = 0.1 / 3.0 * 0.7; /* no round figure */
    rig.at[4].length = 11e-3;
    rig.at[4].count = 2;
    char *text = write_rig(build, &rig);
    BlyBuild *again = read_text(shelf, text);
    assert_same_rig(&rig, &again->fitted);
    /* A seat that was open stays open, a fixed one fixed. */
    for (size_t s = 0; s < build->seat_count; s++)
        assert_int_equal(build->seats[s].open, again->seats[s].open);
    /* Other seats' words stay. */
    assert_non_null(strstr(text, "\"note\": \"one of everything\""));
    assert_non_null(strstr(text, "30e-6 /K"));
    free(text);
    bly_rig_release(&rig);
    bly_build_free(again);
    bly_build_free(build);
}

static void an_emptied_seat_stays_what_it_was(void **state) {
    const BlyCatalog *shelf = *state;
    BlyBuild *build = read_file(shelf, good_files[0]);
    BlyRig rig;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    swap(build, shelf, &rig, "tie", "eye", "none");   /* fixed */
    swap(build, shelf, &rig, "belly", "eye", "none"); /* open in part; ring and hook go along */
    swap(build, shelf, &rig, "lip", "outline", "none");
    assert_true(bly_choice_is_empty(&rig.at[1]));
    assert_true(bly_choice_is_empty(&rig.at[3]));
    char *text = write_rig(build, &rig);
    BlyBuild *again = read_text(shelf, text);
    assert_same_rig(&rig, &again->fitted);
    for (size_t s = 0; s < build->seat_count; s++)
        assert_int_equal(build->seats[s].open, again->seats[s].open);
    free(text);
    bly_rig_release(&rig);
    bly_build_free(again);
    bly_build_free(build);
}

static void fitted_is_made_where_it_was_not(void **state) {
    const BlyCatalog *shelf = *state;
    BlyBuild *build = read_text(
        shelf, "{\"ballastry\":1,\"name\":\"n\",\"body\":{\"stations\":[{\"x\":0,\"diameter\":9},"
               "{\"x\":50,\"diameter\":9}],\"mass\":2},\"seats\":{\"a\":{\"kind\":\"hanger\","
               "\"side\":\"belly\",\"x\":20}},\"target\":{\"state\":\"float\"}}");
    BlyRig rig;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    swap(build, shelf, &rig, "a", "eye", "eye-small");
    char *text = write_rig(build, &rig);
    BlyBuild *again = read_text(shelf, text);
    assert_same_rig(&rig, &again->fitted);
    assert_int_equal(again->seats[0].open, bly_seat_carries(BLY_SEAT_HANGER));
    const char *seats = strstr(text, "\"seats\""), *fitted = strstr(text, "\"fitted\""),
               *target = strstr(text, "\"target\"");
    assert_true(seats != NULL && fitted > seats && target > fitted);
    free(text);
    bly_rig_release(&rig);
    bly_build_free(again);
    bly_build_free(build);
}

static void swaps_that_do_not_work(void **state) {
    static const struct {
        const char *seat, *kind, *id, *where;
        BlyCode code;
    } rows[] = {
        {"bely", "hook", "hook-6", "bely", BLY_E_UNKNOWN},
        {"belly", "hok", "hook-6", "belly.hok", BLY_E_UNKNOWN},
        {"belly", "hook", "hook-66", "belly.hook", BLY_E_UNKNOWN},
        {"belly", "hook", "ring-2", "belly.hook", BLY_E_CONFLICT},
        {"belly", "sheet", "sheet-brass-1.0", "belly.sheet", BLY_E_CONFLICT},
        {"belly", "ring", "ring-6", "belly.ring", BLY_E_CONFLICT},
        {"lip", "sheet", "sheet-brass-2.0", "lip.sheet", BLY_E_CONFLICT},
    };
    BlyBuild *build = read_file(*state, good_files[0]);
    BlyRig rig;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyError err = {0};
        assert_false(
            bly_build_swap(build, *state, &rig, rows[i].seat, rows[i].kind, rows[i].id, &err));
        assert_int_equal(err.code, rows[i].code);
        assert_string_equal(err.where, rows[i].where);
        assert_same_rig(&rig, &build->fitted);
    }
    bly_rig_release(&rig);
    bly_build_free(build);
}

static void a_lip_is_put_on_in_two_steps(void **state) {
    BlyBuild *build = read_file(*state, good_files[0]);
    BlyRig rig;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    swap(build, *state, &rig, "lip", "sheet", "none");
    assert_true(bly_choice_is_empty(&rig.at[3]));
    swap(build, *state, &rig, "lip", "sheet", "sheet-brass-1.0");
    swap(build, *state, &rig, "lip", "outline", "outline-tongue");
    /* As short as seat (15 mm) and outline (12 mm) allow, as thick as bought. */
    assert_close(rig.at[3].length, 15e-3, 0.0, 1e-12);
    assert_true(isnan(rig.at[3].thickness));
    bly_rig_release(&rig);
    bly_build_free(build);
}

static void one_value_by_pointer(void **state) {
    BlyBuild *build = read_file(*state, good_files[0]);
    static const struct {
        const char *pointer, *json, *holds, *lacks;
    } rows[] = {
        {"/body/mass", "\"8.1 g\"", "\"mass\": \"8.1 g\"", "7.4 g"},
        {"/body/coats/0/thickness", "0.3", "\"thickness\": 0.3", "\"0.2 mm\""},
        {"/learnt/drag_factor", "{\"value\":1.2}", "1.2", "1.1"},
        {"/limits/only/-", "\"snap-1\"", "snap-1", NULL},
        {"/limits/never", NULL, "\"only\"", "never"},
        {"/nothing/here", NULL, "ballastry", "nothing"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char *text = NULL;
        BlyError err = {0};
        assert_true(bly_build_text_with(build, rows[i].pointer, rows[i].json, &text, &err));
        assert_non_null(strstr(text, rows[i].holds));
        assert_true(rows[i].lacks == NULL || strstr(text, rows[i].lacks) == NULL);
        BlyBuild *again = read_text(*state, text);
        bly_build_free(again);
        free(text);
    }
    bly_build_free(build);
}

static void objects_on_the_way_are_made(void **state) {
    BlyBuild *build = read_file(*state, "tests/build/good/smallest.json");
    char *text = NULL;
    assert_true(bly_build_text_with(build, "/learnt/drag_factor",
                                    "{\"value\": 0.9, \"give\": 0.05}", &text, NULL));
    BlyBuild *again = read_text(*state, text);
    assert_close(again->facts.drag_factor.value, 0.9, 0.0, 1e-15);
    assert_close(again->facts.drag_factor.give, 0.05, 0.0, 1e-15);
    bly_build_free(again);
    free(text);
    bly_build_free(build);
}

/* Several edits at once are the same as one after the other; nothing comes of a bad one. */
static void edits_follow_each_other(void **state) {
    BlyBuild *build = read_file(*state, "tests/build/good/everything.json");
    const BlyEdit edits[] = {{"/learnt/drag_factor", "{\"value\": 0.9, \"give\": 0.05}"},
                             {"/learnt/drag_factor/give", "0.07"},
                             {"/body/soak", NULL},
                             {"/body/coats/0/thickness", "\"0.3 mm\""}};
    char *text = NULL;
    assert_true(bly_build_text_with_all(build, edits, 4, &text, NULL));
    BlyBuild *again = read_text(*state, text);
    assert_close(again->facts.drag_factor.value, 0.9, 0.0, 1e-15);
    assert_close(again->facts.drag_factor.give, 0.07, 0.0, 1e-15);
    assert_true(again->facts.soak.value == 0.0);
    assert_close(again->coats[0].thickness.value, 0.3e-3, 0.0, 1e-12);
    bly_build_free(again);
    free(text);
    const BlyEdit bad[] = {{"/body/soak", "1"}, {"/body/coats/7", "1"}};
    BlyError err = {0};
    assert_false(bly_build_text_with_all(build, bad, 2, &text, &err));
    assert_null(text);
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_build_free(build);
}

static void pointers_that_lead_nowhere(void **state) {
    static const struct {
        const char *pointer, *json;
        BlyCode code;
    } rows[] = {
        {"body", "1", BLY_E_SYNTAX},           {"", "1", BLY_E_SYNTAX},
        {"/body/~2", "1", BLY_E_SYNTAX},       {"/body/coats/7", "1", BLY_E_RANGE},
        {"/name/first", "1", BLY_E_CONFLICT},  {"/body/coats/01", "1", BLY_E_RANGE},
        {"/body/coats/x/y", "1", BLY_E_RANGE}, {"/name", "{", BLY_E_SYNTAX},
        {"/name", "1 2", BLY_E_SYNTAX},
    };
    BlyBuild *build = read_file(*state, good_files[0]);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char *text = NULL;
        BlyError err = {0};
        assert_false(bly_build_text_with(build, rows[i].pointer, rows[i].json, &text, &err));
        assert_int_equal(err.code, rows[i].code);
        assert_null(text);
    }
    bly_build_free(build);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printing_settles),
        cmocka_unit_test(a_rig_comes_back),
        cmocka_unit_test(an_emptied_seat_stays_what_it_was),
        cmocka_unit_test(fitted_is_made_where_it_was_not),
        cmocka_unit_test(swaps_that_do_not_work),
        cmocka_unit_test(a_lip_is_put_on_in_two_steps),
        cmocka_unit_test(one_value_by_pointer),
        cmocka_unit_test(objects_on_the_way_are_made),
        cmocka_unit_test(edits_follow_each_other),
        cmocka_unit_test(pointers_that_lead_nowhere),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
