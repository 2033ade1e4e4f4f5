/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds and blanks as a program has them that sees only the public headers: what it asks is what
 * stands in the file, converted by hand, or a closed form. */
#include "ballastry/build.h"
#include "build/files.h"
#include "build/shelf.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

static BlyBuild *read_good(const BlyCatalog *stock, const char *path) {
    size_t size;
    char *text = file_bytes(path, &size);
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read(text, size, stock, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

static void what_the_file_says(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    size_t count = 99;
    assert_string_equal(bly_build_name(b), "everything");
    assert_string_equal(bly_build_material(b), "larch");
    assert_close(bly_build_water(b)->temperature.value, 10, 0, 1e-15);
    assert_close(bly_body_box(bly_build_body(b)).high.x, 0.08, 1e-12, 0);
    assert_close(bly_build_facts(b)->mass.value, 7.4e-3, 0, 1e-12);
    assert_close(bly_build_coats(b, &count)[0].thickness.value, 0.2e-3, 0, 1e-12);
    assert_int_equal(count, 1);
    const BlySeat *seats = bly_build_seats(b, &count);
    assert_int_equal(count, 5);
    assert_string_equal(seats[1].name, "belly");
    assert_int_equal(bly_build_seat(b, "belly"), 1);
    const BlyRig *rig = bly_build_fitted(b);
    assert_int_equal(rig->count, 5);
    assert_string_equal(rig->at[1].of[BLY_PART_HOOK].part->id, "hook-8");
    assert_int_equal(bly_build_target(b)->state, BLY_SUSPENDS);
    assert_close(bly_build_target_waters(b, &count)[1].salinity.value, 5e-3, 0, 1e-12);
    assert_int_equal(count, 2);
    assert_int_equal(bly_build_limits(b)->changes_most, 3);
    assert_close(bly_blank_body_mass(bly_build_blank(b)), 7.4e-3, 0, 1e-12);
    (void)bly_build_said(b, &count);
    assert_int_equal(count, 0); /* it gives stations: nothing had to be found */
    bly_build_free(b);
}

/* A cylinder of 60 x 20 mm: pi/4 d2 L, its middle half way along; no seats, no target. */
static void what_it_leaves_out(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/smallest.json");
    BlyVec3 middle;
    size_t count;
    assert_null(bly_build_target(b));
    (void)bly_build_seats(b, &count);
    assert_int_equal(count, 0);
    const BlyBlank *blank = bly_build_blank(b);
    double volume = M_PI / 4 * 0.02 * 0.02 * 0.06;
    assert_close(bly_blank_hull_volume(blank, &middle), volume, 0, 1e-9);
    assert_close(bly_body_solid(bly_blank_hull(blank))->volume, volume, 0, 1e-9);
    assert_close(middle.x, 0.03, 0, 1e-9);
    assert_int_equal(bly_build_own_slips(b)->count, 0);
    bly_build_free(b);
}

static double mass_of(const BlyLure *lure) {
    double mass = 0;
    for (size_t i = 0; i < lure->count; i++)
        mass += lure->items[i].mass;
    return mass;
}

/* A rig of the caller's own: without the hook of 0.31 g on the scale the lure is so much lighter.
 */
static void another_rig(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    BlyRig rig;
    BlyLure fitted, bare;
    assert_true(bly_rig_copy(&rig, bly_build_fitted(b), NULL));
    double turns =
        3 * bly_wire_turn_mass(rig.at[1].of[BLY_PART_WIRE].part, rig.at[1].of[BLY_PART_HOOK].part);
    rig.at[1].of[BLY_PART_HOOK].part = rig.at[1].of[BLY_PART_WIRE].part = NULL;
    assert_true(bly_build_lure(b, NULL, &fitted, NULL));
    assert_true(bly_build_lure(b, &rig, &bare, NULL));
    assert_close(mass_of(&fitted) - mass_of(&bare), 0.31e-3 + turns, 0, 1e-9);
    bly_lure_release(&fitted);
    bly_lure_release(&bare);
    bly_rig_release(&rig);
    bly_build_free(b);
}

/* A blank without a build file: a cylinder of 600 kg/m3. */
static void a_blank_alone(void **state) {
    (void)state;
    const BlyStation ends[2] = {{0, 0.02, 0.02, 0, 2}, {0.06, 0.02, 0.02, 0, 2}};
    BlyBodyFacts facts = {.density = {600, 0},
                          .mass = {NAN, 0},
                          .balance = {NAN, 0},
                          .balance_up = {NAN, 0},
                          .volume_share = {1, 0},
                          .expansion = {NAN, 0},
                          .reference_t = 20,
                          .drag_factor = {1, 0}};
    double volume = M_PI / 4 * 0.02 * 0.02 * 0.06;
    BlyBody *body = NULL;
    BlyBlank *blank = NULL;
    BlyError err = {0};
    size_t count;
    assert_true(bly_body_from_stations(ends, 2, &body, &err));
    assert_true(bly_blank_new(body, &facts, NULL, 0, NULL, NULL, &blank, &err));
    assert_close(bly_blank_hull_volume(blank, NULL), volume, 0, 1e-9);
    assert_close(bly_blank_body_mass(blank), 600 * volume, 0, 1e-9);
    const BlyItem *items = bly_blank_items(blank, &count);
    assert_int_equal(count, 1);
    assert_int_equal(items[0].kind, BLY_ITEM_BODY);
    assert_close(items[0].at.x, 0.03, 0, 1e-9);
    assert_close(bly_blank_facts(blank)->density.value, 600, 0, 0);
    bly_blank_free(blank);

    facts.density.value = -1;
    assert_false(bly_blank_new(body, &facts, NULL, 0, NULL, NULL, &blank, &err));
    assert_null(blank);
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_blank_free(NULL);
    bly_body_free(body);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_file_says),
        cmocka_unit_test(what_it_leaves_out),
        cmocka_unit_test(another_rig),
        cmocka_unit_test(a_blank_alone),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
