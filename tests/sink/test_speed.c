/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steady speed: published examples, closed forms, laws, brute force. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/sink.h"
#include "shapes.h"

#include <gsl/gsl_errno.h>

static const BlyWater tap = {
    .temperature = 20, .salinity = 0, .density = 998.2067, .viscosity = 1.001567e-3};

static BlyDragResult at(const BlyDragSet *set, const BlyWater *water, double force) {
    BlyDragResult result = {0};
    BlyError err = {0};
    if (!bly_drag_speed(set, water, force, &result, &err))
        fail_msg("%g N: %s: %s", force, err.where, err.text);
    return result;
}

static BlyDragSet sphere_set(double diameter) {
    return (BlyDragSet){.body = test_sphere(diameter), .factor = 1};
}

/* A made-up lure: 90 mm long and 17 mm thick, lip, hook wire. Demo data, never a check value. */
static const BlyDragPiece lure_pieces[] = {
    {.kind = BLY_DRAG_PLATE, .area = 3e-4, .size = 0.017, .aspect = 1.2, .lean = 0.6},
    {.kind = BLY_DRAG_WIRE, .area = 4e-5, .size = 8e-4, .aspect = 30},
    {.kind = BLY_DRAG_WIRE, .area = 4e-5, .size = 8e-4, .aspect = INFINITY, .lean = 0.8},
};

static BlyDragSet lure_set(void) {
    BlyDragBody body = test_spheroid(0.045, 0.0085, false);
    return (BlyDragSet){.body = body, .pieces = lure_pieces, .count = 3, .factor = 1};
}

static void spheres_meet_published_and_computed_speeds(void **state) {
    (void)state;
    Table *table = table_read("tests/sink/terminal.csv");
    assert_true(table_rows(table) >= 40);
    for (size_t r = 0; r < table_rows(table); r++) {
        BlyDragSet set = sphere_set(table_number(table, r, "diameter_m"));
        BlyWater water = {.density = table_number(table, r, "density"),
                          .viscosity = table_number(table, r, "viscosity")};
        double excess = table_number(table, r, "body_density") - water.density;
        double force = excess * set.body.volume * table_number(table, r, "gravity") *
                       table_number(table, r, "weight_share");
        double want = copysign(table_number(table, r, "speed"), force);
        double got = at(&set, &water, force).speed;
        if (!(fabs(got - want) <= table_number(table, r, "tolerance")))
            print_error("row %zu (%s): ", r + 2, table_text(table, r, "source"));
        assert_close(got, want, table_number(table, r, "tolerance"), 0);
    }
    table_free(table);
}

/* Stokes 1851: v = W / (3 pi mu D). */
static void tiny_forces_creep(void **state) {
    (void)state;
    BlyDragSet set = sphere_set(0.03);
    for (double force = 1e-14; force < 2e-11; force *= 10) {
        BlyDragResult result = at(&set, &tap, force);
        double stokes = force / (3 * M_PI * tap.viscosity * 0.03);
        assert_close(result.speed, stokes, 0, 1e-4);
        assert_close(result.cd * result.reynolds, 24, 0, 1e-4);
    }
}

static void no_force_no_speed(void **state) {
    (void)state;
    BlyDragSet set = lure_set();
    const double none[] = {0, -0.0, 1e-16, -1e-16};
    for (size_t i = 0; i < 4; i++) {
        BlyDragResult result = at(&set, &tap, none[i]);
        assert_true(result.speed == 0 && result.reynolds == 0 && result.notes == 0);
        assert_true(isnan(result.cd) && isnan(result.area));
    }
    assert_between(at(&set, &tap, 1.1e-15).speed, 1e-20, 1e-9);
}

/* Drag carries the force, up as down, over eleven decades; more force is never slower. */
static void force_is_carried_both_ways_and_speed_grows(void **state) {
    (void)state;
    const BlyDragSet sets[] = {lure_set(), sphere_set(0.003), sphere_set(0.04)};
    for (size_t s = 0; s < 3; s++) {
        double before = 0;
        for (double force = 1e-9; force <= 101; force *= 1.05) {
            BlyDragResult down = at(&sets[s], &tap, force), up = at(&sets[s], &tap, -force);
            assert_true(up.speed == -down.speed && up.area == down.area);
            assert_true(down.speed > before);
            before = down.speed;
            assert_close(0.5 * tap.density * down.speed * down.speed * down.area, force, 0, 1e-9);
            assert_close(down.area, bly_drag_area(&sets[s], &tap, up.speed, NULL), 0, 1e-15);
            assert_close(down.reynolds,
                         tap.density * down.speed * bly_drag_diameter(sets[s].body.volume) /
                             tap.viscosity,
                         0, 1e-12);
        }
    }
}

/* Around the drag crisis three speeds carry one force; brute force finds the lowest. */
static void the_crisis_gives_the_lowest_speed(void **state) {
    (void)state;
    BlyDragSet set = sphere_set(0.04);
    double crisis = 3.38e5 * tap.viscosity / (tap.density * 0.04);
    double carried = 0.5 * tap.density * crisis * crisis * bly_drag_area(&set, &tap, crisis, NULL);
    for (double part = 0.1; part < 3; part += 0.0507) {
        double speed = 0.2 * crisis;
        while (0.5 * tap.density * speed * speed * bly_drag_area(&set, &tap, speed, NULL) <
               part * carried)
            speed *= 1.0001;
        assert_close(at(&set, &tap, part * carried).speed, speed, 0, 1.1e-4);
    }
}

/* Dynamic similarity: lengths by k, viscosity by k^1.5, force by k^3 give speed by sqrt(k). */
static void scaled_lures_scale(void **state) {
    (void)state;
    const double k = 2.7;
    BlyDragSet set = lure_set(), scaled = set;
    BlyDragPiece pieces[3];
    for (size_t i = 0; i < 3; i++) {
        pieces[i] = lure_pieces[i];
        pieces[i].area *= k * k;
        pieces[i].size *= k;
    }
    scaled.pieces = pieces;
    scaled.body.volume *= k * k * k;
    BlyWater thick = tap;
    thick.viscosity *= pow(k, 1.5);
    for (double force = 1e-8; force < 10; force *= 7) {
        BlyDragResult one = at(&set, &tap, force), two = at(&scaled, &thick, force * k * k * k);
        assert_close(two.speed, one.speed * sqrt(k), 0, 1e-10);
        assert_close(two.reynolds, one.reynolds, 0, 1e-10);
    }
}

/* The factor stands before the whole sum; a piece split in two of the same thickness and ends
 * changes nothing; a piece without area is not there. */
static void shares_add_up(void **state) {
    (void)state;
    BlyDragSet set = lure_set(), strong = set, split = set;
    double shares[4], twice[4];
    double area = bly_drag_area(&set, &tap, 0.04, shares);
    assert_close(shares[0] + shares[1] + shares[2] + shares[3], area, 0, 1e-14);
    for (int i = 0; i < 4; i++)
        assert_true(shares[i] > 0);
    assert_true(shares[2] > shares[3]); /* the leaning wire drags less than the one square to it */
    strong.factor = 2;
    assert_close(bly_drag_area(&strong, &tap, -0.04, twice), 2 * area, 0, 1e-14);
    assert_close(twice[1], 2 * shares[1], 0, 1e-14);
    assert_close(at(&strong, &tap, 2e-4).speed, at(&set, &tap, 1e-4).speed, 0, 1e-12);
    BlyDragPiece pieces[5] = {lure_pieces[0], lure_pieces[0], lure_pieces[1], lure_pieces[2],
                              lure_pieces[2]};
    pieces[0].area *= 0.25;
    pieces[1].area *= 0.75;
    pieces[4].area = 0;
    split.pieces = pieces;
    split.count = 5;
    assert_close(bly_drag_area(&split, &tap, 0.04, NULL), area, 0, 1e-14);
}

/* A speck with a plate or wire: the disc's published Cd 1.17, and DNV-RP-C205's 1.21 for endless
 * cylinders at Re 6e4 to 1.5e5. The textbook's pipe in a river (Cengel & Cimbala, Example 11-4:
 * 5275 N at Re 77258) reads Cd = 1.0 off a chart, so it bounds ours only within a quarter. */
static void plates_and_wires_carry_their_part(void **state) {
    (void)state;
    BlyDragPiece piece = {.kind = BLY_DRAG_PLATE, .area = 0.01, .size = 0.1, .aspect = 1};
    BlyDragSet set = sphere_set(1e-5);
    set.pieces = &piece;
    set.count = 1;
    double speed = at(&set, &tap, 1).speed;
    assert_close(1 / (0.5 * tap.density * speed * speed * 0.01), 1.17, 0.002, 0);
    piece = (BlyDragPiece){
        .kind = BLY_DRAG_WIRE, .area = 0.022 * 30, .size = 0.022, .aspect = INFINITY};
    BlyWater river = {.density = 999.1, .viscosity = 1.138e-3};
    assert_close(river.density * 4 * 0.022 / river.viscosity, 77258, 2, 0);
    double force = 0.5 * river.density * 16 * bly_drag_area(&set, &river, 4, NULL);
    assert_close(force, 5275 * 1.21, 0, 0.01);
    assert_close(force, 5275, 0, 0.25);
    assert_close(at(&set, &river, force).speed, 4, 0, 1e-12);
}

static unsigned notes_of(BlyDragSet set, BlyDragPiece piece, double force) {
    set.pieces = &piece;
    set.count = piece.size > 0 ? 1 : 0;
    return at(&set, &tap, force).notes;
}

static void results_say_where_they_leave_the_data(void **state) {
    (void)state;
    const BlyDragPiece none = {0};
    BlyDragSet ball = sphere_set(0.02), lure = lure_set(), oval = ball, flat = ball, along = ball;
    assert_int_equal(notes_of(ball, none, 1e-3), 0);
    assert_int_equal(notes_of(lure, none, 1e-3), 0);
    assert_int_equal(notes_of(ball, none, 50), BLY_DRAG_NOTE_CRISIS);
    oval.body.sphericity = 0.95;
    assert_int_equal(notes_of(oval, none, 1e-3), BLY_DRAG_NOTE_ROUND);
    flat.body.sphericity = 0.49;
    assert_int_equal(notes_of(flat, none, 1e-3), BLY_DRAG_NOTE_SLIM);
    along.body = test_spheroid_at(0.045, 0.0085, 0.5);
    assert_int_equal(notes_of(along, none, 1e-2), BLY_DRAG_NOTE_SLANT);
    assert_int_equal(notes_of(along, none, 1e-8), 0);
    along.body.end.share = 1;
    assert_int_equal(notes_of(along, none, 1e-2), 0);
    assert_int_equal(notes_of(ball, none, -0.02), BLY_DRAG_NOTE_ZIGZAG);
    assert_int_equal(notes_of(ball, none, -1e-3), 0);
    BlyDragPiece plate = lure_pieces[0], wire = lure_pieces[1];
    assert_int_equal(notes_of(ball, plate, 1e-6), BLY_DRAG_NOTE_PLATE_SLOW);
    assert_int_equal(notes_of(ball, plate, 1e-2), 0);
    plate.lean = 1.1;
    assert_int_equal(notes_of(ball, plate, 1e-2), BLY_DRAG_NOTE_PLATE_EDGE);
    assert_int_equal(notes_of(ball, wire, 1e-3), 0);
    assert_int_equal(notes_of(ball, wire, 1e-11), BLY_DRAG_NOTE_WIRE);
    wire.area = 0;
    assert_int_equal(notes_of(ball, wire, 1e-11), 0);
}

/* Light spheres leave the straight way at Re 130 to 135 (Karamanev & Nikolov 1992, AIChE J. 38,
 * 1843, from memory): below none of them do, above all. */
static void light_balls_zigzag_from_the_published_re(void **state) {
    (void)state;
    const BlyDragPiece none = {0};
    BlyDragSet ball = sphere_set(0.0017);
    for (double re = 20; re < 200; re += 1) {
        double speed = re * tap.viscosity / (tap.density * 0.0017);
        double force = 0.5 * tap.density * speed * speed * bly_drag_area(&ball, &tap, speed, NULL);
        bool light = force > 0.1 * tap.density * 9.80665 * ball.body.volume;
        assert_true(light || re < 100);
        if (re < 129.9 || re > 135)
            assert_int_equal(notes_of(ball, none, -force), re > 135 ? BLY_DRAG_NOTE_ZIGZAG : 0);
        assert_int_equal(notes_of(ball, none, force), 0);
    }
}

static void every_note_has_words(void **state) {
    (void)state;
    unsigned bit = 1, all = 0;
    for (; bly_drag_note_words(bit); bit <<= 1) {
        all |= bit;
        assert_true(strlen(bly_drag_note_words(bit)) > 10);
    }
    assert_int_equal(all, 2 * BLY_DRAG_NOTE_SLANT - 1);
    assert_null(bly_drag_note_words(0));
    assert_null(bly_drag_note_words(3));
}

static void refuses(const BlyDragSet *set, const BlyWater *water, double force, const char *where) {
    BlyDragResult result = {.speed = 7};
    BlyError err = {0};
    assert_false(bly_drag_speed(set, water, force, &result, &err));
    assert_int_equal(err.code, strcmp(where, "/pieces") == 0 ? BLY_E_MISSING : BLY_E_RANGE);
    assert_string_equal(err.where, where);
    assert_true(strlen(err.text) > 0 && result.speed == 7);
    assert_false(bly_drag_speed(set, water, force, &result, NULL));
}

static void unsound_input_is_refused(void **state) {
    (void)state;
    const double bad[] = {0, -1, NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyDragSet good = lure_set();
        double shares[4] = {7, 7, 7, 7};
#define REFUSES(field, place)                                                                      \
    do {                                                                                           \
        BlyDragSet set = good;                                                                     \
        BlyWater water = tap;                                                                      \
        (void)water;                                                                               \
        field = bad[i];                                                                            \
        refuses(&set, &water, 1e-3, place);                                                        \
        assert_true(isnan(bly_drag_area(&set, &water, 1, shares)) && shares[0] == 7);              \
    } while (0)
        REFUSES(set.body.volume, "/body/volume");
        REFUSES(set.body.sphericity, "/body/sphericity");
        REFUSES(set.body.crosswise, "/body/crosswise");
        REFUSES(set.body.lengthwise, "/body/lengthwise");
        REFUSES(set.factor, "/factor");
        REFUSES(water.density, "/water/density");
        REFUSES(water.viscosity, "/water/viscosity");
        if (bad[i] != 0 && bad[i] != -1)
            refuses(&good, &tap, bad[i], "/force");
        if (bad[i] != -1)
            assert_true(isnan(bly_drag_area(&good, &tap, bad[i], NULL)));
    }
    BlyDragSet good = lure_set();
    refuses(&good, &tap, 1.1e6, "/force");
    good.pieces = NULL;
    refuses(&good, &tap, 1e-3, "/pieces");
}

static void unsound_pieces_are_refused(void **state) {
    (void)state;
    const struct {
        BlyDragPiece piece;
        const char *where;
    } bad[] = {
        {{.kind = (BlyDragKind)9, .area = 1, .size = 1, .aspect = 1}, "/pieces/1/kind"},
        {{.area = -1, .size = 1, .aspect = 1}, "/pieces/1/area"},
        {{.area = NAN, .size = 1, .aspect = 1}, "/pieces/1/area"},
        {{.area = 1, .size = 0, .aspect = 1}, "/pieces/1/size"},
        {{.area = 1, .size = INFINITY, .aspect = 1}, "/pieces/1/size"},
        {{.area = 1, .size = 1, .aspect = 0.99}, "/pieces/1/aspect"},
        {{.area = 1, .size = 1, .aspect = NAN}, "/pieces/1/aspect"},
        {{.area = 1, .size = 1, .aspect = 1, .lean = -0.1}, "/pieces/1/lean"},
        {{.area = 1, .size = 1, .aspect = 1, .lean = 1.6}, "/pieces/1/lean"},
        {{.area = 1, .size = 1, .aspect = 1, .lean = NAN}, "/pieces/1/lean"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyDragPiece pieces[2] = {lure_pieces[0], bad[i].piece};
        BlyDragSet set = lure_set();
        set.pieces = pieces;
        set.count = 2;
        refuses(&set, &tap, 1e-3, bad[i].where);
    }
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spheres_meet_published_and_computed_speeds),
        cmocka_unit_test(tiny_forces_creep),
        cmocka_unit_test(no_force_no_speed),
        cmocka_unit_test(force_is_carried_both_ways_and_speed_grows),
        cmocka_unit_test(the_crisis_gives_the_lowest_speed),
        cmocka_unit_test(scaled_lures_scale),
        cmocka_unit_test(shares_add_up),
        cmocka_unit_test(plates_and_wires_carry_their_part),
        cmocka_unit_test(results_say_where_they_leave_the_data),
        cmocka_unit_test(light_balls_zigzag_from_the_published_re),
        cmocka_unit_test(every_note_has_words),
        cmocka_unit_test(unsound_input_is_refused),
        cmocka_unit_test(unsound_pieces_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
