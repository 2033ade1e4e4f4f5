/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies from outlines against closed forms: sphere 4/3 pi r^3, ellipsoid pi/6 L W H, cylinder,
 * cone (a third of base times height, centroid three quarters of the way from the point), board;
 * and the same body given as stations. Outlines are written as SVG paths (tests/svg holds the
 * reader of those) in millimetres. */
#include "support/check.h"
#include "svg/svg.h"
#include "ballastry/outline.h"

#include <gsl/gsl_errno.h>

static const double pi = 3.14159265358979323846;
static const double met = 1e-5; /* m, what include/ballastry/outline.h promises */

static BlyEdges *edges_of(const char *path, const char *what) {
    BlyTrace trace = {0};
    BlyError err = {0};
    BlyEdges *edges = NULL;
    const BlyAffine metres = {1e-3, 0, 0, -1e-3, 0, 0};
    if (!bly_path_read(path, &trace, &err))
        fail_msg("%s: %s", err.where, err.text);
    bly_trace_map(&trace, &metres);
    if (!bly_edges_make(&trace, what, &edges, &err))
        fail_msg("%s: %s", err.where, err.text);
    bly_trace_release(&trace);
    return edges;
}

typedef struct Made {
    BlyBody *body;
    BlyOutlineFit fit;
} Made;

static Made make(const char *side, const char *top, BlyWidthRule rule, double width,
                 double exponent) {
    Made made = {0};
    BlyError err = {0};
    const BlySectionPlace place = {0.0, exponent};
    BlyEdges *a = edges_of(side, "side"), *b = top != NULL ? edges_of(top, "top") : NULL;
    const BlyOutlineSpec spec = {a, b, rule, width, &place, 1};
    if (!bly_body_from_outline(&spec, &made.body, &made.fit, &err))
        fail_msg("%s: %s", err.where, err.text);
    bly_edges_free(a);
    bly_edges_free(b);
    print_message("%.40s: %zu stations, miss %.2g mm\n", side, made.fit.stations,
                  1e3 * made.fit.miss);
    return made;
}

static void a_circle_is_a_sphere(void **state) {
    static const char *const circles[] = {
        "M10 0A10 10 0 0 1-10 0A10 10 0 0 1 10 0Z",
        "M0 10a10 10 0 1 1 0-20a10 10 0 0 1 0 20",
        /* cubics with the usual handle 4/3 (sqrt 2 - 1): 2.7e-4 of the radius out at most */
        "M10 0C10 5.5228474983 5.5228474983 10 0 10S-10 5.5228474983-10 0-5.5228474983-10 0-10 "
        "10-5.5228474983 10 0Z",
    };
    (void)state;
    for (int i = 0; i < 3; i++) {
        Made m = make(circles[i], NULL, BLY_WIDTH_OF_HEIGHT, 1.0, 2.0);
        const BlySolid *solid = bly_body_solid(m.body);
        assert_close(solid->volume, 4.0 / 3.0 * pi * 1e-6, 0.0, i < 2 ? 1e-8 : 9e-4);
        assert_close(solid->centroid.x, 0.01, 1e-9, 0.0);
        assert_close(solid->centroid.z, 0.0, 1e-10, 0.0);
        assert_close(bly_body_surface(m.body)->area, 4.0 * pi * 1e-4, 0.0, i < 2 ? 1e-7 : 9e-4);
        assert_true(m.fit.miss < met);
        bly_body_free(m.body);
    }
}

static void two_ellipses_are_an_ellipsoid(void **state) {
    static const char side[] = "M0 0A40 9 0 0 1 80 0A40 9 0 0 1 0 0Z";
    static const char top[] = "M80 3A40 6 0 0 1 0 3A40 6 0 0 1 80 3Z";
    (void)state;
    Made m = make(side, top, BLY_WIDTH_DRAWN, 0.0, 2.0);
    assert_close(bly_body_solid(m.body)->volume, pi / 6.0 * 0.08 * 0.012 * 0.018, 0.0, 1e-8);
    assert_close(m.fit.stretch, 1.0, 1e-12, 0.0);
    assert_close(m.fit.skew, 0.0, 1e-12, 0.0);
    bly_body_free(m.body);
    m = make(side, NULL, BLY_WIDTH_MOST, 0.012, 2.0);
    assert_close(bly_body_solid(m.body)->volume, pi / 6.0 * 0.08 * 0.012 * 0.018, 0.0, 1e-7);
    bly_body_free(m.body);
    m = make(side, NULL, BLY_WIDTH_OF_HEIGHT, 2.0 / 3.0, 2.0);
    assert_close(bly_body_solid(m.body)->volume, pi / 6.0 * 0.08 * 0.012 * 0.018, 0.0, 1e-8);
    bly_body_free(m.body);
}

static void lines_are_cylinder_cone_and_board(void **state) {
    (void)state;
    Made m = make("M0 0H50V16H0Z", NULL, BLY_WIDTH_OF_HEIGHT, 1.0, 2.0);
    assert_close(bly_body_solid(m.body)->volume, pi * 0.008 * 0.008 * 0.05, 0.0, 1e-9);
    bly_body_free(m.body);
    m = make("M0 0L60 9V-9Z", NULL, BLY_WIDTH_OF_HEIGHT, 1.0, 2.0);
    assert_close(bly_body_solid(m.body)->volume, pi / 3.0 * 0.009 * 0.009 * 0.06, 0.0, 1e-9);
    assert_close(bly_body_solid(m.body)->centroid.x, 0.045, 1e-9, 0.0);
    bly_body_free(m.body);
    /* A disc cut from a board: a box section's area is the superellipse's with exponent 20,
     * G(1 + 1/20)^2 / G(1 + 2/20) = 0.99617.. of the box (gamma function of libm). */
    m = make("M15 0A15 15 0 0 1-15 0A15 15 0 0 1 15 0Z", NULL, BLY_WIDTH_EVEN, 0.01, 20.0);
    double full = tgamma(1.05) * tgamma(1.05) / tgamma(1.1);
    assert_close(bly_body_solid(m.body)->volume, full * pi * 0.015 * 0.015 * 0.01, 0.0, 1e-5);
    bly_body_free(m.body);
}

/* Two edges drawn apart, in either direction, and pieces in any order are the closed outline. */
static void loose_strokes_are_put_together(void **state) {
    static const char *const ways[] = {
        "M0 0A40 9 0 0 1 80 0M0 0A40 9 0 0 0 80 0",
        "M0 0A40 9 0 0 1 80 0M80 0A40 9 0 0 1 0 0",
        "M40 9A40 9 0 0 0 80 0M0 0A40 9 0 0 1 40-9M40 9A40 9 0 0 1 0 0M80 0A40 9 0 0 0 40-9",
    };
    (void)state;
    for (int i = 0; i < 3; i++) {
        Made m = make(ways[i], NULL, BLY_WIDTH_OF_HEIGHT, 1.0, 2.0);
        assert_close(bly_body_solid(m.body)->volume, pi / 6.0 * 0.08 * 0.018 * 0.018, 0.0, 1e-8);
        bly_body_free(m.body);
    }
}

/* A crooked minnow drawn with cubics: the promise of 0.01 mm, looked at between the stations and
 * in other places than the maker of stations does; and the volume by Simpson's rule on the edges.*/
static void a_free_outline_is_met(void **state) {
    static const char side[] =
        "M0 1C0-4 6-9 26-9.5 46-10 66-7 84-1.5L90-2.2V1.6C80 1.5 70 4 52 8 36 11.5 4 8 0 1Z";
    static const char top[] = "M0 0C1-4 16-7 34-7S80-3.5 90-.8V.8C80 3.5 52 7 34 7S1 4 0 0Z";
    (void)state;
    Made m = make(side, top, BLY_WIDTH_DRAWN, 0.0, 2.0);
    BlyEdges *a = edges_of(side, "side"), *b = edges_of(top, "top");
    BlyExtent box = bly_edges_extent(a);
    double middle = 0.5 * (box.y_low + box.y_high), volume = 0.0, worst = 0.0;
    enum { STEPS = 20000 };
    for (int i = 0; i <= STEPS; i++) {
        double x = 0.09 * (i + 0.0) / STEPS, low, high, left, right;
        BlySection section;
        bly_edges_at(a, x, &low, &high);
        bly_edges_at(b, x, &left, &right);
        assert_true(bly_body_section(m.body, x, &section));
        if (i > 20 && i < STEPS - 20) {
            double low2, high2, left2, right2, h = 1e-7; /* distances are square to the drawing */
            bly_edges_at(a, x + h, &low2, &high2);
            bly_edges_at(b, x + h, &left2, &right2);
            worst = fmax(worst, fabs(section.belly - (low - middle)) / hypot(1, (low2 - low) / h));
            worst =
                fmax(worst, fabs(section.back - (high - middle)) / hypot(1, (high2 - high) / h));
            worst = fmax(worst, fabs(0.5 * section.width - 0.5 * (right - left)) /
                                    hypot(1, (right2 - left2 - right + left) / h / 2));
        }
        double weight = i == 0 || i == STEPS ? 1.0 : i % 2 ? 4.0 : 2.0;
        volume += weight * pi / 4.0 * (high - low) * (right - left) * 0.09 / STEPS / 3.0;
    }
    print_message("worst %.3g mm, volume off by %.2g\n", 1e3 * worst,
                  bly_body_solid(m.body)->volume / volume - 1.0);
    assert_true(worst < 1.1 * met);
    assert_close(bly_body_solid(m.body)->volume, volume, 0.0, 1e-4);
    bly_edges_free(a);
    bly_edges_free(b);
    bly_body_free(m.body);
}

/* Points on an ellipse, as a maker would prick them: the smooth curve through 24 of them misses
 * the closed form by far less than their polygon does (2 pi^2 / (3 n^2) = 1.1 %). */
static void points_make_a_smooth_outline(void **state) {
    enum { N = 24 };
    double x[N], y[N];
    BlyTrace trace = {0}, square = {0};
    BlyEdges *edges = NULL;
    (void)state;
    for (int i = 0; i < N; i++) {
        x[i] = 0.04 * cos(2.0 * pi * i / N);
        y[i] = 0.009 * sin(2.0 * pi * i / N);
    }
    assert_true(bly_trace_points(&trace, x, y, N, true, NULL));
    assert_true(bly_edges_make(&trace, "side", &edges, NULL));
    assert_close(bly_edges_area(edges, NULL, NULL), pi * 0.04 * 0.009, 0.0, 2e-3);
    bly_edges_free(edges);
    bly_trace_release(&trace);
    /* Corners stay corners. */
    const double sx[] = {0, 0.02, 0.04, 0.04, 0.04, 0.02, 0, 0},
                 sy[] = {0, 0, 0, 0.005, 0.01, 0.01, 0.01, 0.005};
    assert_true(bly_trace_points(&square, sx, sy, 8, true, NULL));
    assert_true(bly_edges_make(&square, "side", &edges, NULL));
    assert_close(bly_edges_area(edges, NULL, NULL), 0.0004, 0.0, 1e-9);
    bly_edges_free(edges);
    bly_trace_release(&square);
}

/* An ellipse has exponent 2; a superellipse has its own; a square the most there is. */
static void sections_find_their_exponent(void **state) {
    BlySectionFit fit;
    (void)state;
    BlyEdges *round = edges_of("M8 0A8 11 0 0 1-8 0A8 11 0 0 1 8 0Z", "section");
    assert_true(bly_section_fit(round, &fit, NULL));
    assert_close(fit.exponent, 2.0, 1e-6, 0.0);
    assert_close(fit.miss, 0.0, 1e-6, 0.0);
    assert_close(fit.aspect, 8.0 / 11.0, 1e-9, 0.0);
    bly_edges_free(round);
    BlyTrace trace = {0};
    double x[400], y[400];
    for (int i = 0; i < 400; i++) { /* |x/9|^3 + |y/7|^3 = 1, by its usual parameter */
        double c = cos(2.0 * pi * i / 400), s = sin(2.0 * pi * i / 400);
        x[i] = copysign(0.009 * pow(fabs(c), 2.0 / 3.0), c);
        y[i] = copysign(0.007 * pow(fabs(s), 2.0 / 3.0), s);
    }
    BlyEdges *edges = NULL;
    assert_true(bly_trace_points(&trace, x, y, 400, true, NULL));
    assert_true(bly_edges_make(&trace, "section", &edges, NULL));
    assert_true(bly_section_fit(edges, &fit, NULL));
    assert_close(fit.exponent, 3.0, 5e-3, 0.0);
    assert_close(fit.miss, 0.0, 1e-3, 0.0);
    bly_edges_free(edges);
    bly_trace_release(&trace);
    BlyEdges *box = edges_of("M0 0H10V10H0Z", "section");
    assert_true(bly_section_fit(box, &fit, NULL));
    assert_close(fit.exponent, 20.0, 1e-9, 0.0);
    assert_close(fit.lean, 0.0, 1e-9, 0.0);
    bly_edges_free(box);
    /* A half disc, flat side down: centroid 4 r / (3 pi) above it, 0.4244 - 0.5 of its height. */
    BlyEdges *half = edges_of("M-10 0A10 10 0 0 1 10 0Z", "section");
    assert_true(bly_section_fit(half, &fit, NULL));
    assert_close(fit.lean, 4.0 / (3.0 * pi) - 0.5, 1e-6, 0.0);
    assert_close(fit.exponent, 2.0, 1e-6, 0.0); /* pi/4 of its box, too */
    assert_between(fit.miss, 0.1, 0.5);
    bly_edges_free(half);
}

static void what_no_body_can_follow_is_refused(void **state) {
    static const struct {
        const char *path, *word;
    } rows[] = {
        {"", "nothing"},
        {"M0 0L50 0", "0 mm"},
        {"M0 0V20", "length"},
        {"M0 0H4000V20Z", "wrong unit"},
        {"M0 0H90000000V20Z", "1000 m"},
        {"M0 0L40-8H60L80-9 68 0 80 9 60 8H40Z", "turns back"}, /* a forked tail */
        {"M0 0L10-5L20 0H40H20L10 5Z", "only one edge"},
        {"M0 0L10-5L20 0L10 5ZM20.05 0L30-5L40 0L30 5Z", "nothing is drawn"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyTrace trace = {0};
        BlyEdges *edges = NULL;
        BlyError err = {0};
        const BlyAffine metres = {1e-3, 0, 0, 1e-3, 0, 0};
        assert_true(bly_path_read(rows[i].path, &trace, NULL));
        bly_trace_map(&trace, &metres);
        if (bly_edges_make(&trace, "side", &edges, &err) || !strstr(err.text, rows[i].word) ||
            strcmp(err.where, "/side") != 0)
            fail_msg("\"%s\": %s \"%s\"", rows[i].path, err.where, err.text);
        assert_null(edges);
        assert_false(bly_edges_make(&trace, "side", &edges, NULL));
        bly_trace_release(&trace);
    }
    /* A top that is 10 % longer than the side. */
    BlyEdges *side = edges_of("M0 0H50V16H0Z", "side"), *top = edges_of("M0 0H55V16H0Z", "top");
    const BlySectionPlace place = {0.0, 2.0};
    const BlyOutlineSpec spec = {side, top, BLY_WIDTH_DRAWN, 0.0, &place, 1};
    BlyBody *body = NULL;
    BlyError err = {0};
    assert_false(bly_body_from_outline(&spec, &body, NULL, &err));
    assert_string_equal(err.where, "/top");
    bly_edges_free(side);
    bly_edges_free(top);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_circle_is_a_sphere),
        cmocka_unit_test(two_ellipses_are_an_ellipsoid),
        cmocka_unit_test(lines_are_cylinder_cone_and_board),
        cmocka_unit_test(loose_strokes_are_put_together),
        cmocka_unit_test(a_free_outline_is_met),
        cmocka_unit_test(points_make_a_smooth_outline),
        cmocka_unit_test(sections_find_their_exponent),
        cmocka_unit_test(what_no_body_can_follow_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
