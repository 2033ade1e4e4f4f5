/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Path data against closed forms (circle, ellipse, parabola segment), against the definitions of
 * SVG 2 (W3C, Candidate Recommendation of 4 October 2018, section 9.3 and appendix B.2), and the
 * same path written in other ways. */
#include "svg/measure.h"
#include "svg/svg.h"

static const double pi = 3.14159265358979323846;

static BlyTrace read_path(const char *data) {
    BlyTrace trace = {0};
    BlyError err = {0};
    if (!bly_path_read(data, &trace, &err))
        fail_msg("\"%s\": %s: %s", data, err.where, err.text);
    return trace;
}

static void assert_same_trace(const char *one, const char *other) {
    BlyTrace a = read_path(one), b = read_path(other);
    if (a.count != b.count)
        fail_msg("\"%s\" gives %zu curves, \"%s\" %zu", one, a.count, other, b.count);
    for (size_t i = 0; i < a.count; i++) {
        for (int k = 0; k < 4; k++) {
            assert_close(a.cubic[i].x[k], b.cubic[i].x[k], 1e-12, 1e-12);
            assert_close(a.cubic[i].y[k], b.cubic[i].y[k], 1e-12, 1e-12);
        }
    }
    bly_trace_release(&a);
    bly_trace_release(&b);
}

/* Relative commands, repeated arguments, moves that go on as lines, separators that may be left
 * out, and smooth handles: each pair is one path by the definitions of 9.3. */
static void every_way_of_writing_is_the_same_path(void **state) {
    static const char *const pairs[][2] = {
        {"M1 2L3 4", "m1 2l2 2"},
        {"M 1,2 L 3,4 L 5,1", "M1 2 3 4 5 1"},
        {"M1 2l1 1l2-3", "m1,2,1,1,2-3"},
        {"M.5.5L1.5-3e-2", "M 0.5 0.5 L 1.5 -0.03"},
        {"M+1-2L5.e0,6", "M1 -2 L5 6"},
        {"M0 0H5V6H1", "M0 0h5v6h-4"},
        {"M0 0H5 7V6 2", "M0 0L5 0L7 0L7 6L7 2"},
        {"M2 2H5Z", "M2 2L5 2L2 2"},
        {"M2 2H5V3ZL9 9", "M2 2H5V3Zl7 7"},
        {"M2 2H5V3zm1 1h1", "M2 2H5V3L2 2M3 3H4"},
        {"M0 0C1 2 3 4 5 6", "m0 0c1 2 3 4 5 6"},
        {"M1 1c1 2 3 4 5 6 1 2 3 4 5 6", "M1 1C2 3 4 5 6 7C7 9 9 11 11 13"},
        {"M0 0C1 2 3 4 5 6S9 9 10 6", "M0 0C1 2 3 4 5 6C7 8 9 9 10 6"},
        {"M0 0C1 2 3 4 5 6s4 3 5 0", "M0 0C1 2 3 4 5 6S9 9 10 6"},
        {"M5 6S9 9 10 6", "M5 6C5 6 9 9 10 6"},
        {"M0 0Q1 1 2 0S9 9 10 6", "M0 0Q1 1 2 0C2 0 9 9 10 6"}, /* a Q's handle is no C's */
        {"M0 0Q3 3 6 0", "M0 0C2 2 4 2 6 0"},
        {"M0 0Q1 1 2 0T4 0T6 0", "M0 0Q1 1 2 0Q3 -1 4 0Q5 1 6 0"},
        {"M0 0q1 1 2 0t2 0 2 0", "M0 0Q1 1 2 0T4 0T6 0"},
        {"M1 1T4 0", "M1 1Q1 1 4 0"},
        {"M0 0L2 0T4 0", "M0 0L2 0L4 0"},
        {"M0 0A5 5 0 0 1 5 5", "M0 0a5 5 0 015 5"},
        {"M0 0A5 5 0 0 1 5 5A5 5 0 1 0 0 0", "M0 0A5,5,0,0,1,5,5,5,5,0,1,0,0,0"},
        {"M0 0A5 5 0 0 1 5 5", "M0 0A-5 -5 0 01 5 5"},  /* signs of radii: B.2.5 */
        {"M0 0A0 5 0 0 1 5 5", "M0 0L5 5"},             /* radius 0: a line */
        {"M0 0A3 3 0 0 1 0 0L1 1", "M0 0L1 1"},         /* no way to go: left out */
        {"M0 0A1 1 0 0 1 10 0", "M0 0A5 5 0 0 1 10 0"}, /* too small: scaled up */
        {"M0 0A1 2 30 0 1 10 0A1 1 0 1 1 0 0", "M0 0A1 2 30 1 1 10 0A1 1 0 0 1 0 0"},
        {" \t\r\n\fM1 2\tL\n3\f4 ", "M1 2L3 4"},
        {"", "none"},
        {"", " "},
        {"M1 2", ""},
    };
    (void)state;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        /* A line drawn as a curve differs in its handles, not in what it draws. */
        if (strcmp(pairs[i][0], "M0 0L2 0T4 0") == 0) {
            BlyTrace t = read_path(pairs[i][0]);
            assert_close(t.cubic[1].x[3], 4.0, 0.0, 0.0);
            assert_close(t.cubic[1].y[1], 0.0, 0.0, 0.0);
            bly_trace_release(&t);
            continue;
        }
        assert_same_trace(pairs[i][0], pairs[i][1]);
    }
}

/* Circle and ellipse by arcs, cut in any way: area pi a b, and every point on the curve. */
static void arcs_are_on_their_ellipse(void **state) {
    (void)state;
    static const struct {
        const char *data;
        double cx, cy, a, b, turn_deg;
    } rows[] = {
        {"M10 0A10 10 0 0 1-10 0A10 10 0 0 1 10 0Z", 0, 0, 10, 10, 0},
        {"M10 0A10 10 0 1 1 0-10A10 10 0 0 1 10 0", 0, 0, 10, 10, 0},
        {"M30 0A30 20 0 0 1 0 20 30 20 0 0 1-30 0 30 20 0 0 1 0-20 30 20 0 0 1 30 0", 0, 0, 30, 20,
         0},
        {"M5 5a7 3 90 1 1 .001 0z", 2.0005, 5, 7, 3, 90},
    };
    for (size_t i = 0; i < 3; i++) {
        BlyTrace trace = read_path(rows[i].data);
        assert_close(trace_area(&trace), pi * rows[i].a * rows[i].b, 0.0, 3e-9);
        for (size_t k = 0; k < trace.count; k++) {
            for (int s = 0; s <= 8; s++) {
                double u = (cubic_value(trace.cubic[k].x, s / 8.0) - rows[i].cx) / rows[i].a;
                double v = (cubic_value(trace.cubic[k].y, s / 8.0) - rows[i].cy) / rows[i].b;
                assert_close(u * u + v * v, 1.0, 5e-9, 0.0);
            }
        }
        bly_trace_release(&trace);
    }
    /* Nearly a whole turn, rotated: radii 7 along y and 3 along x; the box is 6 by 14. */
    BlyTrace trace = read_path(rows[3].data);
    BlyExtent box = bly_trace_extent(&trace);
    assert_close(box.x_high - box.x_low, 6.0, 1e-3, 0.0);
    assert_close(box.y_high - box.y_low, 14.0, 1e-3, 0.0);
    assert_close(fabs(trace_area(&trace)), pi * 21.0, 1e-2, 0.0);
    bly_trace_release(&trace);
}

/* The four flags choose four arcs between two points: SVG 2, 9.3.8. With radius 5 between (0, 0)
 * and (5, 5) the centres are (5, 0) and (0, 5); sweep 1 turns towards positive angles. */
static void flags_choose_the_arc(void **state) {
    static const struct {
        const char *data;
        double cx, cy, turn; /* quarter turns, signed */
    } rows[] = {
        {"M0 0A5 5 0 0 0 5 5", 5, 0, -1},
        {"M0 0A5 5 0 0 1 5 5", 0, 5, 1},
        {"M0 0A5 5 0 1 0 5 5", 0, 5, -3},
        {"M0 0A5 5 0 1 1 5 5", 5, 0, 3},
    };
    (void)state;
    for (int i = 0; i < 4; i++) {
        BlyTrace trace = read_path(rows[i].data);
        double turned = 0;
        for (size_t k = 0; k < trace.count; k++) {
            const BlyCubic *c = &trace.cubic[k];
            double x0 = c->x[0] - rows[i].cx, y0 = c->y[0] - rows[i].cy;
            double x1 = c->x[3] - rows[i].cx, y1 = c->y[3] - rows[i].cy;
            assert_close(hypot(x1, y1), 5.0, 1e-12, 0.0);
            turned += atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1);
        }
        assert_close(turned, rows[i].turn * pi / 2.0, 1e-12, 0.0);
        bly_trace_release(&trace);
    }
}

/* A parabola's segment has two thirds of its parallelogram (Archimedes, Quadrature, proposition
 * 24): Q with handle (3, 6) over (0, 0) to (6, 0) reaches height 3, area 2/3 6 3 = 12. */
static void a_quadratic_is_a_parabola(void **state) {
    (void)state;
    BlyTrace trace = read_path("M6 0Q3 6 0 0Z");
    assert_close(trace_area(&trace), 12.0, 1e-12, 0.0);
    assert_close(bly_trace_extent(&trace).y_high, 3.0, 1e-12, 0.0);
    bly_trace_release(&trace);
}

static void broken_data_names_its_offset(void **state) {
    static const struct {
        const char *data, *where, *word;
    } rows[] = {
        {"L1 2", "offset 0", "a move"},
        {"1 2", "offset 0", "a move"},
        {"M", "offset 1", "ends"},
        {"M1", "offset 2", "ends"},
        {"M1,", "offset 3", "ends"},
        {"M1 2L3", "offset 6", "ends"},
        {"M1 2,", "offset 5", "behind the comma"},
        {"M1,,2", "offset 3", "number"},
        {"M,1 2", "offset 1", "number"},
        {"M1 2 X", "offset 5", "MLHVCSQTAZ"},
        {"M1 2 nan 3", "offset 5", "MLHVCSQTAZ"},
        {"M1 2 L inf 3", "offset 7", "number"},
        {"M1 2 L 0x10 3", "offset 8", "number"},
        {"M1 2L1e10 3", "offset 5", "1e9"},
        {"M1 2L1e999 3", "offset 5", "1e9"},
        {"M1 2L. 3", "offset 5", "number"},
        {"M1 2L- 3", "offset 5", "number"},
        {"M1 2C1 2 3 4 5", "offset 14", "ends"},
        {"M1 2A1 1 0 2 0 3 3", "offset 11", "flag"},
        {"M1 2A1 1 0 1", "offset 12", "flag"},
        {"M1 2A1 1 0 0.5 3 3", "offset 12", "flag"},
        {"M1 2Z3 4", "offset 5", "MLHVCSQTAZ"},
        {"M1 2\xc3\xa9", "offset 4", "MLHVCSQTAZ"},
        {"M1 2 none", "offset 5", "MLHVCSQTAZ"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyTrace trace = {0};
        BlyError err = {0};
        bool good = bly_path_read(rows[i].data, &trace, &err);
        if (good || strcmp(err.where, rows[i].where) != 0 || !strstr(err.text, rows[i].word))
            fail_msg("\"%s\": %s \"%s\"", rows[i].data, err.where, err.text);
        assert_false(bly_path_read(rows[i].data, &trace, NULL));
        bly_trace_release(&trace);
    }
}

static void apply(const char *text, double x, double y, double *to_x, double *to_y) {
    BlyAffine m;
    BlyError err = {0};
    if (!transform_read(text, &m, &err))
        fail_msg("\"%s\": %s: %s", text, err.where, err.text);
    *to_x = m.a * x + m.c * y + m.e;
    *to_y = m.b * x + m.d * y + m.f;
}

/* Matrices of CSS Transforms 1 (W3C, 14 February 2019), section 12, worked by hand. */
static void transforms_map_points(void **state) {
    static const struct {
        const char *text;
        double x, y, to_x, to_y;
    } rows[] = {
        {"", 3, 4, 3, 4},
        {"none", 3, 4, 3, 4},
        {"translate(10)", 3, 4, 13, 4},
        {"translate(10 -2)", 3, 4, 13, 2},
        {"scale(2)", 3, 4, 6, 8},
        {"scale(2,-1)", 3, 4, 6, -4},
        {"rotate(90)", 3, 4, -4, 3},
        {"rotate(90, 1, 1)", 3, 4, -2, 3},
        {"skewX(45)", 3, 4, 7, 4},
        {"skewY(45)", 3, 4, 3, 7},
        {"matrix(1 2 3 4 5 6)", 3, 4, 20, 28},
        {"translate(10,0) scale(2)", 3, 4, 16, 8},
        {"scale(2)translate(10 0)", 3, 4, 26, 8},
        {" rotate( 90 ) , translate(1-1)", 3, 4, -3, 4},
        {"matrix(.5-.5.5.5 0 0)", 2, 4, 3, 1},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double x, y;
        apply(rows[i].text, rows[i].x, rows[i].y, &x, &y);
        assert_close(x, rows[i].to_x, 1e-12, 0.0);
        assert_close(y, rows[i].to_y, 1e-12, 0.0);
    }
    static const char *const broken[] = {
        "turn(3)",
        "translate",
        "translate(",
        "translate()",
        "translate(1",
        "scale(1,",
        "scale(1,)",
        "rotate(1 2)",
        "matrix(1 2 3)",
        "skewX(1 2)",
        "Scale(1)",
        "translate(1 2 3)",
        "matrix(1 2 3 4 5 6 7)",
        "rotate(30deg)",
        "scale(1)x",
    };
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
        BlyAffine m;
        BlyError err = {0};
        if (transform_read(broken[i], &m, &err) || strncmp(err.where, "offset", 6) != 0)
            fail_msg("\"%s\" was read, or has no offset: %s", broken[i], err.where);
    }
}

/* CSS Values 3 (W3C), 6.2: 1 in = 2.54 cm = 96 px = 72 pt = 6 pc, 1 Q = 1/40 cm. */
static void lengths_have_css_units(void **state) {
    static const struct {
        const char *text;
        double px;
        bool percent;
    } rows[] = {
        {"96", 96, false},      {"96px", 96, false},    {"1in", 96, false}, {"2.54cm", 96, false},
        {"25.4mm", 96, false},  {"72pt", 96, false},    {"6pc", 96, false}, {"101.6Q", 96, false},
        {" 1.5e1 ", 15, false}, {"25.4 MM", 96, false}, {"50%", 50, true},  {"-.5px", -0.5, false},
    };
    static const char *const broken[] = {"",      "mm",   "5 furlongs", "5em",
                                         "5mm 3", "auto", "--5",        "5mmm"};
    double value;
    bool percent;
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(svg_length(rows[i].text, &value, &percent));
        assert_close(value, rows[i].px, 1e-12, 0.0);
        assert_int_equal(percent, rows[i].percent);
    }
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++)
        assert_false(svg_length(broken[i], &value, &percent));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_way_of_writing_is_the_same_path),
        cmocka_unit_test(arcs_are_on_their_ellipse),
        cmocka_unit_test(flags_choose_the_arc),
        cmocka_unit_test(a_quadratic_is_a_parabola),
        cmocka_unit_test(broken_data_names_its_offset),
        cmocka_unit_test(transforms_map_points),
        cmocka_unit_test(lengths_have_css_units),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
