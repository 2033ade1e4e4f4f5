/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lip in its slot on a cylinder, where the plate's cut by the round belly has a closed form. */
#include "lure/kit.h"

static const double R = 8e-3, WIDTH = 10e-3, LENGTH = 25e-3, DEPTH = 9e-3;

static BlyPart sheet, outline;

static int set_up(void **state) {
    (void)state;
    sheet = kit_part(BLY_PART_SHEET, NAN);
    sheet.density = (BlyFigure){8500, 85};
    sheet.thickness = 1e-3;
    sheet.thickness_give = 0;
    outline = kit_part(BLY_PART_OUTLINE, NAN);
    outline.form = BLY_OUTLINE_SQUARE;
    outline.width = WIDTH;
    outline.length_least = 10e-3;
    outline.length_most = 40e-3;
    return 0;
}

static BlySeat slot(double angle) {
    BlySeat seat = kit_seat(BLY_SEAT_SLOT, BLY_AT_BELLY, 30e-3, 30e-3);
    seat.angle = angle;
    seat.depth = DEPTH;
    return seat;
}

static BlyChoice lip(void) {
    BlyChoice choice = bly_choice_empty(30e-3);
    choice.of[BLY_PART_SHEET].part = &sheet;
    choice.of[BLY_PART_OUTLINE].part = &outline;
    choice.length = LENGTH;
    return choice;
}

/* Area within a cylinder of radius r about the axis, of a plate from s = -DEPTH outward whose mouth
 * is R below the axis: at y the surface lies at s = (sqrt(r^2 - y^2) - R) / sin a. */
static double inner_area(double r, double angle) {
    double half = WIDTH / 2;
    double arc = r * r * asin(half / r) + half * sqrt(r * r - half * half);
    return WIDTH * DEPTH + (arc - WIDTH * R) / sin(angle);
}

/* First moment in s of the same: integral of (s_end^2 - DEPTH^2) / 2 dy, by the midpoint rule. */
static double inner_moment(double r, double angle) {
    const int n = 20000;
    double sum = 0;
    for (int i = 0; i < n; i++) {
        double y = WIDTH * ((i + 0.5) / n - 0.5);
        double end = (sqrt(r * r - y * y) - R) / sin(angle);
        sum += 0.5 * (end * end - DEPTH * DEPTH) * WIDTH / n;
    }
    return sum;
}

/* Inner and outer piece by the real surface: the round belly leaves more of the plate outside than
 * its length less the slot's depth. */
static void test_split_by_the_belly(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    const double angles[] = {0.7, 1.1, M_PI_2};
    for (int i = 0; i < 3; i++) {
        double a = angles[i], inner = inner_area(R, a), outer = WIDTH * LENGTH - inner;
        BlySeat seat = slot(a);
        BlyChoice choice = lip();
        BlyItem items[BLY_CHOICE_ITEMS];
        assert_int_equal(kit_items(&blank, &seat, &choice, items), 3);
        assert_true(inner < WIDTH * DEPTH - 1e-6);
        assert_close(items[0].mass, 8500 * 1e-3 * inner, 0, 1e-3);
        assert_close(items[1].mass, 8500 * 1e-3 * outer, 0, 1e-3);
        assert_close(items[0].mass + items[1].mass, 8500 * 1e-3 * WIDTH * LENGTH, 0, 1e-5);
        assert_true(items[0].volume == 0.0);
        assert_close(items[1].volume, 1e-3 * outer, 0, 1e-3);
        assert_int_equal(items[2].kind, BLY_ITEM_REMOVED);
        assert_close(items[2].mass, -500 * 1e-3 * inner, 0, 1e-3);
        /* Centroids along u = (-cos a, 0, -sin a) from the mouth (30 mm, 0, -8 mm). */
        double s = inner_moment(R, a) / inner;
        assert_close(items[0].at.x, 30e-3 - s * cos(a), 2e-6, 0);
        assert_close(items[0].at.z, -R - s * sin(a), 2e-6, 0);
        double whole = 0.5 * WIDTH * (gsl_pow_2(LENGTH - DEPTH) - DEPTH * DEPTH);
        s = (whole - inner_moment(R, a)) / outer;
        assert_close(items[1].at.x, 30e-3 - s * cos(a), 2e-6, 0);
        assert_close(items[1].at.z, -R - s * sin(a), 2e-6, 0);
        assert_close(items[1].mass_give, 0.01 * items[1].mass, 0, 1e-9);
    }
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* Under a coat of 1 mm the hull buries more of the lip than was sawn out of the wood. */
static void test_coat_buries_more(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    BlyCoat coat = {.density = {1100, 0}, .thickness = {1e-3, 0}};
    BlyBlank blank;
    must(bly_blank_make(body, &facts, &coat, 1, NULL, NULL, &blank, err));
    BlySeat seat = slot(0.9);
    BlyChoice choice = lip();
    BlyItem items[BLY_CHOICE_ITEMS];
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 3);
    assert_close(items[0].mass, 8.5 * inner_area(R + 1e-3, 0.9), 0, 1e-3);
    assert_close(items[2].mass, -0.5 * inner_area(R, 0.9), 0, 1e-3);
    assert_close(items[1].volume, 1e-3 * (WIDTH * LENGTH - inner_area(R + 1e-3, 0.9)), 0, 1e-3);
    bly_blank_release(&blank);
    bly_body_free(body);
}

static void test_face_and_line(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    double a = 0.7;
    BlySeat seat = slot(a);
    BlyChoice choice = lip();
    choice.thickness = 0.8e-3; /* filed: thinner, not smaller */
    BlyItem items[BLY_CHOICE_ITEMS];
    kit_items(&blank, &seat, &choice, items);
    const BlyItem *outer = &items[1];
    assert_close(outer->volume, 0.8e-3 * (WIDTH * LENGTH - inner_area(R, a)), 0, 1e-3);
    assert_int_equal(outer->face, BLY_FACE_PLATE);
    assert_close(outer->face_area, WIDTH * LENGTH - inner_area(R, a), 0, 1e-3);
    assert_close(outer->face_size, WIDTH, 1e-12, 0);
    assert_close(outer->face_aspect, 1.6, 1e-9, 0);
    BlyVec3 u = bly_vec(-cos(a), 0, -sin(a));
    assert_close(bly_vec_dot(outer->face_normal, u), 0, 1e-12, 0);
    assert_close(bly_vec_norm(outer->face_normal), 1, 1e-12, 0);
    /* The wetted line's middle is the centroid, its ends lie on the plate. */
    BlyVec3 middle = bly_vec_scale(bly_vec_add(outer->from, outer->to), 0.5);
    assert_close(middle.x, outer->at.x, 1e-12, 0);
    assert_close(middle.z, outer->at.z, 1e-12, 0);
    BlyVec3 mouth = bly_vec(30e-3, 0, -R);
    assert_true(bly_vec_dot(bly_vec_sub(outer->from, mouth), u) > -1e-9);
    assert_true(bly_vec_dot(bly_vec_sub(outer->to, mouth), u) < LENGTH - DEPTH + 1e-9);
    assert_true(bly_vec_norm(bly_vec_sub(outer->to, outer->from)) > 13e-3);
    bly_blank_release(&blank);
    bly_body_free(body);
}

static void test_weighed_and_refused(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    BlySeat seat = slot(0.9);
    BlyChoice choice = lip();
    choice.of[BLY_PART_SHEET].weighed = (BlyFigure){2e-3, 0.02e-3};
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    assert_close(items[0].mass + items[1].mass, 2e-3, 1e-12, 0);
    assert_close(items[0].mass_give + items[1].mass_give, 0.02e-3, 1e-12, 0);
    assert_close(items[0].mass / items[1].mass,
                 inner_area(R, 0.9) / (WIDTH * LENGTH - inner_area(R, 0.9)), 0, 2e-3);
    BlyError err = {0};
    choice.length = 0;
    assert_false(bly_choice_items(&blank, &seat, 0, &choice, items, &count, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    choice = lip();
    seat.angle = NAN;
    assert_false(bly_choice_items(&blank, &seat, 0, &choice, items, &count, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    seat = slot(0.9);
    sheet.density.value = NAN;
    assert_false(bly_choice_items(&blank, &seat, 0, &choice, items, &count, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    sheet.density.value = 8500;
    choice.x = -5e-3;
    assert_false(bly_choice_items(&blank, &seat, 0, &choice, items, &count, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    /* An empty slot is not cut. */
    BlyChoice empty = bly_choice_empty(30e-3);
    assert_int_equal(kit_items(&blank, &seat, &empty, items), 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* Filed where it stands out, once it was glued in: the inner piece and the slot are as they were,
 * the outer one is thinner by that much; of one piece that was weighed the rest is shared by
 * volume. */
static void test_filed_outside(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    BlySeat seat = slot(0.9);
    BlyChoice choice = lip();
    BlyItem whole[BLY_CHOICE_ITEMS], filed[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, whole);
    double left = (sheet.thickness - 0.2e-3) / sheet.thickness;
    choice.filed = 0.2e-3;
    assert_int_equal(kit_items(&blank, &seat, &choice, filed), count);
    assert_int_equal(count, 3); /* inner, outer, what the slot took */
    assert_close(filed[0].mass, whole[0].mass, 0, 1e-12);
    assert_close(filed[1].mass, left * whole[1].mass, 0, 1e-12);
    assert_close(filed[1].volume, left * whole[1].volume, 0, 1e-12);
    assert_close(filed[2].mass, whole[2].mass, 0, 1e-12);
    choice.of[BLY_PART_SHEET].weighed = (BlyFigure){2e-3, 0.02e-3};
    (void)kit_items(&blank, &seat, &choice, filed);
    assert_close(filed[0].mass + filed[1].mass, 2e-3, 1e-12, 0);
    assert_close(filed[1].mass / filed[0].mass, left * whole[1].mass / whole[0].mass, 0, 1e-12);
    BlyError err = {0};
    choice.filed = sheet.thickness;
    assert_false(bly_choice_items(&blank, &seat, 0, &choice, filed, &count, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_blank_release(&blank);
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(test_filed_outside, set_up),
        cmocka_unit_test_setup(test_split_by_the_belly, set_up),
        cmocka_unit_test_setup(test_coat_buries_more, set_up),
        cmocka_unit_test_setup(test_face_and_line, set_up),
        cmocka_unit_test_setup(test_weighed_and_refused, set_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
