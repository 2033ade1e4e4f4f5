/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Masses by sizes, against published tables, weighed hooks, closed forms and drawn centre lines. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/parts.h"

static const double pi = 3.14159265358979323846;

static BlyMaterial of_density(double kg_m3) {
    BlyMaterial material = bly_material_blank();
    material.density = (BlyFigure){kg_m3, 0.01 * kg_m3};
    return material;
}

static BlyPart hook_of(double wire, double gape, double overall, double eye, const char *style) {
    BlyPart hook = bly_part_blank(BLY_PART_HOOK);
    hook.wire = wire;
    hook.gape = gape;
    hook.length = overall;
    hook.bore = eye;
    hook.style = (char *)(uintptr_t)style;
    return hook;
}

/* ISO 7089 and DIN 125-1:1990 print the mass of 1000 washers in kg at 7.85 kg/dm3, to three
 * figures; below nominal 2.8 the last figure is worth 1.5 %. */
static void washers_weigh_what_the_standard_says(void **state) {
    (void)state;
    Table *table = table_read("tests/parts/washers_iso7089.csv");
    BlyMaterial steel = of_density(7850);
    for (size_t i = 0; i < table_rows(table); i++) {
        BlyPart washer = bly_part_blank(BLY_PART_DOT);
        washer.bore = table_number(table, i, "d1_mm") * 1e-3;
        washer.outer = table_number(table, i, "d2_mm") * 1e-3;
        washer.thickness = table_number(table, i, "h_mm") * 1e-3;
        double share = washer.bore < 2.79e-3 ? 0.015 : 0.005;
        assert_close(bly_part_model_mass(&washer, &steel),
                     table_number(table, i, "mass_kg_per_1000") * 1e-3, 0, share);
    }
    assert_true(table_rows(table) >= 22);
    table_free(table);
}

/* Worked by hand, outside the program; masses rounded to 0.01 g, wires to 0.01 mm: half of each. */
static void trebles_agree_with_the_worked_table(void **state) {
    (void)state;
    Table *table = table_read("tests/parts/trebles.csv");
    BlyMaterial steel = of_density(7850);
    for (size_t i = 0; i < table_rows(table); i++) {
        double wire = table_number(table, i, "wire_mm") * 1e-3;
        BlyPart hook = hook_of(wire, table_number(table, i, "gape_mm") * 1e-3,
                               table_number(table, i, "overall_mm") * 1e-3, 1.8 * wire, "treble");
        assert_close(bly_part_model_mass(&hook, &steel), table_number(table, i, "mass_g") * 1e-3,
                     0.005e-3, 2 * 0.005e-3 / wire);
    }
    assert_int_equal(table_rows(table), 48);
    table_free(table);
}

/* Hooks off the scale, not off the formula: the model must meet them within its own give. */
static void weighed_trebles_lie_within_give(void **state) {
    (void)state;
    Table *table = table_read("tests/parts/weighed_trebles.csv");
    BlyMaterial steel = of_density(7850);
    for (size_t i = 0; i < table_rows(table); i++) {
        bool eight = strcmp(table_text(table, i, "size"), "8") == 0;
        bool fine = strcmp(table_text(table, i, "grade"), "fine") == 0;
        double wire = eight ? (fine ? 0.70e-3 : 0.80e-3) : 0.87e-3;
        BlyPart hook = eight ? hook_of(wire, 5.5e-3, 15.5e-3, 1.45e-3, "treble")
                             : hook_of(wire, 6.0e-3, 16.8e-3, 1.6e-3, "treble");
        hook.origin = BLY_FROM_MODEL;
        bly_part_complete(&hook, &steel);
        assert_close(table_number(table, i, "mean_g") * 1e-3, hook.mass.value, hook.mass.give, 0);
    }
    table_free(table);
}

typedef struct Pen {
    double x, y, drawn, x_low, x_high;
} Pen;

static void draw_to(Pen *pen, double x, double y) {
    pen->drawn += hypot(x - pen->x, y - pen->y);
    pen->x = x;
    pen->y = y;
    pen->x_low = fmin(pen->x_low, x);
    pen->x_high = fmax(pen->x_high, x);
}

static void draw_arc(Pen *pen, double cx, double cy, double r, double from, double to) {
    for (int i = 1; i <= 2000; i++) {
        double a = from + (to - from) * i / 2000;
        draw_to(pen, cx + r * cos(a), cy + r * sin(a));
    }
}

/* Brute force: the hook's centre line drawn stroke by stroke, its eye of bore e, its bend of gape
 * G. The drawing's outside must be as long as the overall length, and its line times the wire's
 * section must be the model's volume. */
static void single_hook_is_its_drawn_line(void **state) {
    (void)state;
    const double d = 1.2e-3, gape = 9e-3, overall = 24e-3, eye = 2.4e-3;
    double r_eye = (eye + d) / 2, r_bend = (gape + d) / 2;
    double shank = overall - (eye + 2 * d) - (gape / 2 + d);
    Pen pen = {0, 0, 0, 0, 0};
    draw_arc(&pen, -r_eye, 0, r_eye, 0, 2 * pi);
    pen.x = d / 2; /* the shank begins at the outside of the eye */
    draw_to(&pen, d / 2 + shank, 0);
    draw_arc(&pen, d / 2 + shank, r_bend, r_bend, -pi / 2, pi / 2);
    draw_to(&pen, pen.x - 0.9 * gape, pen.y);
    assert_close(pen.x_high - pen.x_low + d, overall, 1e-8, 0);

    BlyPart hook = hook_of(d, gape, overall, eye, "single");
    BlyMaterial steel = of_density(7850);
    assert_close(bly_part_model_mass(&hook, &steel), 7850 * pi / 4 * d * d * pen.drawn, 0, 1e-5);
}

/* A treble is three singles that share one eye. */
static void treble_is_three_singles_less_two_eyes(void **state) {
    (void)state;
    BlyMaterial steel = of_density(7850);
    BlyPart one = hook_of(1e-3, 7e-3, 18e-3, 1.8e-3, "single");
    BlyPart three = hook_of(1e-3, 7e-3, 18e-3, 1.8e-3, "treble");
    double eye = 7850 * pi / 4 * 1e-6 * pi * 2.8e-3;
    assert_close(bly_part_model_mass(&three, &steel),
                 3 * bly_part_model_mass(&one, &steel) - 2 * eye, 0, 1e-12);
}

/* Pappus: a ring of two turns is twice a torus, volume 2 pi^2 R r^2. */
static void ring_is_two_tori(void **state) {
    (void)state;
    BlyPart ring = bly_part_blank(BLY_PART_RING);
    ring.wire = 0.85e-3;
    ring.outer = 7.2e-3;
    double torus = 2 * pi * pi * (7.2e-3 - 0.85e-3) / 2 * pow(0.85e-3 / 2, 2);
    BlyMaterial stainless = of_density(7900);
    assert_close(bly_part_model_mass(&ring, &stainless), 2 * 7900 * torus, 0, 1e-12);
}

static BlyPart eye_of(const char *style, double wire, double outer, double length) {
    BlyPart eye = bly_part_blank(BLY_PART_EYE);
    eye.style = (char *)(uintptr_t)style;
    eye.wire = wire;
    eye.outer = outer;
    eye.length = length;
    eye.origin = BLY_FROM_MODEL;
    return eye;
}

/* Worked by hand: fine screw eye 0.12 g, twisted .041 in 0.30 g, .062 in 0.97 g; the lengths of
 * wire in the shank from memory. What is inside the wood is kept apart and adds up. */
static void eyes_weigh_and_split(void **state) {
    (void)state;
    const struct {
        BlyPart eye;
        double mass_g;
    } cases[] = {{eye_of("screw", 1.0e-3, 4.2e-3, 10e-3), 0.12},
                 {eye_of("screw", 1.3e-3, 5.1e-3, 12e-3), 0.23},
                 {eye_of("screw", 1.83e-3, 6.9e-3, 19e-3), 0.66},
                 {eye_of("twisted", 1.04e-3, 4.6e-3, 15e-3), 0.30},
                 {eye_of("twisted", 1.30e-3, 5.4e-3, 18e-3), 0.55},
                 {eye_of("twisted", 1.57e-3, 6.3e-3, 22e-3), 0.97}};
    BlyMaterial stainless = of_density(7900);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyPart eye = cases[i].eye;
        bly_part_complete(&eye, &stainless);
        assert_close(eye.mass.value, cases[i].mass_g * 1e-3, 0.007e-3, 0);
        assert_close(eye.bore, eye.outer - 2 * eye.wire, 1e-12, 0);
        assert_close(eye.shank_volume * 7900, eye.shank_mass, 0, 1e-12);
        assert_close((eye.volume + eye.shank_volume) * 7900, eye.mass.value, 0, 1e-12);
        double loop = pi * pi / 4 * (eye.outer - eye.wire) * eye.wire * eye.wire; /* a torus */
        assert_close(eye.volume, loop, 0, 1e-12);
    }
}

/* Worked by hand, 0.04 to 0.36 g; wire 3.2 times the overall length is from memory. */
static void snaps_and_wire(void **state) {
    (void)state;
    const double cases[][3] = {
        {9, 0.45, 0.04}, {11, 0.55, 0.07}, {13, 0.65, 0.11}, {16, 0.8, 0.20}, {20, 0.95, 0.36}};
    BlyMaterial stainless = of_density(7900);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyPart snap = bly_part_blank(BLY_PART_SNAP);
        snap.length = cases[i][0] * 1e-3;
        snap.wire = cases[i][1] * 1e-3;
        assert_close(bly_part_model_mass(&snap, &stainless), cases[i][2] * 1e-3, 0.006e-3, 0);
    }
    BlyPart wire = bly_part_blank(BLY_PART_WIRE);
    wire.wire = 0.51e-3;
    BlyMaterial lead = of_density(11340);
    assert_close(bly_part_model_mass(&wire, &lead), 11340 * pi * 0.255e-3 * 0.255e-3, 0, 1e-12);
}

/* Worked by hand: lead on the shank of medium trebles, g a turn to 0.001. */
static void turns_of_wire(void **state) {
    (void)state;
    const double inches[] = {0.015, 0.020, 0.030, 0.035}, shank_wire_mm[] = {0.80, 1.10, 1.26};
    const double mass_g[4][3] = {
        {0.009, 0.011, 0.013}, {0.016, 0.021, 0.023}, {0.040, 0.051, 0.056}, {0.058, 0.072, 0.080}};
    BlyMaterial lead = of_density(11340);
    for (int w = 0; w < 4; w++) {
        BlyPart wire = bly_part_blank(BLY_PART_WIRE);
        wire.origin = BLY_FROM_MODEL;
        wire.wire = inches[w] * 25.4e-3;
        bly_part_complete(&wire, &lead);
        for (int h = 0; h < 3; h++) {
            BlyPart hook = hook_of(shank_wire_mm[h] * 1e-3, 5e-3, 15e-3, 2e-3, "treble");
            assert_close(bly_wire_turn_mass(&wire, &hook), mass_g[w][h] * 1e-3, 0.0007e-3, 0);
        }
    }
    BlyPart wire = bly_part_blank(BLY_PART_WIRE),
            single = hook_of(1e-3, 7e-3, 18e-3, 2e-3, "single");
    wire.wire = 0.5e-3;
    wire.mass.value = 2e-3;
    assert_close(bly_wire_turn_mass(&wire, &single), 2e-3 * pi * 1.5e-3, 0, 1e-12);
}

/* Half a millimetre of 2 g a metre is 1 mg; 14 mg of the 2 g are 0.7 % of 150 mg, 1.05 mg: squares
 * added by hand. */
static void wire_by_its_length(void **state) {
    (void)state;
    assert_close(BLY_SCALE_GIVE, 10e-6 * sqrt(2), 0, 0.02); /* two independent readings */
    BlyPart wire = bly_part_blank(BLY_PART_WIRE);
    wire.mass.value = 2e-3;
    assert_close(bly_wire_cut_give(&wire, 0), 1e-6, 0, 1e-12);
    assert_close(bly_wire_cut_give(&wire, 150e-6), 1.45e-6, 0, 1e-3);
    wire.mass.value = NAN;
    assert_true(isnan(bly_wire_cut_give(&wire, 150e-6)));
}

/* 2.15 wires: the circle around three equal touching circles is 1 + 2/sqrt(3) of one. */
static void bundle_is_the_circle_around_three(void **state) {
    (void)state;
    BlyPart wire = bly_part_blank(BLY_PART_WIRE);
    wire.wire = 1e-9;
    wire.mass.value = 1;
    BlyPart treble = hook_of(1e-3, 7e-3, 18e-3, 2e-3, "treble");
    assert_close(bly_wire_turn_mass(&wire, &treble), pi * 1e-3 * (1 + 2 / sqrt(3)), 0, 3e-3);
}

static void no_model_without_sizes(void **state) {
    (void)state;
    BlyMaterial steel = of_density(7850);
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        BlyPart part = bly_part_blank((BlyPartKind)kind);
        assert_true(isnan(bly_part_model_mass(&part, &steel)));
    }
    BlyPart hook = hook_of(1e-3, 7e-3, 18e-3, 2e-3, "treble");
    assert_true(isnan(bly_part_model_mass(&hook, NULL)));
    hook.length = 3e-3; /* no room for eye and bend */
    hook.gape = 1;
    hook.wire = NAN;
    assert_true(isnan(bly_part_model_mass(&hook, &steel)));
    BlyPart dot = bly_part_blank(BLY_PART_DOT);
    dot.outer = 5e-3;
    dot.bore = 6e-3; /* the hole is larger than the washer */
    dot.thickness = 1e-3;
    assert_true(isnan(bly_part_model_mass(&dot, &steel)));
}

static void complete_keeps_what_is_known(void **state) {
    (void)state;
    BlyMaterial steel = of_density(7850);
    BlyPart hook = hook_of(1e-3, 7e-3, 18e-3, 2e-3, "treble");
    hook.origin = BLY_FROM_MEASURED;
    hook.mass = (BlyFigure){0.6e-3, NAN};
    bly_part_complete(&hook, &steel);
    assert_close(hook.mass.value, 0.6e-3, 0, 0);
    assert_close(hook.mass.give, 0.03e-3, 1e-15, 0);
    assert_close(hook.volume, 0.6e-3 / 7850, 0, 1e-12);
    hook.mass.value = 0.7e-3; /* weighed again: the volume follows, the give stays */
    bly_part_complete(&hook, &steel);
    assert_close(hook.volume, 0.7e-3 / 7850, 0, 1e-12);
    assert_close(hook.mass.give, 0.03e-3, 1e-15, 0);
    hook.volume = 1e-7;
    hook.volume_given = true;
    bly_part_complete(&hook, &steel);
    assert_close(hook.volume, 1e-7, 0, 0);

    BlyPart unweighed = hook_of(1e-3, 7e-3, 18e-3, 2e-3, "treble");
    unweighed.origin = BLY_FROM_MEASURED; /* a mass that nobody weighed is not made up */
    bly_part_complete(&unweighed, &steel);
    assert_true(isnan(unweighed.mass.value));
}

static void give_of_a_sheet_adds_thickness_and_density(void **state) {
    (void)state;
    BlyMaterial brass = of_density(8500); /* give 1 % */
    BlyPart sheet = bly_part_blank(BLY_PART_SHEET);
    sheet.thickness = 1e-3;
    sheet.thickness_give = 0.05e-3;
    bly_part_complete(&sheet, &brass);
    assert_close(bly_part_give_share(&sheet), sqrt(0.05 * 0.05 + 0.01 * 0.01), 1e-12, 0);
    BlyPart outline = bly_part_blank(BLY_PART_OUTLINE);
    assert_true(bly_part_give_share(&outline) == 0);
    BlyPart ring = bly_part_blank(BLY_PART_RING);
    assert_true(isnan(bly_part_give_share(&ring)));
    ring.mass = (BlyFigure){2e-3, 1e-4};
    assert_close(bly_part_give_share(&ring), 0.05, 1e-12, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(washers_weigh_what_the_standard_says),
        cmocka_unit_test(trebles_agree_with_the_worked_table),
        cmocka_unit_test(weighed_trebles_lie_within_give),
        cmocka_unit_test(single_hook_is_its_drawn_line),
        cmocka_unit_test(treble_is_three_singles_less_two_eyes),
        cmocka_unit_test(ring_is_two_tori),
        cmocka_unit_test(eyes_weigh_and_split),
        cmocka_unit_test(snaps_and_wire),
        cmocka_unit_test(turns_of_wire),
        cmocka_unit_test(wire_by_its_length),
        cmocka_unit_test(bundle_is_the_circle_around_three),
        cmocka_unit_test(no_model_without_sizes),
        cmocka_unit_test(complete_keeps_what_is_known),
        cmocka_unit_test(give_of_a_sheet_adds_thickness_and_density),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
