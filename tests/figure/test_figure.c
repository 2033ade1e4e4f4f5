/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures against closed forms: the outline of a turned and heeled ellipsoid, a lip at its angle, a
 * strip as long as it was cut, chains that hang straight down. */
#include "sheet/kit.h"
#include "figure/shapes.h"

#include <gsl/gsl_math.h>

/* x from 0 to 2a; three stations make an ellipsoid exactly (docs/shape.md). */
static BlyBody *ellipsoid(double a, double b, double c) {
    const BlyStation stations[3] = {{.x = 0, .exponent = 2},
                                    {.x = a, .width = 2 * b, .height = 2 * c, .exponent = 2},
                                    {.x = 2 * a, .exponent = 2}};
    BlyBody *body;
    assert_true(bly_body_from_stations(stations, 3, &body, NULL));
    return body;
}

/* The reach of an ellipsoid along a unit vector n is sqrt(sum (a_i n_i)^2). Sections are drawn at
 * 73 places, hence a tolerance of 1e-3 of the size. */
static void an_ellipsoid_reaches_as_far_as_it_should(void **state) {
    (void)state;
    const double a = 0.05, b = 0.008, c = 0.011;
    BlyBody *body = ellipsoid(a, b, c);
    for (double t = -3; t <= 3; t += 0.37) {
        for (double h = -1.5; h <= 3.2; h += 0.41) {
            Figure figure = {0};
            Bounds bounds;
            Aspect aspect = {.t = t, .h = h};
            BlyVec3 up = bly_vec_up(t, h);
            figure_body(&figure, body, aspect);
            assert_true(bly_figure_bounds(&figure, &bounds));
            double reach = sqrt(a * a * up.x * up.x + b * b * up.y * up.y + c * c * up.z * up.z);
            double middle = bly_vec_dot(bly_vec(a, 0, 0), up);
            assert_close(bounds.high, middle + reach, 1e-3 * a, 0);
            assert_close(bounds.low, middle - reach, 1e-3 * a, 0);
            bly_figure_release(&figure);
        }
    }
    bly_body_free(body);
}

/* The height of any point of the figure is its part along the upward vertical. */
static void points_are_seen_at_their_height(void **state) {
    (void)state;
    const BlyVec3 p = {0.03, -0.004, 0.007};
    for (double t = -3; t < 3; t += 0.5) {
        for (double h = -3; h < 3; h += 0.5)
            assert_close(bly_aspect_point((Aspect){.t = t, .h = h}, p).y,
                         bly_vec_dot(bly_vec_up(t, h), p), 1e-12, 0);
    }
    Pt front = bly_aspect_point((Aspect){.front = true}, p);
    assert_close(front.x, 0.004, 1e-12,
                 0); /* starboard lies to the left of who looks at the nose */
    assert_close(front.y, 0.007, 1e-12, 0);
}

/* Pieces of a blank: the joint at one height is straight from the side and from below the ellipse
 * that the plane cuts; a rod is as long and thick as it is, a ball round from everywhere. */
static void pieces_are_drawn_where_they_lie(void **state) {
    (void)state;
    const double a = 0.05, b = 0.008, c = 0.011, z = -0.004, lean = sqrt(1 - z * z / (c * c));
    BlyBody *body = ellipsoid(a, b, c);
    const BlyInset pieces[] = {
        {.is_layer = true, .zone = {{-INFINITY, INFINITY}, {-INFINITY, z}, {0, INFINITY}}},
        {.form = {{BLY_FORM_ROD, {0.02, 0, 0.001}, {0.07, 0, 0.001}, 0.001, 0}}, .form_count = 1},
        {.form = {{BLY_FORM_BALL, {0.03, 0.002, 0.003}, {0, 0, 0}, 0.003, 0}}, .form_count = 1}};
    for (int i = 0; i < 3; i++) {
        const BlyBlank blank = {.bare = body, .facts = {.insets = &pieces[i], .inset_count = 1}};
        Figure side = {0}, below = {0};
        Bounds s, u;
        figure_pieces(&side, &blank, (Aspect){0});
        figure_pieces(&below, &blank, (Aspect){.h = M_PI_2});
        assert_true(bly_figure_bounds(&side, &s) && bly_figure_bounds(&below, &u));
        const double want[3][6] = {
            /* left, right, low, high from the side; low and high from below */
            {a - a * lean, a + a * lean, z, z, -b * lean, b * lean},
            {0.02, 0.07, 0, 0.002, -0.001, 0.001},
            {0.027, 0.033, 0, 0.006, -0.005, 0.001},
        };
        assert_close(s.left, want[i][0], 1e-3 * a, 0);
        assert_close(s.right, want[i][1], 1e-3 * a, 0);
        assert_close(s.low, want[i][2], 1e-5, 0);
        assert_close(s.high, want[i][3], 1e-5, 0);
        assert_close(u.low, want[i][4], 2e-5, 0);
        assert_close(u.high, want[i][5], 2e-5, 0);
        bly_figure_release(&side);
        bly_figure_release(&below);
    }
    bly_body_free(body);
}

typedef struct Drawn {
    BlyCatalog catalog;
    BlyBuild *build;
    BlySheetFacts facts;
    FigureOf of;
} Drawn;

static void draw_full(Drawn *d) {
    kit_catalog(&d->catalog, false);
    d->build = kit_build("tests/sheet/builds/full.json", &d->catalog);
    kit_gather(d->build, &d->catalog, &d->facts);
    d->of = (FigureOf){d->build, d->facts.rig, &d->facts.lure};
}

static void drawn_release(Drawn *d) {
    bly_sheet_facts_release(&d->facts);
    bly_build_free(d->build);
    bly_catalog_release(&d->catalog);
}

/* The lip: 24 mm of which 7 in the slot, 40 degrees below the axis, filed to 0.8 mm. */
static void the_lip_stands_at_its_angle(void **state) {
    (void)state;
    Drawn d;
    Figure figure = {0};
    Bounds b;
    draw_full(&d);
    int seat = bly_build_seat(d.build, "lip");
    figure_lip(&figure, &d.of, seat, (Aspect){0});
    assert_true(bly_figure_seat_bounds(&figure, seat, &b));
    double angle = 40 * M_PI / 180, out = 0.017, thick = 0.0008;
    assert_close(b.right - b.left, out * cos(angle) + thick * sin(angle), 1e-9, 0);
    assert_close(b.high - b.low, out * sin(angle) + thick * cos(angle), 1e-9, 0);
    bly_figure_release(&figure);
    figure_lip(&figure, &d.of, seat, (Aspect){.h = M_PI_2});
    assert_true(bly_figure_seat_bounds(&figure, seat, &b));
    assert_close(b.high - b.low, 0.014, 1e-5, 0); /* as wide as its outline */
    bly_figure_release(&figure);
    drawn_release(&d);
}

/* Seen from below, 6 mm of strip bent around a belly of some 7 mm radius is a little narrower. */
static void the_strip_is_as_long_as_it_was_cut(void **state) {
    (void)state;
    Drawn d;
    Figure figure = {0};
    Bounds b;
    draw_full(&d);
    int seat = bly_build_seat(d.build, "keel");
    figure_metal(&figure, &d.of, seat, (Aspect){.h = M_PI_2});
    assert_true(bly_figure_seat_bounds(&figure, seat, &b));
    assert_close(b.left, 0.038, 1e-9, 0);
    assert_between(b.right - b.left, 0.0290, 0.0300); /* the belly line rises on its way aft */
    assert_between(b.high - b.low, 0.0054, 0.0060);
    bly_figure_release(&figure);
    /* From above it is hidden. */
    figure_metal(&figure, &d.of, seat, (Aspect){.h = -M_PI_2});
    assert_int_equal(figure.shapes[0].kind, SHAPE_HIDDEN);
    bly_figure_release(&figure);
    drawn_release(&d);
}

/* However the lure lies, what hangs is symmetric about the plumb line below its hanging point and
 * reaches as far down as the item says. */
static void chains_hang_straight_down(void **state) {
    (void)state;
    Drawn d;
    draw_full(&d);
    int told = 0;
    for (size_t i = 0; i < d.facts.lure.count; i++) {
        const BlyItem *item = &d.facts.lure.items[i];
        if (!item->hangs || item->part == NULL || strcmp(item->part->id, "treble") != 0)
            continue;
        for (double t = -1.2; t < 1.3; t += 0.6) {
            Figure figure = {0};
            Bounds b;
            Aspect aspect = {.t = t};
            Pt from = bly_aspect_point(aspect, item->at);
            figure_hanging(&figure, item, aspect);
            assert_true(bly_figure_bounds(&figure, &b));
            assert_close(0.5 * (b.left + b.right), from.x, 1e-9, 0);
            assert_close(b.low, from.y - item->hang_to, 1e-5, 0);
            bly_figure_release(&figure);
            told++;
        }
    }
    assert_true(told > 0);
    drawn_release(&d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ellipsoid_reaches_as_far_as_it_should),
        cmocka_unit_test(pieces_are_drawn_where_they_lie),
        cmocka_unit_test(points_are_seen_at_their_height),
        cmocka_unit_test(the_lip_stands_at_its_angle),
        cmocka_unit_test(the_strip_is_as_long_as_it_was_cut),
        cmocka_unit_test(chains_hang_straight_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
