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
    choice.of[BLY_PART_STRIP].part = &strip;
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
    choice.of[BLY_PART_STRIP].part = &strip;
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
    choice.of[BLY_PART_STRIP].part = &strip;
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

/* Along the body a row counts as a line with the second moment of its discs: a disc has D^2/16
 * about its own diameter (closed form), and its centre's distance squared besides. */
static double row_spread(int count) {
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += 5e-3 * 5e-3 / 16 + pow(5e-3 * (i - 0.5 * (count - 1)), 2);
    return sum / count;
}

static void assert_spread(const BlyItem *item, int count) {
    double length = item->to.x - item->from.x;
    assert_close(length * length / 12, row_spread(count), 0, 1e-9);
}

static void test_dots_lie_in_rows(void **state) {
    (void)state;
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 37e-3); /* three of 5 mm in a row */
    BlyChoice choice = bly_choice_empty(24e-3);
    choice.of[BLY_PART_DOT].part = &dot;
    BlyItem items[BLY_CHOICE_ITEMS];
    choice.count = 1;
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    assert_close(items[0].at.x, 24e-3, 1e-7, 0);
    assert_close(items[0].mass, 30e-6, 1e-15, 0);
    assert_close(items[0].volume, 30e-6 / 7850, 1e-18, 0);
    assert_close(items[0].at.z, dots_height(0, 1), 5e-6, 0);
    assert_spread(&items[0], 1);
    choice.count = 3; /* 15 mm centred at 24 would begin at 16.5: shifted to begin at 20 */
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 1);
    assert_close(items[0].at.x, 27.5e-3, 1e-7, 0);
    assert_close(items[0].mass, 90e-6, 1e-15, 0);
    assert_spread(&items[0], 3);
    choice.count = 8; /* two full rows and two more dots on top */
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 2);
    assert_close(items[0].mass, 180e-6, 1e-15, 0);
    assert_close(items[0].at.z, dots_height(0, 2), 15e-6, 0);
    assert_close(items[1].mass, 60e-6, 1e-15, 0);
    assert_close(items[1].at.x, 25e-3, 1e-7, 0); /* 10 mm centred at 24 begins at 19: shifted */
    assert_close(items[1].at.z, dots_height(2, 1), 15e-6, 0);
    assert_close(items[0].mass_give + items[1].mass_give, 0.05 * 240e-6, 1e-12, 0);
}

/* Under a coat of c the metal lies on the bare skin all the same, R to R + t: the scale reads it
 * before the coat is on. The coat keeps its volume and bulges over it, between R + c and R + c + t
 * and over the same angle, f either way: the middle of that ring's piece is
 * 2/3 ((R+c+t)^3 - (R+c)^3) / ((R+c+t)^2 - (R+c)^2) sin f / f below the axis, f = width / (2 R +
 * t); a wide flat strip of the thickness of a hair would have R + c + t/2. */
static double ring_middle(double inside, double t, double f) {
    double out = inside + t;
    return 2.0 / 3.0 * (pow(out, 3) - pow(inside, 3)) / (out * out - inside * inside) * sin(f) / f;
}

static BlyBlank coated_blank(const BlyBody *bare, double coat) {
    static char varnish[] = "varnish";
    BlyBodyFacts facts = kit_facts(500);
    BlyCoat coats[2] = {{.material = varnish, .density = {1200, 0}, .thickness = {0.6 * coat, 0}},
                        {.material = varnish, .density = {1200, 0}, .thickness = {0.4 * coat, 0}}};
    BlyBlank out;
    must(bly_blank_make(bare, &facts, coats, 2, NULL, NULL, &out, err));
    return out;
}

static void test_metal_under_the_coat(void **state) {
    (void)state;
    static const double coats[] = {0.1e-3, 0.35e-3, 1.2e-3};
    for (size_t i = 0; i < 3; i++) {
        double c = coats[i], t = 0.3e-3, f = 8e-3 / (2 * R + t);
        BlyBlank coated = coated_blank(body, c);
        for (int back = 0; back < 2; back++) {
            BlySeat seat = patch(back ? BLY_AT_BACK : BLY_AT_BELLY, 20e-3, 60e-3);
            BlyChoice choice = bly_choice_empty(25e-3);
            choice.of[BLY_PART_STRIP].part = &strip;
            choice.length = 30e-3, choice.count = 1;
            double way = back ? 1.0 : -1.0;
            BlyItem bare[BLY_CHOICE_ITEMS], item[BLY_CHOICE_ITEMS];
            assert_int_equal(kit_items(&blank, &seat, &choice, bare), 1);
            assert_int_equal(kit_items(&coated, &seat, &choice, item), 1);
            assert_close(item[0].mass, 11340 * 8e-3 * t * 30e-3, 0, 1e-9);
            assert_close(item[0].volume, 8e-3 * t * 30e-3, 0, 1e-9);
            assert_close(item[0].at.z, way * ring_middle(R, t, f), 1e-8, 0);
            assert_close(item[0].at.z, bare[0].at.z, 1e-12, 0); /* the coat moves no metal */
            BlyVec3 middle = bly_vec_scale(bly_vec_add(item[0].from, item[0].to), 0.5);
            assert_close(middle.z, way * ring_middle(R + c, t, f), 1e-8, 0);
            assert_close(middle.x, item[0].at.x, 1e-9, 0);
        }
        bly_blank_release(&coated);
    }
}

/* Dots: the same, with a square strip of sqrt(3)/2 of their diameter for each. */
static void test_dots_under_the_coat(void **state) {
    (void)state;
    double c = 0.4e-3, t = 0.2e-3, f = 0.5 * sqrt(3.0) * 5e-3 / (2 * R + t);
    BlyBlank coated = coated_blank(body, c);
    BlySeat seat = patch(BLY_AT_BELLY, 20e-3, 37e-3);
    BlyChoice choice = bly_choice_empty(24e-3);
    choice.of[BLY_PART_DOT].part = &dot;
    choice.count = 2;
    BlyItem items[BLY_CHOICE_ITEMS];
    assert_int_equal(kit_items(&coated, &seat, &choice, items), 1);
    assert_close(items[0].at.z, -ring_middle(R, t, f), 1e-8, 0);
    BlyVec3 middle = bly_vec_scale(bly_vec_add(items[0].from, items[0].to), 0.5);
    assert_close(middle.z, -ring_middle(R + c, t, f), 1e-8, 0);
    bly_blank_release(&coated);
}

/* On the flat belly of a box nothing bends: the metal's middle is half its thickness off the wood,
 * the bulge's as much off the coat. The sections of exponent 20 are flat to 1e-6 of their height
 * over the middle half. */
static void test_flat_belly(void **state) {
    (void)state;
    BlyStation stations[2] = {{0, 16e-3, 20e-3, 0, 20}, {80e-3, 16e-3, 20e-3, 0, 20}};
    BlyBody *box = NULL;
    must(bly_body_from_stations(stations, 2, &box, err));
    double c = 0.5e-3, t = 0.3e-3;
    BlyBlank coated = coated_blank(box, c);
    BlySeat seat = patch(BLY_AT_BELLY, 10e-3, 70e-3);
    BlyChoice choice = bly_choice_empty(20e-3);
    choice.of[BLY_PART_STRIP].part = &strip;
    choice.length = 40e-3, choice.count = 1;
    BlyItem items[BLY_CHOICE_ITEMS];
    assert_int_equal(kit_items(&coated, &seat, &choice, items), 1);
    assert_close(items[0].at.z, -10e-3 - t / 2, 1e-7, 0);
    assert_close(0.5 * (items[0].from.z + items[0].to.z), -10e-3 - c - t / 2, 1e-7, 0);
    bly_blank_release(&coated);
    bly_body_free(box);
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
    choice.of[BLY_PART_STRIP].part = &strip;
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
    choice.of[BLY_PART_STRIP].part = NULL;
    choice.of[BLY_PART_DOT].part = &dot;
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
        cmocka_unit_test_setup_teardown(test_metal_under_the_coat, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_dots_under_the_coat, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_flat_belly, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_refusals, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
