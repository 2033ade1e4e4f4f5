/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit on a body of many triangles, which is searched with a stand-in, gives the list that it
 * gives with the stand-in taken away: the same rigs in the same order. Even and uneven, afloat,
 * sinking and suspending. */
#include "support/raised.h"
#include "ballastry/fit.h"
#include "ballastry/stl.h"
#include "build/build.h"
#include "shape/shape.h"
#include "support/check.h"
#include "support/shipped.h"

#include <stdatomic.h>
#include <stdio.h>
#include <string.h>

/* Many facets, enough for a stand-in; and very many. */
enum { RINGS_MOST = 160, AROUND_MOST = 160, HEAD = 84, FACET = 50 };
static const int many[2] = {60, 40}, very_many[2] = {RINGS_MOST, AROUND_MOST};

typedef struct File {
    char bytes[HEAD + 2 * RINGS_MOST * AROUND_MOST * FACET];
    size_t size;
    int rings, around;
    double lump; /* mm, added to starboard alone */
} File;

static void put_corner(File *file, int ring, int j) {
    const double pi = 3.14159265358979323846;
    double t = pi * ring / (file->rings + 1), w = 2.0 * pi * (j % file->around) / file->around;
    bool end = ring == 0 || ring == file->rings + 1;
    double y = end ? 0.0 : 7.0 * sin(t) * sin(w), z = end ? 0.0 : -9.5 * sin(t) * cos(w);
    double lump = y > 0.0 ? file->lump * pow(sin(t) * sin(w), 2.0) : 0.0;
    float p[3] = {(float)(45.0 - 45.0 * cos(t)), (float)(y + lump), (float)z};
    memcpy(file->bytes + file->size, p, sizeof p); /* little-endian, as this machine is */
    file->size += sizeof p;
}

static void put_facet(File *file, const int corner[3][2]) {
    file->size += 12;
    for (int k = 0; k < 3; k++)
        put_corner(file, corner[k][0], corner[k][1]);
    file->size += 2;
}

static void fill_file(File *file) {
    uint32_t count = (uint32_t)(2 * file->rings * file->around);
    memset(file->bytes, 0, sizeof file->bytes);
    memcpy(file->bytes + 80, &count, sizeof count);
    file->size = HEAD;
    for (int i = 0; i <= file->rings; i++) {
        for (int j = 0; j < file->around; j++) {
            if (i > 0)
                put_facet(file, (const int[3][2]){{i, j}, {i, j + 1}, {i + 1, j}});
            if (i < file->rings)
                put_facet(file, (const int[3][2]){{i, j + 1}, {i + 1, j + 1}, {i + 1, j}});
        }
    }
}

static bool give_file(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const File *file = context;
    *text = malloc(file->size + 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, name, "no memory for the file");
    memcpy(*text, file->bytes, file->size);
    *size = file->size;
    return true;
}

static BlyBuild *read_build(File *file, const char *target) {
    char text[2000];
    (void)snprintf(
        text, sizeof text,
        "{ \"ballastry\": 1, \"name\": \"e\", \"body\": { \"mesh\": \"e.stl\", \"unit\": \"mm\", "
        "\"nose\": \"-x\", \"up\": \"+z\", \"material\": \"larch\", \"coats\": [{ \"material\": "
        "\"epoxy-clear\", \"thickness\": \"0.25 mm\" }] }, \"seats\": { \"tie\": { \"kind\": "
        "\"tie\", \"x\": 1, \"side\": \"nose\" }, \"front\": { \"kind\": \"hanger\", \"x\": 30, "
        "\"side\": \"belly\" }, \"rear\": { \"kind\": \"hanger\", \"x\": 75, \"side\": \"belly\" "
        "}, "
        "\"belly\": { \"kind\": \"patch\", \"x\": [20, 70], \"side\": \"belly\", \"width\": 8 } }, "
        "\"fitted\": { "
        "\"tie\": { \"eye\": \"screw-eye-1.0-10\" } }, \"target\": { %s }, \"limits\": { "
        "\"hook_size\": [\"8\", \"4\"] } }",
        target);
    BlyBuildFiles files = {.read = give_file, .context = file};
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read_with(text, strlen(text), &catalog, &files, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    return build;
}

static BlyFitResult fit(BlyBuild *build) {
    const BlyFitOptions options = {.rigs = 6};
    BlyFitResult result;
    BlyError err = {0};
    if (!bly_fit(build, &catalog, &options, &result, &err))
        fail_msg("%s: %s", err.where, err.text);
    return result;
}

static void compare_rigs(const BlyFitRig *a, const BlyFitRig *b) {
    for (size_t s = 0; s < a->rig.count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            assert_ptr_equal(a->rig.at[s].of[kind].part, b->rig.at[s].of[kind].part);
        assert_close(a->rig.at[s].filed, b->rig.at[s].filed, 0.0, 0.0);
        assert_int_equal(a->rig.at[s].count, b->rig.at[s].count);
    }
    assert_int_equal(a->met, b->met);
    assert_close(a->off, b->off, 1e-6, 0.0);
    assert_close(a->cost, b->cost, 0.0, 0.0);
    for (size_t w = 0; w < a->water_count; w++) {
        assert_int_equal(a->outcome[w].state, b->outcome[w].state);
        assert_int_equal(a->outcome[w].notes, b->outcome[w].notes);
        assert_close(a->outcome[w].nose_down, b->outcome[w].nose_down, 1e-9, 0.0);
        assert_close(a->outcome[w].surface.nose_down, b->outcome[w].surface.nose_down, 2e-7, 0.0);
        assert_close(a->outcome[w].surface.heel, b->outcome[w].surface.heel, 2e-7, 0.0);
        assert_close(a->outcome[w].surface.shows, b->outcome[w].surface.shows, 1e-7, 0.0);
    }
}

static void with_and_without(const int grid[2], double lump, const char *target) {
    static File file;
    file.rings = grid[0];
    file.around = grid[1];
    file.lump = lump;
    fill_file(&file);
    BlyBuild *build = read_build(&file, target);
    BlyBody *hull = build->blank.hull, *rough = hull->rough;
    assert_non_null(rough);
    BlyFitResult quick = fit(build);
    hull->rough = NULL;
    BlyFitResult plain = fit(build);
    hull->rough = rough;
    assert_true(plain.count > 1 && plain.met);
    assert_int_equal(quick.count, plain.count);
    assert_int_equal(quick.met, plain.met);
    assert_int_equal(quick.rounds, plain.rounds);
    for (size_t i = 0; i < plain.count; i++)
        compare_rigs(&quick.rigs[i], &plain.rigs[i]);
    bly_fit_release(&quick);
    bly_fit_release(&plain);
    bly_build_free(build);
}

static const char *const floats = "\"state\": \"float\", \"shows\": [\"5 %\", \"15 %\"]";
static const char *const sinks = "\"state\": \"sink\", \"drift\": [\"40 mm/s\", \"120 mm/s\"]";
static const char *const suspends =
    "\"state\": \"suspend\", \"drift\": [\"-15 mm/s\", \"15 mm/s\"]";

static void even_body(void **state) {
    (void)state;
    with_and_without(many, 0.0, floats);
    with_and_without(many, 0.0, sinks);
    with_and_without(many, 0.0, suspends);
}

static void uneven_body(void **state) {
    (void)state;
    with_and_without(many, 0.6, floats);
    with_and_without(many, 0.6, sinks);
    with_and_without(many, 0.6, suspends);
}

static void bodies_of_very_many(void **state) {
    (void)state;
    with_and_without(very_many, 0.0, floats);
    with_and_without(very_many, 0.6, floats);
}

/* Has the fit stopped at its n-th word. */
typedef struct Stopper {
    atomic_bool stop;
    int told, at;
} Stopper;

static void count_words(void *context, const BlyFitProgress *progress) {
    Stopper *stopper = context;
    (void)progress;
    if (++stopper->told == stopper->at)
        atomic_store(&stopper->stop, true);
}

/* What is listed was worked out on every facet, not on the stand-in. */
static void compare_to_rest(const BlyBuild *build, const BlyFitRig *rig, bool met) {
    BlyLure lure;
    assert_true(bly_lure_make(&build->blank, build->seats, &rig->rig, &lure, NULL));
    for (size_t w = 0; w < rig->water_count; w++) {
        BlyOutcome exact;
        const BlyOutcome *said = &rig->outcome[w];
        BlyWater water = said->water;
        assert_true(bly_rest(&lure, &water, &exact, NULL));
        assert_int_equal(said->state, exact.state);
        assert_close(said->surface.shows, exact.surface.shows, 1e-7, 0.0);
        assert_close(said->surface.nose_down, exact.surface.nose_down, 2e-7, 0.0);
        assert_true(!met || bly_judge(&build->target, &exact).met);
    }
    bly_lure_release(&lure);
}

static void stopped_anywhere(void **state) {
    (void)state;
    static File file;
    file.rings = very_many[0];
    file.around = very_many[1];
    file.lump = 0.6;
    fill_file(&file);
    BlyBuild *build = read_build(&file, floats);
    int listed = 0, empty = 0;
    bool stopped = true;
    for (int at = 1; stopped; at += 1 + at / 2) {
        Stopper stopper = {.at = at};
        const BlyFitOptions options = {.rigs = 6,
                                       .stop = raised,
                                       .stop_context = &stopper.stop,
                                       .progress = count_words,
                                       .progress_context = &stopper};
        BlyFitResult result;
        assert_true(bly_fit(build, &catalog, &options, &result, NULL));
        for (size_t i = 0; i < result.count; i++)
            compare_to_rest(build, &result.rigs[i], result.met);
        stopped = result.stopped;
        assert_true(!stopped || !result.proven);
        listed += stopped && result.count > 0;
        empty += stopped && result.count == 0;
        bly_fit_release(&result);
    }
    print_message("stopped with a list %d times, without one %d times\n", listed, empty);
    assert_true(listed > 2 && empty == 0);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(even_body), cmocka_unit_test(uneven_body),
                                       cmocka_unit_test(bodies_of_very_many),
                                       cmocka_unit_test(stopped_anywhere)};
    return cmocka_run_group_tests(tests, load_without_practice, drop_shipped);
}
