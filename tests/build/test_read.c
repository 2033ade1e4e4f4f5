/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Good builds into records. Expected values are the files' own, converted by hand with the exact
 * factors of NIST SP 811 (2008), appendix B.8: 1 in = 25.4 mm, 1 oz = 28.349523125 g,
 * 1 deg = pi/180; defaults are those of docs/format.md. */
#include "build/build.h"
#include "build/files.h"
#include "build/shelf.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

static BlyBuild *read_good(const BlyCatalog *shelf, const char *path) {
    size_t size;
    char *text = file_bytes(path, &size);
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read(text, size, shelf, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

static void assert_figure(BlyFigure figure, double value, double give) {
    assert_close(figure.value, value, 1e-15, 1e-12);
    assert_close(figure.give, give, 1e-15, 1e-12);
}

static void everything_about_the_body(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    assert_string_equal(b->name, "everything");
    assert_figure(b->water.temperature, 10.0, 0.5);
    assert_figure(b->water.salinity, 0.0, 0.0);
    assert_string_equal(b->material, "larch");
    assert_figure(b->facts.density, 590.0, 60.0);
    assert_figure(b->facts.mass, 7.4e-3, 0.01e-3);
    assert_int_equal(b->facts.stage, BLY_STAGE_BLANK);
    assert_figure(b->facts.balance, 0.037, 0.5e-3);
    assert_figure(b->facts.balance_up, 0.0, 0.5e-3);
    assert_figure(b->facts.soak, 0.01, 0.005);
    assert_figure(b->facts.expansion, 30e-6, 9e-6);
    assert_int_equal(b->facts.expansion_origin, BLY_FROM_MEASURED); /* the file's, not larch's */
    assert_close(b->facts.reference_t, 20.0, 0.0, 0.0);
    assert_figure(b->facts.drag_factor, 1.1, 0.1);
    assert_figure(b->facts.munk_factor, 0.5, 0.5);
    assert_figure(b->facts.volume_share, 1.0, 0.005);
    assert_int_equal(b->coat_count, 1);
    assert_string_equal(b->coats[0].material, "epoxy");
    assert_figure(b->coats[0].density, 1200.0, 24.0); /* its own, not the material's */
    assert_figure(b->coats[0].thickness, 0.2e-3, 0.04e-3);
    BlyBox box = bly_body_box(b->shape);
    assert_close(box.high.x, 0.08, 1e-12, 0.0);
    bly_build_free(b);
}

static void everything_about_the_seats(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    static const char *const names[] = {"tie", "belly", "tail", "lip", "keel"};
    assert_int_equal(b->seat_count, 5);
    for (int i = 0; i < 5; i++) {
        assert_string_equal(b->seats[i].name, names[i]);
        assert_int_equal(bly_build_seat(b, names[i]), i);
    }
    assert_int_equal(bly_build_seat(b, "Tie"), -1);
    const BlySeat *belly = &b->seats[1], *lip = &b->seats[3], *keel = &b->seats[4];
    assert_close(belly->x_from, 0.026, 0.0, 1e-15);
    assert_close(belly->x_to, 0.036, 0.0, 1e-15);
    assert_close(belly->step, 0.002, 0.0, 1e-15);
    assert_int_equal(belly->open, 1u << BLY_PART_HOOK | 1u << BLY_PART_RING);
    assert_false(belly->may_stay_empty);
    assert_int_equal(b->seats[0].open, 0);                                 /* named: fixed */
    assert_int_equal(b->seats[2].open, bly_seat_carries(BLY_SEAT_HANGER)); /* not named */
    assert_close(b->seats[2].step, 1e-3, 0.0, 1e-15);
    assert_figure(b->seats[0].load, 0.02e-3, 0.005e-3); /* half of 40 mg */
    assert_close(lip->angle, 40.0 * 3.14159265358979323846 / 180.0, 0.0, 1e-15);
    assert_close(lip->depth, 6e-3, 0.0, 1e-15);
    assert_close(lip->length_from, 15e-3, 0.0, 1e-15);
    assert_close(lip->length_to, 30e-3, 0.0, 1e-15);
    assert_close(lip->gap, 1.2e-3, 0.0, 1e-15);
    assert_close(lip->width, 16e-3, 0.0, 1e-15);
    assert_true(isnan(belly->width) && isnan(keel->gap) && isnan(keel->length_from));
    assert_true(keel->may_stay_empty);
    assert_int_equal(keel->open, bly_seat_carries(BLY_SEAT_PATCH));
    bly_build_free(b);
}

static void everything_that_is_fitted(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    const BlyChoice *belly = &b->fitted.at[1], *lip = &b->fitted.at[3];
    assert_string_equal(belly->of[BLY_PART_EYE].part->id, "eye-small");
    assert_true(isnan(belly->of[BLY_PART_EYE].weighed.value));
    assert_string_equal(belly->of[BLY_PART_HOOK].part->id, "hook-8");
    assert_figure(belly->of[BLY_PART_HOOK].weighed, 0.31e-3, 0.01e-3);
    assert_string_equal(belly->of[BLY_PART_WIRE].part->id, "wire-tin");
    assert_int_equal(belly->count, 3);
    assert_close(belly->x, 0.030, 0.0, 1e-15);
    assert_string_equal(lip->of[BLY_PART_SHEET].part->id, "sheet-brass-1.0");
    assert_string_equal(lip->of[BLY_PART_OUTLINE].part->id, "outline-tongue");
    assert_close(lip->length, 20e-3, 0.0, 1e-15);
    assert_close(lip->thickness, 0.9e-3, 0.0, 1e-15);
    assert_close(lip->filed, 0.1e-3, 0.0, 1e-15);
    assert_true(belly->filed == 0.0);
    assert_close(b->fitted.at[0].x, 1e-3, 0.0, 1e-15);
    assert_true(bly_choice_is_empty(&b->fitted.at[2]));
    assert_true(bly_choice_is_empty(&b->fitted.at[4]));
    /* The blank: 7.4 g on the scale before anything was cut. */
    assert_close(b->blank.body_mass, 7.4e-3, 0.0, 1e-12);
    bly_build_free(b);
}

static void everything_that_is_wanted(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    assert_true(b->has_target);
    assert_int_equal(b->target.state, BLY_SUSPENDS);
    assert_close(b->target.drift_low, -0.015, 0.0, 1e-15);
    assert_close(b->target.drift_high, 0.015, 0.0, 1e-15);
    assert_close(b->target.nose_low, 5.0 * 3.14159265358979323846 / 180.0, 0.0, 1e-15);
    assert_close(b->target.nose_high, 15.0 * 3.14159265358979323846 / 180.0, 0.0, 1e-15);
    assert_true(isinf(b->target.shows_low) && isinf(b->target.shows_high));
    assert_close(b->target.roll_arm_least, 0.5e-3, 0.0, 1e-15);
    assert_int_equal(b->target_water_count, 2);
    assert_figure(b->target_waters[0].temperature, 8.0, 1.0);
    assert_figure(b->target_waters[0].salinity, 0.0, 0.0);
    assert_figure(b->target_waters[1].salinity, 5e-3, 0.25e-3);
    assert_int_equal(b->limits.hook_rank_low, bly_hook_rank("10"));
    assert_int_equal(b->limits.hook_rank_high, bly_hook_rank("6"));
    assert_close(b->limits.eye_wire_low, 0.8e-3, 0.0, 1e-15);
    assert_true(isinf(b->limits.eye_wire_high));
    assert_true(b->limits.lead_free && !b->limits.same_hooks);
    assert_int_equal(b->limits.changes_most, 3);
    assert_close(b->limits.price_most, 20.0, 0.0, 0.0);
    assert_int_equal(b->limits.only_count, 4);
    assert_string_equal(b->limits.only[0], "eye-*");
    assert_string_equal(b->limits.never[0], "hook-4");
    bly_build_free(b);
}

/* Factor times its transpose is the matrix of correlations, by definition of Cholesky's; a figure
 * without a tie stands alone. */
static void figures_hang_together(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/everything.json");
    assert_int_equal(b->tied_count, 4);
    const char *const names[] = {"/fitted/belly/hook/hook-8", "", "/learnt/volume_factor",
                                 "/body/mass", "/fitted/belly/hook/hook-6"};
    const double want[5][5] = {{1, 0, -0.2, 0.1, 0},
                               {0, 1, 0, 0, 0},
                               {-0.2, 0, 1, 0.8, 0},
                               {0.1, 0, 0.8, 1, 0},
                               {0, 0, 0, 0, 1}};
    double factor[25];
    bool any;
    assert_true(bly_build_ties(b, names, 5, factor, &any, NULL));
    assert_true(any);
    for (int i = 0; i < 5; i++) {
        for (int j = 0; j < 5; j++) {
            double sum = 0;
            for (int k = 0; k < 5; k++)
                sum += factor[5 * i + k] * factor[5 * j + k];
            assert_close(sum, want[i][j], 1e-12, 0);
            if (j > i)
                assert_true(factor[5 * i + j] == 0);
        }
    }
    bly_build_free(b);
    b = read_good(*state, "tests/build/good/smallest.json");
    assert_true(bly_build_ties(b, names, 2, factor, &any, NULL));
    assert_false(any);
    assert_true(factor[0] == 1 && factor[1] == 0 && factor[2] == 0 && factor[3] == 1);
    bly_build_free(b);
}

static void silence_takes_the_defaults(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/smallest.json");
    assert_figure(b->water.temperature, 12.0, 1.0);
    assert_figure(b->water.salinity, 0.0, 0.0);
    assert_true(isnan(b->facts.mass.value));
    /* A cylinder of 60 x 20 mm: its centroid, and the give of docs/format.md. */
    assert_figure(b->facts.balance, 30e-3, 0.3e-3);
    assert_figure(b->facts.balance_up, 0.0, 0.1e-3);
    assert_figure(b->facts.soak, 0.0, 0.0);
    assert_figure(b->facts.expansion, 20e-6, 5e-6);
    assert_int_equal(b->facts.expansion_origin, BLY_FROM_MEMORY); /* the material's */
    /* Mean of absolute errors of a normal law: sqrt(2/pi) sigma; quoted for the formula: 14 %. */
    double half = 0.14 * sqrt(M_PI / 2.0) * gsl_cdf_ugaussian_Pinv(0.975);
    assert_close(b->facts.drag_factor.value, 1.0, 0.0, 0.0);
    assert_close(b->facts.drag_factor.give, half, 5e-4, 0.0);
    assert_figure(b->facts.munk_factor, 0.5, 0.5);
    assert_int_equal(b->seat_count, 0);
    assert_false(b->has_target);
    assert_int_equal(b->limits.changes_most, -1);
    assert_true(isnan(b->limits.price_most));
    assert_true(b->limits.eye_wire_high == 0.0 && b->limits.allow == 0);
    bly_build_free(b);
}

static bool allowed(const BlyLimits *limits, char *style, double wire_mm) {
    BlyPart eye = {.kind = BLY_PART_EYE, .id = "eye", .style = style, .wire = wire_mm * 1e-3};
    return bly_limits_allow(limits, &eye);
}

static void eyes_of_the_makers_choice(void **state) {
    (void)state;
    BlyLimits limits = {.eye_wire_low = 1e-3, .eye_wire_high = 2.34e-3};
    assert_true(allowed(&limits, "screw", 1.0) && allowed(&limits, "screw", 2.34));
    assert_false(allowed(&limits, "screw", 0.8) || allowed(&limits, "screw", 2.4));
}

/* Closed form: a cylinder D wide and L long with all sizes off by d changes its volume by
 * d (2/D + 1/L) of it, to first order. */
static void caliper_give_becomes_a_share_of_the_volume(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/smallest.json");
    assert_close(b->facts.volume_share.give, 0.1 * (2.0 / 20.0 + 1.0 / 60.0), 0.0, 1e-6);
    bly_build_free(b);
}

static void a_measured_body(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/measured.json");
    assert_close(bly_body_solid(b->shape)->volume, 13e-6, 0.0, 1e-6);
    assert_figure(b->facts.volume_share, 1.0, 0.02);
    assert_figure(b->facts.density, 500.0, 40.0);
    assert_figure(b->facts.expansion, 20e-6, 10e-6);
    assert_figure(b->facts.mass, 6.4e-3, 0.05e-3); /* "6.4 g": half of its last digit */
    assert_string_equal(b->material, "");
    assert_int_equal(b->coat_count, 0);
    assert_int_equal(b->target.state, BLY_FLOATS);
    assert_close(b->target.shows_low, 0.08, 0.0, 1e-15);
    assert_true(isinf(b->target.shows_high));
    assert_true(isinf(b->target.drift_low) && b->target.drift_low < 0);
    assert_close(b->target.drift_high, -0.006, 0.0, 1e-15);
    assert_int_equal(b->target_water_count, 1);
    assert_figure(b->target_waters[0].temperature, 12.0, 1.0);
    bly_build_free(b);
}

/* The give of a mass that says none, by how it is written (docs/format.md). */
static void masses_are_as_good_as_written(void **state) {
    static const struct {
        const char *mass;
        double value, give;
    } cases[] = {
        {"\"8.3 g\"", 8.3e-3, 0.05e-3},
        {"\"8.30 g\"", 8.3e-3, 0.02e-3},
        {"\"8 g\"", 8e-3, 0.5e-3},
        {"\"0.3 oz\"", 0.3 * 28.349523125e-3, 0.05 * 28.349523125e-3},
        {"\"5/16 oz\"", 0.3125 * 28.349523125e-3, 0.02e-3},
        {"8.3", 8.3e-3, 0.05e-3},
        {"8.31", 8.31e-3, 0.02e-3},
        {"8", 8e-3, 0.05e-3}, /* 8.0 reads the same */
        {"{\"value\": \"8.3 g\"}", 8.3e-3, 0.05e-3},
        {"{\"value\": \"8.3 g\", \"give\": \"0.01 g\"}", 8.3e-3, 0.01e-3},
    };
    const BlyCatalog *catalog = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (int piece = 0; piece < 2; piece++) {
            char text[1024];
            BlyBuild *b = NULL;
            BlyError err = {0};
            int size = snprintf(
                text, sizeof text,
                "{\"ballastry\": 1, \"name\": \"n\", \"body\": {\"stations\": [{\"x\": "
                "0, \"diameter\": 20}, {\"x\": 60, \"diameter\": 20}], \"material\": "
                "\"larch\", %s\"mass\": %s%s}}",
                piece ? "\"pieces\": [{\"name\": \"ball\", \"x\": 30, \"diameter\": 12, " : "",
                cases[i].mass, piece ? "}]" : "");
            if (!bly_build_read(text, (size_t)size, catalog, &b, &err))
                fail_msg("%s: %s: %s", cases[i].mass, err.where, err.text);
            assert_figure(piece ? b->facts.insets[0].mass : b->facts.mass, cases[i].value,
                          cases[i].give);
            bly_build_free(b);
        }
    }
}

/* Water of 20 C has 998.2067 kg/m3 (Tanaka et al. 2001, table 1): 13 cm3 push 12.97669 g aside. */
static void a_body_weighed_under_water(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/displaced.json");
    const BlySolid *solid = bly_body_solid(b->shape);
    assert_close(solid->volume, 13e-6, 0.0, 5e-7);
    assert_close(solid->centroid.x, 0.038, 1e-9, 0.0);
    assert_close(b->facts.volume_share.give, (0.05 + 0.003 * 12.97669) / 12.97669, 0.0, 1e-6);
    assert_figure(b->facts.balance, 0.038, 0.5e-3);
    assert_close(b->facts.balance_up.give, 0.02 * 0.02, 1e-9, 0.0); /* 2 % of 20 mm */
    bly_build_free(b);
}

static void inches_and_ounces(void **state) {
    BlyBuild *b = read_good(*state, "tests/build/good/inches.json");
    assert_figure(b->water.temperature, (54.0 - 32.0) * 5.0 / 9.0, 1.0);
    assert_figure(b->facts.mass, 0.375 * 28.349523125e-3, 0.00375 * 28.349523125e-3);
    assert_true(isnan(b->facts.density.value));
    assert_close(b->seats[0].x_from, 0.0889, 0.0, 1e-15);
    assert_close(b->seats[1].step, 25.4e-3 / 16.0, 0.0, 1e-15);
    /* A leader is a cylinder; at 54 F the fresh water of Tanaka (2001) has 999.48 kg/m3. Half of it
     * is the lure's. Its diameter may be 5 % off: twice that in its weight. */
    double leader = 3.14159265358979323846 / 4 * 0.3048e-3 * 0.3048e-3 * 0.3048 * (1780 - 999.48);
    assert_close(b->seats[1].load.value, leader / 2, 0.0, 1e-5);
    assert_close(b->seats[1].load.give, leader / 2 * 0.10, 0.0, 1e-5);
    assert_true(b->seats[0].load.value == 0.0);
    assert_int_equal(b->seats[0].open, 0);
    assert_int_equal(b->seats[1].open, bly_seat_carries(BLY_SEAT_TIE));
    assert_true(b->seats[1].may_stay_empty);
    assert_int_equal(b->seats[2].open, 0);
    assert_true(bly_choice_is_empty(&b->fitted.at[0]));
    assert_int_equal(b->fitted.at[3].count, 3);
    assert_close(b->fitted.at[3].x, 0.0508, 0.0, 1e-15);
    assert_close(b->target.drift_low, 0.3048 / 8.0, 0.0, 1e-15);
    assert_close(b->target.drift_high, 0.3048 / 4.0, 0.0, 1e-15);
    bly_build_free(b);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(everything_about_the_body),
        cmocka_unit_test(everything_about_the_seats),
        cmocka_unit_test(everything_that_is_fitted),
        cmocka_unit_test(everything_that_is_wanted),
        cmocka_unit_test(figures_hang_together),
        cmocka_unit_test(silence_takes_the_defaults),
        cmocka_unit_test(eyes_of_the_makers_choice),
        cmocka_unit_test(caliper_give_becomes_a_share_of_the_volume),
        cmocka_unit_test(a_measured_body),
        cmocka_unit_test(masses_are_as_good_as_written),
        cmocka_unit_test(a_body_weighed_under_water),
        cmocka_unit_test(inches_and_ounces),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
