/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The force on a plate against published points. Square face on 1.17 (a data book's; see
 * tests/sink/plate.csv). */
#include "ballastry/tow.h"
#include "support/check.h"
#include "support/table.h"

#define DEG(x) ((x)*0.017453292519943295)

static Table *points;

static int open_points(void **state) {
    (void)state;
    points = table_read("tests/tow/plates.csv");
    return 0;
}

static int close_points(void **state) {
    (void)state;
    table_free(points);
    return 0;
}

/* Checks the rows of one branch and range of aspects; returns how many there were. */
static int compare(const char *branch, double from, double to, double peak, double low,
                   double high) {
    int seen = 0;
    for (size_t i = 0; i < table_rows(points); i++) {
        double aspect = table_number(points, i, "aspect");
        if (strcmp(table_text(points, i, "branch"), branch) != 0 || aspect < from || aspect > to)
            continue;
        double deg = table_number(points, i, "incidence_deg");
        double cn = bly_tow_plate(DEG(deg), aspect, 1.17, peak);
        assert_between(cn, (1 + low) * table_number(points, i, "low"),
                       (1 + high) * table_number(points, i, "high"));
        seen++;
    }
    return seen;
}

/* The deviations are those that docs/tow.md states: of the model from the points, not tuned. Each
 * Eiffel point is a range (his own face-on value, or the later 1.17). */
static void attached_and_separated_branches_keep_to_published_points(void **state) {
    (void)state;
    assert_int_equal(compare("attached", 1, 1, 1, -0.21, 0), 17);
    assert_int_equal(compare("attached", 1.5, 2, 1, -0.07, 0), 8);
    assert_int_equal(compare("separated", 1, 1, 0, -0.03, 0.035), 6);
}

/* Wider than 2, and at Re 1.4e5, the plate stalls sooner and lower than this law says. */
static void where_the_law_is_too_high(void **state) {
    (void)state;
    assert_int_equal(compare("attached", 3, 3, 1, 0, 0.23), 3);
    assert_int_equal(compare("low Re", 2, 2, 1, -0.03, 0.3), 6);
    assert_true(bly_tow_plate(DEG(20), 3, 1.17, 1) > 1.2 * 0.956); /* it is, by more than a fifth */
}

/* Eiffel 1910, p 48: first maxima at 37, 26, 21, 20 degrees for A 1, 1.5, 2, 3; Torres by another's
 * comment: 44, 34, 20, 18, 18 at 0.5, 1, 1.5, 2, 3. */
static void stalls_lie_between_what_was_measured(void **state) {
    (void)state;
    static const double a[] = {0.5, 1, 1.5, 2, 3}, low[] = {44, 34, 20, 18, 18},
                        high[] = {44, 42.5, 26, 21, 20};
    for (int i = 0; i < 5; i++)
        assert_between(bly_tow_plate_stall(a[i]), DEG(low[i]) - 1e-9, DEG(high[i]) + 1e-9);
}

/* Laws: odd in the incidence, face on as given whatever the peak, alike about the right angle, none
 * edge on, more with the peak before the stall, the same beyond. */
static void symmetries(void **state) {
    (void)state;
    for (double aspect = 0.3; aspect < 3; aspect += 0.4) {
        assert_close(bly_tow_plate(DEG(90), aspect, 1.2, 0), 1.2, 1e-12, 0);
        assert_close(bly_tow_plate(DEG(90), aspect, 1.2, 1), 1.2, 1e-6, 0);
        assert_close(bly_tow_plate(0, aspect, 1.2, 1), 0, 1e-15, 0);
        for (double deg = 2; deg < 90; deg += 4) {
            double cn = bly_tow_plate(DEG(deg), aspect, 1.2, 0.5);
            assert_close(bly_tow_plate(-DEG(deg), aspect, 1.2, 0.5), -cn, 1e-12, 0);
            assert_close(bly_tow_plate(DEG(180 - deg), aspect, 1.2, 0.5), cn, 1e-12, 0);
        }
        double stall = bly_tow_plate_stall(aspect);
        assert_close(bly_tow_plate(stall + DEG(25), aspect, 1.2, 1),
                     bly_tow_plate(stall + DEG(25), aspect, 1.2, 0), 0, 1e-3);
    }
    assert_true(isnan(bly_tow_plate(0.3, 0, 1.2, 1)));
}

/* A flume study of lips of one area (Nippon Suisan Gakkaishi 68(6), 843-851, 2002, English
 * abstract): the greatest sinking force coefficient rises with A from 0.55 at 0.3 to 0.82 at 2. Its
 * area of reference is not given. Our law alone says the contrary, and says it here so that nobody
 * takes it for confirmed: docs/tow.md. */
static void the_flume_study_is_not_borne_out(void **state) {
    (void)state;
    double most[2] = {0, 0}, aspect[2] = {0.3, 2};
    for (int k = 0; k < 2; k++) {
        for (int deg = 1; deg < 90; deg++) {
            double down = bly_tow_plate(DEG(deg), aspect[k], 1.17, bly_tow_nominal().by[0]);
            most[k] = fmax(most[k], down * cos(DEG(deg)));
        }
    }
    assert_between(most[0] / 0.55, 1.3, 1.7); /* half again too high for the narrow lip */
    assert_between(most[1] / 0.82, 0.85, 1.05);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(attached_and_separated_branches_keep_to_published_points),
        cmocka_unit_test(where_the_law_is_too_high),
        cmocka_unit_test(stalls_lie_between_what_was_measured),
        cmocka_unit_test(symmetries),
        cmocka_unit_test(the_flume_study_is_not_borne_out),
    };
    return cmocka_run_group_tests(tests, open_points, close_points);
}
