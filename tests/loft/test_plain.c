/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain shapes: what is asked for comes out exactly, and the impossible is refused with the range.
 */
#include "loft/bodies.h"
#include <gsl/gsl_errno.h>

static BlyBody *make_plain(BlyPlainShape plain) {
    BlyError err = {0};
    BlyBody *body = NULL;
    if (!bly_body_from_plain(&plain, &body, &err))
        fail_msg("%s: %s", err.where, err.text);
    return body;
}

static void asked_for_is_given(void **state) {
    (void)state;
    for (double share = 0.28; share < 0.87; share += 0.06) {
        for (double place = 0.46; place < 0.55; place += 0.02) {
            BlyPlainShape plain = {0.09, 0.015, 0.02, share * 0.09 * 0.015 * 0.02, place * 0.09};
            BlyBody *body = make_plain(plain);
            const BlySolid *solid = bly_body_solid(body);
            BlyBox box = bly_body_box(body);
            assert_close(solid->volume, plain.volume, 0.0, 1e-9);
            assert_close(solid->centroid.x, plain.centroid_x, 1e-11, 0.0);
            assert_close(solid->centroid.z, 0.0, 1e-18, 0.0);
            assert_close(box.high.x - box.low.x, 0.09, 0.0, 1e-12);
            assert_close(box.high.y - box.low.y, 0.015, 0.0, 1e-12);
            assert_close(box.high.z - box.low.z, 0.02, 0.0, 1e-12);
            bly_body_free(body);
        }
    }
}

/* A measured spheroid is given back as a spheroid: skin by the closed form. */
static void a_spheroid_comes_back(void **state) {
    (void)state;
    double a = 0.045, b = 0.01, e = sqrt(1.0 - b * b / (a * a));
    BlyPlainShape plain = {2.0 * a, 2.0 * b, 2.0 * b, 4.0 / 3.0 * PI * a * b * b, NAN};
    BlyBody *body = make_plain(plain);
    double skin = 2.0 * PI * b * b * (1.0 + a / (b * e) * asin(e));
    assert_close(bly_body_surface(body)->area, skin, 0.0, 1e-6);
    assert_close(bly_body_half_width(body, 0.5 * a, 0.0), b * sqrt(0.75), 0.0, 1e-6);
    bly_body_free(body);
}

/* Reversing the body reverses the shape. */
static void mirrored_end_for_end(void **state) {
    (void)state;
    BlyPlainShape plain = {0.1, 0.02, 0.03, 30e-6, 0.046};
    BlyBody *one = make_plain(plain);
    plain.centroid_x = 0.1 - plain.centroid_x;
    BlyBody *other = make_plain(plain);
    assert_close(bly_body_surface(one)->area, bly_body_surface(other)->area, 0.0, 1e-9);
    for (double x = 0.0; x <= 0.1; x += 0.01)
        assert_close(bly_body_half_width(one, x, 0.002), bly_body_half_width(other, 0.1 - x, 0.002),
                     1e-9, 0.0);
    bly_body_free(one);
    bly_body_free(other);
}

static void refuse(BlyPlainShape plain, const char *where) {
    BlyError err = {0};
    BlyBody *body = NULL;
    assert_false(bly_body_from_plain(&plain, &body, &err));
    assert_null(body);
    assert_string_equal(err.where, where);
    assert_int_equal(err.code, BLY_E_RANGE);
}

static void the_impossible_is_refused(void **state) {
    (void)state;
    const BlyPlainShape good = {0.09, 0.015, 0.02, 15e-6, 0.043};
    const double bad[] = {NAN, INFINITY, -0.01, 0.0, 1e-7, 2.1};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyPlainShape bent = good;
        bent.length = bad[i];
        refuse(bent, "/length");
        bent = good;
        bent.width = bad[i];
        refuse(bent, "/width");
        bent = good;
        bent.height = bad[i];
        refuse(bent, "/height");
        bent = good;
        bent.volume = bad[i] == 1e-7 ? 27.1e-6 : bad[i]; /* 27 cm3: the box itself */
        refuse(bent, "/volume");
    }
    const double off[] = {0.0, 0.09, -0.01, 0.03, 0.06, INFINITY};
    for (size_t i = 0; i < sizeof off / sizeof off[0]; i++) {
        BlyPlainShape bent = good;
        bent.centroid_x = off[i];
        refuse(bent, "/centroid_x");
    }
    /* the range that the message names is the true one */
    BlyPlainShape bent = good;
    BlyError err = {0};
    BlyBody *body = NULL;
    bent.volume = 26e-6;
    assert_false(bly_body_from_plain(&bent, &body, &err));
    double low = 0.0, high = 0.0;
    const char *range = strstr(err.text, "mm; ");
    assert_non_null(range);
    assert_int_equal(sscanf(range, "mm; %lf to %lf cm3", &low, &high), 2);
    bent.centroid_x = NAN;
    bent.volume = low * 1.001e-6;
    bly_body_free(make_plain(bent));
    bent.volume = high * 0.999e-6;
    bly_body_free(make_plain(bent));
    bent.volume = low * 0.998e-6;
    refuse(bent, "/volume");
    bent.volume = high * 1.002e-6;
    refuse(bent, "/volume");
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(asked_for_is_given),
        cmocka_unit_test(a_spheroid_comes_back),
        cmocka_unit_test(mirrored_end_for_end),
        cmocka_unit_test(the_impossible_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
