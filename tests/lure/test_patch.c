/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Strips and dots on a cylinder and on a cone, against closed forms and brute force. */
#include "lure/kit.h"

static const double R = 7e-3;

static BlyBody *body;
static BlyBlank blank;
static BlyPart strip, dot;

static int set_up(void **state) {
    (void)state;
    body = kit_cylinder(0, 80e-3, 2 * R);
    BlyBodyFacts facts = kit_facts(500);
    blank = kit_blank(body, &facts);
    strip = kit_part(BLY_PART_STRIP, NAN);
    strip.density = (BlyFigure){11340, 0};
    strip.width = 8e-3, strip.thickness = 0.3e-3, strip.length = 0.1;
    strip.thickness_give = 0;
    dot = kit_part(BLY_PART_DOT, 30e-6);
    dot.outer = 5e-3, dot.thickness = 0.2e-3;
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    bly_blank_release(&blank);
    bly_body_free(body);
    return 0;
}

static BlySeat patch(BlySeatSide side, double from, double to) {
    return kit_seat(BLY_SEAT_PATCH, side, from, to);
}

/* Bending keeps the volume: width times thickness times length. The middle of the thickness keeps
 * the width: half the angle is f = width / (2 R + t), and the centre lies sin f / f of the mean
 * radius 2/3 ((R+t)^3 - R^3) / ((R+t)^2 - R^2) below the axis. */
static void test_strip_is_bent(void **state) {
    (void)state;
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 60e-3);
    BlyChoice choice = bly_choice_empty(25e-3);
    choice.piece[BLY_PART_STRIP].part = &strip;
    choice.length = 30e-3;
    for (int layers = 1; layers <= 3; layers += 2) {
        choice.count = layers;
        BlyItem items[BLY_CHOICE_ITEMS];
        assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
        double t = layers * 0.3e-3, f = 8e-3 / (2 * R + t), out = R + t;
        double volume = 8e-3 * t * 30e-3;
        double radius = 2.0 / 3.0 * (out * out * out - R * R * R) / (out * out - R * R);
        assert_close(items[0].volume, volume, 0, 1e-4);
        assert_close(items[0].mass, 11340 * volume, 0, 1e-4);
        assert_close(items[0].at.x, 40e-3, 1e-7, 0);
        assert_close(items[0].at.z, -radius * sin(f) / f, 3e-6, 0);
        /* Flat at the lowest point it would sit lower by 0.37 mm. */
        if (layers == 1)
            assert_close(items[0].at.z + R + t / 2, 0.372e-3, 0.02e-3, 0);
        BlyVec3 middle = bly_vec_scale(bly_vec_add(items[0].from, items[0].to), 0.5);
        assert_close(middle.z, items[0].at.z, 1e-12, 0);
        assert_close(items[0].to.x - items[0].from.x, 30e-3, 1e-7, 0);
    }
    seat.side = BLY_AT_BACK;
    choice.count = 1;
    BlyItem items[BLY_CHOICE_ITEMS];
    kit_items(&blank, &seat, &choice, items);
    assert_true(items[0].at.z > 6e-3);
}

/* 12 mm wide on a radius of 6: the traps' half a millimetre and more. */
static void test_half_a_millimetre(void **state) {
    (void)state;
    BlyBody *slim = kit_cylinder(0, 80e-3, 12e-3);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank slim_blank = kit_blank(slim, &facts);
    strip.width = 10e-3;
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 60e-3);
    BlyChoice choice = bly_choice_empty(25e-3);
    choice.piece[BLY_PART_STRIP].part = &strip;
    choice.length = 30e-3, choice.count = 1;
    BlyItem items[BLY_CHOICE_ITEMS];
    kit_items(&slim_blank, &seat, &choice, items);
    assert_true(items[0].at.z > -6.15e-3 + 0.5e-3);
    bly_blank_release(&slim_blank);
    bly_body_free(slim);
}

/* On a cone with a belly line of slope 0.2 a length of 20 mm spans 20 / sqrt(1.04) along x. */
static void test_length_runs_along_the_line(void **state) {
    (void)state;
    BlyStation stations[4] = {{0, 6e-3, 6e-3, 0, 2},
                              {20e-3, 14e-3, 14e-3, 0, 2},
                              {40e-3, 14e-3, 14e-3, 4e-3, 2},
                              {60e-3, 14e-3, 14e-3, 4e-3, 2}};
    BlyBody *sloping = NULL;
    must(bly_body_from_stations(stations, 4, &sloping, err));
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank sloping_blank = kit_blank(sloping, &facts);
    strip.width = 3e-3, strip.thickness = 1e-6; /* so thin that its middle is the skin */
    BlySeat seat = patch(BLY_AT_BELLY, 0, 60e-3);
    BlyChoice choice = bly_choice_empty(15e-3);
    choice.piece[BLY_PART_STRIP].part = &strip;
    choice.length = 20e-3, choice.count = 1;
    BlyItem items[BLY_CHOICE_ITEMS];
    kit_items(&sloping_blank, &seat, &choice, items);
    double end = 2 * items[0].at.x - 15e-3; /* nearly: the belly is not straight */
    double length = 0, x_to = 15e-3 + (items[0].to.x - items[0].from.x);
    BlySection a, b;
    for (int i = 0; i < 4000; i++) { /* brute force: the line as a polygon */
        double x0 = 15e-3 + (x_to - 15e-3) * i / 4000, x1 = 15e-3 + (x_to - 15e-3) * (i + 1) / 4000;
        assert_true(bly_body_section(sloping, x0, &a) && bly_body_section(sloping, x1, &b));
        length += hypot(x1 - x0, b.belly - a.belly);
    }
    assert_close(length, 20e-3, 2e-6, 0);
    assert_close(items[0].volume, 20e-3 * 3e-3 * 1e-6, 0, 1e-4);
    /* Thick, the length counts at half the thickness, which lies outward on a round belly. */
    strip.thickness = 0.5e-3;
    kit_items(&sloping_blank, &seat, &choice, items);
    assert_close(items[0].volume, 20e-3 * 3e-3 * 0.5e-3, 0, 1e-4);
    assert_true(x_to < 34.99e-3);
    assert_close(end, x_to, 0.3e-3, 0);
    bly_blank_release(&sloping_blank);
    bly_body_free(sloping);
}

/* Each dot a disc bent around the cylinder, by brute force over its area, layer by layer. */
static double dots_height(int layers_below, int layers) {
    const int n = 400;
    double sum = 0, weight = 0, r = 2.5e-3;
    for (int l = layers_below; l < layers_below + layers; l++) {
        double radius = R + (l + 0.5) * 0.2e-3;
        for (int i = 0; i < n; i++) {
            double y = r * (2 * (i + 0.5) / n - 1), chord = sqrt(r * r - y * y);
            sum += -radius * cos(y / radius) * chord;
            weight += chord;
        }
    }
    return sum / weight;
}

static void test_dots_lie_in_rows(void **state) {
    (void)state;
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 37e-3); /* three of 5 mm in a row */
    BlyChoice choice = bly_choice_empty(24e-3);
    choice.piece[BLY_PART_DOT].part = &dot;
    BlyItem items[BLY_CHOICE_ITEMS];
    choice.count = 1;
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    assert_close(items[0].at.x, 24e-3, 1e-7, 0);
    assert_close(items[0].mass, 30e-6, 1e-15, 0);
    assert_close(items[0].volume, 30e-6 / 7850, 1e-18, 0);
    assert_close(items[0].at.z, dots_height(0, 1), 5e-6, 0);
    choice.count = 3; /* 15 mm centred at 24 would begin at 16.5: shifted to begin at 20 */
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    assert_close(items[0].at.x, 27.5e-3, 1e-7, 0);
    assert_close(items[0].mass, 90e-6, 1e-15, 0);
    choice.count = 8; /* two full rows and two more dots on top */
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 2);
    assert_close(items[0].mass, 180e-6, 1e-15, 0);
    assert_close(items[0].at.z, dots_height(0, 2), 15e-6, 0);
    assert_close(items[1].mass, 60e-6, 1e-15, 0);
    assert_close(items[1].at.x, 25e-3, 1e-7, 0); /* 10 mm centred at 24 begins at 19: shifted */
    assert_close(items[1].at.z, dots_height(2, 1), 15e-6, 0);
    assert_close(items[0].mass_give + items[1].mass_give, 0.05 * 240e-6, 1e-12, 0);
}

static void refused(const BlySeat *seat, const BlyChoice *choice, BlyCode code, const char *text) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    BlyError err = {0};
    assert_false(bly_choice_items(&blank, seat, 0, choice, items, &count, &err));
    assert_int_equal(err.code, code);
    assert_non_null(strstr(err.text, text));
    assert_int_equal(strncmp(err.where, "seat", 4), 0);
}

static void test_refusals(void **state) {
    (void)state;
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 60e-3);
    BlyChoice choice = bly_choice_empty(40e-3);
    choice.piece[BLY_PART_STRIP].part = &strip;
    choice.count = 1;
    choice.length = 20e-3;
    BlyItem items[BLY_CHOICE_ITEMS];
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    choice.length = 20.1e-3; /* within what anybody can cut */
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    choice.length = 20.3e-3;
    refused(&seat, &choice, BLY_E_RANGE, "ends beyond the patch's end at 60.00 mm");
    choice.length = NAN;
    refused(&seat, &choice, BLY_E_RANGE, "no length");
    choice.length = 20e-3;
    choice.count = 0;
    refused(&seat, &choice, BLY_E_RANGE, "no layers");
    choice.count = 1;
    strip.density.value = NAN;
    refused(&seat, &choice, BLY_E_MISSING, "mass of piece");
    strip.thickness = NAN;
    refused(&seat, &choice, BLY_E_MISSING, "thickness");
    seat.side = BLY_AT_NOSE;
    refused(&seat, &choice, BLY_E_CONFLICT, "belly or on the back");
    choice.piece[BLY_PART_STRIP].part = NULL;
    choice.piece[BLY_PART_DOT].part = &dot;
    seat = patch(BLY_AT_BELLY, 20e-3, 60e-3);
    dot.outer = NAN;
    refused(&seat, &choice, BLY_E_MISSING, "size");
    dot.outer = 5e-3;
    choice.count = 0;
    refused(&seat, &choice, BLY_E_RANGE, "no dots");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_strip_is_bent, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_half_a_millimetre, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_length_runs_along_the_line, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_dots_lie_in_rows, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_refusals, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
