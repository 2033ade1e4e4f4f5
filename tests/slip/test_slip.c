/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Slips of the pen: a sound lure of our own invention is changed in one place as makers mistype it,
 * and the build must say so there and nowhere else. What is usual is common practice, no source;
 * the densest metals are tungsten, 19.3 g/cm3, and osmium, 22.6 g/cm3 (handbook tables, from
 * memory). */
#include "ballastry/catalog.h"
#include "build/build.h"
#include "build/files.h"
#include "support/shipped.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char sound[] =
    "{\"ballastry\": 1, \"name\": \"sound\", \"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 2, \"height\": 3}, {\"x\": 20, \"width\": 13, \"height\": 16},"
    "{\"x\": 45, \"width\": 15, \"height\": 18}, {\"x\": 75, \"width\": 10, \"height\": 12},"
    "{\"x\": 100, \"width\": 5, \"height\": 6}],"
    "\"material\": \"larch\", \"pieces\": [{\"name\": \"rattle\", \"x\": 50, \"diameter\": 5,"
    "\"mass\": \"0.4 g\"}],"
    "\"coats\": [{\"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\"}]},"
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"side\": \"nose\", \"x\": 0},"
    "\"belly\": {\"kind\": \"hanger\", \"side\": \"belly\", \"x\": 35},"
    "\"tail\": {\"kind\": \"hanger\", \"side\": \"tail\", \"x\": 100},"
    "\"lip\": {\"kind\": \"slot\", \"side\": \"belly\", \"x\": 10, \"angle\": \"40 deg\","
    "\"depth\": 7}},"
    "\"fitted\": {\"tie\": {\"eye\": \"screw-eye-1.0-10\"},"
    "\"belly\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-4\","
    "\"hook\": \"treble-6-medium\"},"
    "\"tail\": {\"eye\": \"screw-eye-1.0-10\"}}}";

static BlyBuild *read_build(const char *text) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    return build;
}

static void find_slips(const BlyBuild *build, BlySlips *slips) {
    BlyError err = {0};
    *slips = (BlySlips){0};
    if (!bly_build_slips(build, &build->fitted, slips, &err))
        fail_msg("%s: %s", err.where, err.text);
}

/* The sound lure with other values, "POINTER" and "JSON" in turn. */
static BlyBuild *changed(const char *const *edit) {
    BlyBuild *build = read_build(sound);
    BlyEdit edits[4] = {0};
    BlyError err = {0};
    char *text = NULL;
    size_t count = 0;
    for (; edit[2 * count] != NULL; count++) {
        (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "%s", edit[2 * count]);
        edits[count].json = edit[2 * count + 1];
    }
    if (!bly_build_text_with_all(build, edits, count, &text, &err))
        fail_msg("%s: %s", err.where, err.text);
    bly_build_free(build);
    build = read_build(text);
    free(text);
    return build;
}

typedef struct Case {
    const char *edit[9];
    const char *where, *text; /* of the one slip that is said; NULL: none */
} Case;

static void assert_said(const Case *c) {
    BlyBuild *build = changed(c->edit);
    BlySlips slips;
    find_slips(build, &slips);
    for (size_t i = 0; i < slips.count && c->where == NULL; i++)
        fail_msg("%s %s: %s: %s", c->edit[0], c->edit[1], slips.at[i].where, slips.at[i].text);
    if (c->where != NULL && slips.count != 1)
        fail_msg("%s %s: %zu slips", c->edit[0], c->edit[1], slips.count);
    if (c->where != NULL) {
        assert_string_equal(slips.at[0].where, c->where);
        if (strstr(slips.at[0].text, c->text) == NULL)
            fail_msg("%s: %s; wanted %s", slips.at[0].where, slips.at[0].text, c->text);
    }
    bly_slips_release(&slips);
    bly_build_free(build);
}

static void slips_are_said_where_they_are(void **state) {
    (void)state;
    static const Case cases[] = {
        {{"/name", "\"as it is\""}, NULL, NULL},
        /* sizes */
        {{"/body/stations/2/height", "180"}, "/body/stations/2", "180 mm here, but 16 mm before"},
        {{"/body/stations/3/width", "1"}, "/body/stations/3", "the width is 1 mm here"},
        {{"/body/stations/4/x", "1000", "/seats/tail/x", "1000"}, "/body/stations", "1000 mm long"},
        {{"/body/stations/4/height", "60"}, "/body/stations/4", "the end is 60 mm high"},
        {{"/body/stations/4/width", "15"}, NULL, NULL}, /* a tail that flares a little */
        /* materials and what the scale said */
        {{"/body/material", "{\"density\": 0.05}"}, "/body/material", "comes to 0.05 g/cm3"},
        {{"/body/material", "{\"density\": 5.9}"}, "/body/material", "comes to 5.9 g/cm3"},
        {{"/body/mass", "\"70 g\""}, "/body/mass", "g/cm3, larch is 0.5"},
        {{"/body/mass", "\"3 g\""}, "/body/mass", "is the scale's figure right"},
        {{"/body/mass", "\"7.5 g\""}, NULL, NULL},
        {{"/body/balance", "\"4 mm\""}, "/body/balance", "it balances 4 mm from the nose"},
        {{"/body/balance", "\"40 mm\""}, NULL, NULL},
        {{"/body/soak", "\"50 %\""}, "/body/soak", "takes up 50 %"},
        {{"/body/expansion", "\"500 ppm/K\""}, "/body/expansion", "500 ppm/K"},
        {{"/body/coats/0/thickness", "\"3 mm\""}, "/body/coats/0", "a coat of 3 mm"},
        {{"/body/coats/0/thickness", "\"0.25 um\""}, "/body/coats/0", "a coat of 0.00025 mm"},
        {{"/body/coats/0/density", "0.11"}, "/body/coats/0", "a coat of 0.11 g/cm3"},
        {{"/body/pieces/0/mass", "\"2.7 g\""}, "/body/pieces/0", "comes to 41.3 g/cm3"},
        {{"/body/pieces/0/mass", "\"1.2 g\""}, NULL, NULL}, /* 18.3 g/cm3: a tungsten ball */
        {{"/body/pieces/0/mass", "\"0.4 mg\""}, "/body/pieces/0", "no foam is below"},
        /* waters */
        {{"/water", "{\"salinity\": 0.035}"}, "/water/salinity", "the sea has some 35 g/kg"},
        {{"/water", "{\"salinity\": 35}"}, NULL, NULL},
        /* seats */
        {{"/seats/belly/x", "8"}, "/seats/belly", "ahead of the lip slot lip at 10 mm"},
        {{"/seats/belly/x", "12"}, "/seats/belly", "the eye's shank may meet the lip"},
        {{"/seats/lip/x", "60", "/seats/belly/x", "80"}, "/seats/lip/x", "in the rear half"},
        {{"/seats/lip/angle", "0.7"}, "/seats/lip/angle", "a bare number is deg"},
        {{"/seats/lip/depth", "\"22 mm\""}, "/seats/lip/depth", "it would be sawn through"},
        {{"/seats/lip/length", "[\"16 cm\", \"26 cm\"]"}, "/seats/lip/length", "is 160 mm"},
        {{"/seats/tail/x", "9"}, "/seats/tail/x", "but the side is the tail"},
        {{"/seats/keel", "{\"kind\": \"patch\", \"side\": \"belly\", \"x\": [40, 60],"
                         "\"width\": \"8 cm\"}"},
         "/seats/keel/width",
         "is 80 mm, the body only 30 mm wide"},
        {{"/seats/chest", "{\"kind\": \"patch\", \"side\": \"belly\", \"x\": [14, 34]}",
          "/seats/keel", "{\"kind\": \"patch\", \"side\": \"belly\", \"x\": [30, 60]}"},
         "/seats/keel/x",
         "lies on the patch chest from 30 to 34 mm"},
        {{"/seats/chest", "{\"kind\": \"patch\", \"side\": \"belly\", \"x\": [14, 30]}",
          "/seats/keel", "{\"kind\": \"patch\", \"side\": \"belly\", \"x\": [30, 60]}",
          "/seats/ridge", "{\"kind\": \"patch\", \"side\": \"back\", \"x\": [14, 60]}"},
         NULL,
         NULL},
        {{"/seats/tie/leader", "{\"in_water\": \"12 g\"}"},
         "/seats/tie/leader",
         "weighs 12 g in water"},
        /* the target: radians, metres a second, a share of a share */
        {{"/target", "{\"state\": \"suspend\", \"nose_down\": [0.05, 0.26]}"},
         "/target/nose_down",
         "from 0.05 to 0.26 deg is narrower"},
        {{"/target", "{\"state\": \"suspend\", \"drift\": [-0.005, 0.005]}"},
         "/target/drift",
         "a bare number is mm/s"},
        {{"/target", "{\"state\": \"float\", \"shows\": [\"0.1 %\", \"0.2 %\"]}"},
         "/target/shows",
         "0.2 for 20 %"},
        {{"/target", "{\"state\": \"suspend\", \"nose_down\": [5, null]}"}, NULL, NULL},
        /* parts */
        {{"/fitted/belly/hook", "{\"part\": \"treble-6-medium\", \"mass\": \"5.32 g\"}"},
         "belly.hook",
         "weighs 5.32 g here"},
        {{"/fitted/belly/hook", "{\"part\": \"treble-6-medium\", \"mass\": \"0.56 g\"}"},
         NULL,
         NULL},
        {{"/fitted/tail/eye", "{\"part\": \"screw-eye-1.0-10\", \"mass\": \"12 mg\"}"},
         "tail.eye",
         "is the decimal point in its place"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_said(&cases[i]);
}

#define BARE(stations)                                                                             \
    { "/body/stations", stations, "/seats", "{}", "/fitted", "{}", "/body/pieces", "[]" }

static void shapes_that_hardly_any_lure_has(void **state) {
    (void)state;
    static const Case cases[] = {
        {BARE("[{\"x\": 0, \"diameter\": 2}, {\"x\": 40, \"diameter\": 175},"
              "{\"x\": 100, \"diameter\": 4}]"),
         "/body/stations/1", "the diameter is 175 mm here, but 2 mm before"},
        {BARE("[{\"x\": 0, \"diameter\": 0}, {\"x\": 40, \"diameter\": 175},"
              "{\"x\": 100, \"diameter\": 0}]"),
         "/body/stations", "175 mm thick and only 100 mm long"},
        {BARE("[{\"x\": 0, \"width\": 0, \"height\": 0}, {\"x\": 40, \"width\": 18,"
              "\"height\": 12}, {\"x\": 100, \"width\": 0, \"height\": 0}]"),
         "/body/stations", "wider (18 mm) than high (12 mm)"},
        {BARE("[{\"x\": 0, \"diameter\": 0}, {\"x\": 40, \"diameter\": 1.7},"
              "{\"x\": 100, \"diameter\": 0}]"),
         "/body/stations", "only 1.7 mm thick on 100 mm"},
        {BARE("[{\"x\": 0, \"diameter\": 0}, {\"x\": 4, \"diameter\": 1.7},"
              "{\"x\": 10, \"diameter\": 0}]"),
         "/body/stations", "10 mm long, lures are mostly 20 to 400 mm"}, /* cm for mm */
        {BARE("[{\"x\": 0, \"diameter\": 0}, {\"x\": 40, \"diameter\": 17},"
              "{\"x\": 100, \"diameter\": 0}]"),
         NULL, NULL},
        {BARE("[{\"x\": 0, \"diameter\": 3}, {\"x\": 40, \"diameter\": 17},"
              "{\"x\": 100, \"diameter\": 4}]"),
         NULL, NULL}, /* few stations, blunt ends */
        {BARE("[{\"x\": 0, \"width\": 4, \"height\": 2}, {\"x\": 30, \"width\": 22,"
              "\"height\": 10}, {\"x\": 70, \"width\": 6, \"height\": 3}]"),
         "/body/stations", "wider (22 mm) than high (10 mm)"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_said(&cases[i]);
}

/* Narrow wood about an eye: one slip where there is none for it, another where it may split. */
static void eyes_need_wood(void **state) {
    (void)state;
    static const struct {
        const char *width, *text;
    } tails[] = {{"0.1", "there is no wood for it"}, {"1.2", "it will hardly hold"}, {"4", NULL}};
    for (size_t i = 0; i < sizeof tails / sizeof tails[0]; i++) {
        /* the shank of 10 mm is looked at half way in, where the loft is wider than at its end: an
         * even tail makes that one width */
        char stations[400];
        (void)snprintf(stations, sizeof stations,
                       "[{\"x\": 0, \"width\": 5, \"height\": 6}, {\"x\": 40, \"width\": 15, "
                       "\"height\": 18}, {\"x\": 80, \"width\": %s, \"height\": 6}, {\"x\": 100, "
                       "\"width\": %s, \"height\": 6}]",
                       tails[i].width, tails[i].width);
        const char *const edit[] = {"/body/stations", stations, NULL};
        BlyBuild *build = changed(edit);
        BlySlips slips;
        find_slips(build, &slips);
        size_t found = 0;
        for (size_t k = 0; k < slips.count; k++) {
            if (strcmp(slips.at[k].where, "tail.eye") != 0)
                continue;
            found++;
            assert_non_null(tails[i].text);
            assert_non_null(strstr(slips.at[k].text, tails[i].text));
        }
        assert_int_equal(found, tails[i].text != NULL);
        bly_slips_release(&slips);
        bly_build_free(build);
    }
}

/* Whatever the catalog's check finds of a part is said with it: here a box of hooks weighed as one
 * (invented). A rig without the part has nothing to say. */
static void parts_that_the_check_finds(void **state) {
    (void)state;
    static const char list[] = "id,mass\ntreble-6-medium,532\n";
    BlyCatalog weighed;
    BlyError err = {0};
    BlyBuild *build = NULL;
    assert_true(bly_catalog_shipped(&weighed, &err));
    assert_true(bly_catalog_read_csv(&weighed, list, sizeof list - 1, &err));
    assert_true(bly_build_read(sound, sizeof sound - 1, &weighed, &build, &err));
    BlySlips slips;
    find_slips(build, &slips);
    assert_int_equal(slips.count, 1);
    assert_string_equal(slips.at[0].where, "belly.hook");
    assert_non_null(strstr(slips.at[0].text, "treble-6-medium weighs 532 g"));
    bly_slips_release(&slips);
    BlyRig rig = {0};
    assert_true(bly_rig_copy(&rig, &build->fitted, &err));
    assert_true(bly_build_swap(build, &weighed, &rig, "belly", "hook", "treble-6-fine", &err));
    assert_true(bly_build_slips(build, &rig, &slips, &err));
    assert_int_equal(slips.count, 0);
    assert_true(bly_build_slips(build, &build->fitted, &slips, &err));
    assert_true(bly_build_slips(build, &build->fitted, &slips, &err)); /* said once */
    assert_int_equal(slips.count, 1);
    bly_slips_release(&slips);
    bly_rig_release(&rig);
    bly_build_free(build);
    bly_catalog_release(&weighed);
}

/* A caliper list is named by its line. */
static bool give_list(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    (void)name, (void)err;
    *size = strlen(context);
    *text = strdup(context);
    return *text != NULL;
}

static void lists_are_named_by_their_line(void **state) {
    (void)state;
    static char list[] = "# both halves\nx;diameter\n0;2\n20;14\n45;1,75\n75;11\n100;4\n";
    static const char text[] = "{\"ballastry\": 1, \"name\": \"a\", \"body\": {\"stations\": "
                               "\"a.csv\", \"material\": \"larch\"}}";
    const BlyBuildFiles files = {.read = give_list, .context = list};
    BlyBuild *build = NULL;
    BlyError err = {0};
    assert_true(bly_build_read_with(text, sizeof text - 1, &catalog, &files, &build, &err));
    assert_int_equal(build->slips.count, 1);
    assert_string_equal(build->slips.at[0].where, "a.csv, line 5");
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slips_are_said_where_they_are),
        cmocka_unit_test(shapes_that_hardly_any_lure_has),
        cmocka_unit_test(eyes_need_wood),
        cmocka_unit_test(parts_that_the_check_finds),
        cmocka_unit_test(lists_are_named_by_their_line),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
