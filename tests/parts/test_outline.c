/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines: the area in closed form against GSL's adaptive quadrature of the half-width. */
#include "support/check.h"
#include "ballastry/parts.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>

static const double pi = 3.14159265358979323846;

static BlyPart outline(BlyOutlineForm form) {
    BlyPart part = bly_part_blank(BLY_PART_OUTLINE);
    part.form = form;
    part.width = 16e-3;
    part.root_width = 9e-3;
    part.root_length = 7e-3;
    static double drawn[] = {0, 4e-3, 7e-3, 3e-3, 20e-3, 8e-3, 55e-3, 7e-3, 60e-3, 0};
    if (form == BLY_OUTLINE_DRAWN) { /* a waist, a belly, a point */
        part.drawn = drawn;
        part.drawn_count = 5;
        part.length_most = 60e-3;
    }
    return part;
}

typedef struct Shape {
    const BlyPart *part;
    double length;
} Shape;

static double whole_width(double s, void *user) {
    const Shape *shape = user;
    return 2 * bly_outline_half_width(shape->part, shape->length, s);
}

static double by_quadrature(const BlyPart *part, double length) {
    Shape shape = {part, length};
    gsl_function f = {whole_width, &shape};
    gsl_integration_workspace *room = gsl_integration_workspace_alloc(500);
    double area = NAN, off;
    int status = gsl_integration_qag(&f, 0, length, 1e-12, 1e-9, 500, 3, room, &area, &off);
    gsl_integration_workspace_free(room);
    assert_int_equal(status, GSL_SUCCESS);
    return area;
}

static void area_is_the_integral_of_the_width(void **state) {
    (void)state;
    gsl_set_error_handler_off();
    const double lengths[] = {2e-3, 5e-3, 7e-3, 8e-3, 12e-3, 25e-3, 60e-3};
    for (int form = 0; form < BLY_OUTLINE_FORMS; form++) {
        BlyPart part = outline((BlyOutlineForm)form);
        for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++)
            assert_close(bly_outline_area(&part, lengths[i]), by_quadrature(&part, lengths[i]), 0,
                         1e-7);
    }
}

static void forms_have_their_shape(void **state) {
    (void)state;
    BlyPart square = outline(BLY_OUTLINE_SQUARE), tongue = outline(BLY_OUTLINE_TONGUE);
    BlyPart flared = outline(BLY_OUTLINE_FLARED), rounded = outline(BLY_OUTLINE_ROUND);
    const double L = 30e-3;
    assert_close(bly_outline_half_width(&square, L, L), 8e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&tongue, L, L - 8e-3), 8e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&tongue, L, L - 4e-3), 8e-3 * cos(pi / 6), 1e-15, 0);
    assert_close(bly_outline_half_width(&tongue, L, L), 0, 1e-9, 0);
    assert_close(bly_outline_half_width(&flared, L, 0), 4.5e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&flared, L, L / 2), 6.25e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&flared, L, L), 8e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&rounded, L, 6.9e-3), 4.5e-3, 1e-15, 0);
    assert_close(bly_outline_half_width(&rounded, L, 7e-3), 4.5e-3, 1e-9, 0); /* meets the root */
    double widest = 0;
    for (int i = 0; i <= 3000; i++)
        widest = fmax(widest, bly_outline_half_width(&rounded, L, L * i / 3000));
    assert_close(widest, 8e-3, 1e-8, 0);
}

/* Closed forms: a half disc, and a whole ellipse where the root has no width. */
static void special_cases(void **state) {
    (void)state;
    BlyPart tongue = outline(BLY_OUTLINE_TONGUE);
    assert_close(bly_outline_area(&tongue, 8e-3), pi * 8e-3 * 8e-3 / 2, 0, 1e-12);
    BlyPart ellipse = outline(BLY_OUTLINE_ROUND);
    ellipse.root_width = ellipse.root_length = 0;
    assert_close(bly_outline_area(&ellipse, 20e-3), pi * 10e-3 * 8e-3, 0, 1e-12);
    BlyPart bullet = outline(BLY_OUTLINE_ROUND);
    bullet.root_width = bullet.width; /* half an ellipse on a straight root */
    assert_close(bly_outline_area(&bullet, 17e-3), 16e-3 * 7e-3 + pi / 2 * 10e-3 * 8e-3, 0, 1e-12);
}

static void nothing_off_the_outline(void **state) {
    (void)state;
    BlyPart square = outline(BLY_OUTLINE_SQUARE);
    assert_true(bly_outline_half_width(&square, 0.02, -1e-6) == 0);
    assert_true(bly_outline_half_width(&square, 0.02, 0.0201) == 0);
    assert_true(bly_outline_half_width(&square, 0.02, NAN) == 0);
    assert_true(bly_outline_area(&square, 0) == 0);
    assert_true(bly_outline_area(&square, -1) == 0);
    assert_true(isnan(bly_outline_area(&square, NAN)));
    BlyPart rounded = outline(BLY_OUTLINE_ROUND);
    rounded.root_width = NAN;
    assert_true(isnan(bly_outline_area(&rounded, 0.02)));
    rounded.form = BLY_OUTLINE_FORMS;
    assert_true(isnan(bly_outline_area(&rounded, 0.02)));
    assert_true(isnan(bly_outline_half_width(&rounded, 0.02, 0.01)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(area_is_the_integral_of_the_width),
        cmocka_unit_test(forms_have_their_shape),
        cmocka_unit_test(special_cases),
        cmocka_unit_test(nothing_off_the_outline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
