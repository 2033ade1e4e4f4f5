/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole drawings. Sizes against the definitions of SVG 2 (W3C, Candidate Recommendation of 4
 * October 2018, chapters 8 and 10) worked by hand; shapes of made-up drawings against librsvg, a
 * general-purpose renderer: the box that it reports and the area that it fills. */
#include "build/files.h"
#include "support/table.h"
#include "svg/measure.h"
#include "svg/svg.h"

#include <cairo.h>
#include <librsvg/rsvg.h>

static const double pi = 3.14159265358979323846;

#define SVG "<svg xmlns='http://www.w3.org/2000/svg' "

typedef struct Sized {
    const char *text, *id;
    double x_low, x_high, y_low, y_high; /* mm, y upward */
    bool sized;
} Sized;

/* 25.4 mm are 96 px. */
static void sizes_are_those_of_the_file(void **state) {
    static const Sized rows[] = {
        {SVG "width='96' height='96'><circle cx='48' cy='48' r='24'/></svg>", NULL, 6.35, 19.05,
         -19.05, -6.35, true},
        {SVG "width='100mm' height='50mm' viewBox='0 0 100 50'><path d='M10 10h80v30h-80z'/></svg>",
         NULL, 10, 90, -40, -10, true},
        {SVG "width='10cm' viewBox='0 0 100 50'><path d='M10 10h80v30h-80z'/></svg>", NULL, 10, 90,
         -40, -10, true},
        {SVG "height='5cm' viewBox='0 0 100 50'><path d='M10 10h80v30h-80z'/></svg>", NULL, 10, 90,
         -40, -10, true},
        {SVG "width='4in' height='2in' viewBox='0 0 288 144'><rect x='72' y='36' width='144' "
             "height='72'/></svg>",
         NULL, 25.4, 76.2, -38.1, -12.7, true},
        {SVG "viewBox='0 0 100 50'><path d='M10 10h80v30h-80z'/></svg>", NULL, 10, 90, -40, -10,
         false},
        {SVG "width='100%' viewBox='0 0 100 50'><path d='M10 10h80v30h-80z'/></svg>", NULL, 10, 90,
         -40, -10, false},
        {SVG "><path d='M96 0h96v96h-96z'/></svg>", NULL, 25.4, 50.8, -25.4, 0, true},
        {SVG "><rect width='1in' height='72pt'/></svg>", NULL, 0, 25.4, -25.4, 0, true},
        /* Wider than its box: the box sits in the middle, or at either end (8.7). */
        {SVG "width='200mm' height='50mm' viewBox='0 0 100 50'><path d='M0 0h100v50H0z'/></svg>",
         NULL, 50, 150, -50, 0, true},
        {SVG "width='200mm' height='50mm' viewBox='0 0 100 50' preserveAspectRatio='xMinYMid'>"
             "<path d='M0 0h100v50H0z'/></svg>",
         NULL, 0, 100, -50, 0, true},
        {SVG "width='200mm' height='50mm' viewBox='0 0 100 50' preserveAspectRatio='none'>"
             "<path d='M0 0h100v50H0z'/></svg>",
         NULL, 0, 200, -50, 0, true},
        {SVG "width='100mm' height='100mm' viewBox='0 0 100 50' preserveAspectRatio='xMaxYMax "
             "slice'><path d='M0 0h100v50H0z'/></svg>",
         NULL, -100, 100, -100, 0, true},
        {SVG "width='10mm' height='10mm' viewBox='0 0 10 10'><svg x='2' y='3' width='4' height='4' "
             "viewBox='0 0 8 8'><path d='M0 0H8V8z'/></svg></svg>",
         NULL, 2, 6, -7, -3, true},
        {SVG "width='10mm' height='10mm' viewBox='0 0 10 10'><g transform='translate(1 1)'>"
             "<g transform='scale(2)'><path transform='rotate(90)' d='M0-1h2v1z'/></g></g></svg>",
         NULL, 1, 3, -5, -1, true},
        /* Named: a shape, a group, a layer by its label, even when it is not shown. */
        {SVG "width='96'><path id='a' d='M0 0h9v9z'/><path id='b' d='M0 0h96v96z'/></svg>", "b", 0,
         25.4, -25.4, 0, true},
        {SVG "width='96'><path d='M0 0h9v9z'/><g id='g'><path d='M0 0h96'/><path d='M0 0v96'/></g>"
             "</svg>",
         "g", 0, 25.4, -25.4, 0, true},
        {SVG "xmlns:k='urn:of-a-drawing-program' width='96'><path d='M0 0h9v9z'/><g k:label='side'>"
             "<path d='M0 0h96v96z'/></g></svg>",
         "side", 0, 25.4, -25.4, 0, true},
        {SVG "width='96'><path d='M0 0h9v9z'/><g style='display:none'><path id='h' d='M0 "
             "0h96v96z'/></g></svg>",
         "h", 0, 25.4, -25.4, 0, true},
        /* What is not shown, is kept for later, or belongs to a drawing program. */
        {SVG "width='96'><defs><path d='M0 0h9'/></defs><clipPath><rect width='9' height='9'/>"
             "</clipPath><g display='none'><path d='M0 0h999'/></g><path style=' fill:red; "
             "visibility : hidden' d='M0 0h99'/><metadata><rect width='9' height='9'/></metadata>"
             "<x:path xmlns:x='urn:x' d='M0 0h1'/><path d='M0 0h96v96z'/><path d=''/></svg>",
         NULL, 0, 25.4, -25.4, 0, true},
        {"<?xml version='1.0' standalone='no'?><!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' "
         "'http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd'><svg "
         "width='96'><path d='M0 0h96v96z'/></svg>",
         NULL, 0, 25.4, -25.4, 0, true},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyDrawing drawing;
        BlyError err = {0};
        if (!bly_svg_read(rows[i].text, strlen(rows[i].text), rows[i].id, &drawing, &err))
            fail_msg("row %zu: %s: %s", i, err.where, err.text);
        BlyExtent box = bly_trace_extent(&drawing.trace);
        double off = fabs(box.x_low - rows[i].x_low) + fabs(box.x_high - rows[i].x_high) +
                     fabs(box.y_low - rows[i].y_low) + fabs(box.y_high - rows[i].y_high);
        if (!(off < 1e-9) || drawing.sized != rows[i].sized)
            fail_msg("row %zu: %.12g..%.12g, %.12g..%.12g, sized %d", i, box.x_low, box.x_high,
                     box.y_low, box.y_high, drawing.sized);
        bly_drawing_release(&drawing);
    }
}

/* Closed forms: circle, ellipse, a rectangle with round corners (less (4 - pi) r^2), a triangle. */
static void basic_shapes_have_their_area(void **state) {
    static const struct {
        const char *element;
        double area; /* px2 */
    } rows[] = {
        {"<circle cx='5' cy='6' r='4'/>", 16},
        {"<ellipse cx='5' cy='6' rx='4' ry='3'/>", 12},
        {"<rect x='1' y='2' width='9' height='7' rx='2'/>", 0},
        {"<rect x='1' y='2' width='9' height='7' rx='99' ry='3'/>", 0},
        {"<polygon points='0,0 6,0 6,4'/>", 12},
        {"<polyline points='0 0,6 0,6,4,0,0'/>", 12},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[256];
        BlyDrawing drawing;
        BlyError err = {0};
        (void)snprintf(text, sizeof text, SVG ">%s</svg>", rows[i].element);
        if (!bly_svg_read(text, strlen(text), NULL, &drawing, &err))
            fail_msg("%s: %s", err.where, err.text);
        double want = i < 2    ? pi * rows[i].area
                      : i == 2 ? 63 - (4 - pi) * 4
                      : i == 3 ? 63 - (4 - pi) * 4.5 * 3
                               : rows[i].area;
        double px = 25.4 / 96.0;
        assert_close(fabs(trace_area(&drawing.trace)), want * px * px, 0.0, 1e-8);
        bly_drawing_release(&drawing);
    }
}

/* Area that librsvg fills when it draws the text 20 px to the millimetre, mm2, and the box around
 * the px that it touches. (The box that librsvg itself reports is a coarse polygon's.) */
static double drawn_area(const char *text, BlyExtent *box) {
    enum { SIDE = 1200 };
    RsvgHandle *handle = rsvg_handle_new_from_data((const guint8 *)text, strlen(text), NULL);
    assert_non_null(handle);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, SIDE, SIDE);
    cairo_t *cairo = cairo_create(surface);
    const RsvgRectangle page = {0, 0, SIDE, SIDE};
    cairo_set_tolerance(cairo, 0.01);
    assert_true(rsvg_handle_render_document(handle, cairo, &page, NULL));
    cairo_surface_flush(surface);
    const unsigned char *bytes = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    double sum = 0;
    *box = (BlyExtent){HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    for (int y = 0; y < SIDE; y++) {
        for (int x = 0; x < SIDE; x++) {
            sum += bytes[y * stride + x];
            if (bytes[y * stride + x] == 0)
                continue;
            box->x_low = fmin(box->x_low, x / 20.0);
            box->x_high = fmax(box->x_high, (x + 1) / 20.0);
            box->y_low = fmin(box->y_low, -(y + 1) / 20.0);
            box->y_high = fmax(box->y_high, -y / 20.0);
        }
    }
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    g_object_unref(handle);
    return sum / 255 / 400;
}

/* Simple loops (each goes around once, so that filling and Green's theorem mean the same area)
 * with every command, skewed, turned and mirrored. */
static void librsvg_reads_the_same(void **state) {
    static const char *const paths[] = {
        "M10 30C10 20 20 10 30 12S52 18 50 30 40 48 28 46 10 40 10 30Z",
        "m10 30q2-18 18-18t18 10 q6 20-10 22T16 40z",
        "M22 26A14 9 30 0 1 40 30A11 6-20 1 1 22 26Z",
        "M20 24a12 9 30 1120-2 9 12 80 01-18 6z",
        "M10 20H40L50 26V40L44 48H20l-9-8V24Z",
        "M10 30c0-6 4-12 12-14s18 0 24 6c2 8-2 16-10 20s-24 0-26-12",
    };
    static const char *const turns[] = {
        "",
        "rotate(20 30 30)",
        "translate(60 0) scale(-1 1)",
        "skewX(10) scale(.8)",
        "matrix(.7 .2 -.3 .8 14 2) skewY(-5)",
    };
    (void)state;
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        for (size_t k = 0; k < sizeof turns / sizeof turns[0]; k++) {
            char text[512];
            BlyDrawing drawing;
            BlyError err = {0};
            (void)snprintf(text, sizeof text,
                           SVG "width='60mm' height='60mm' viewBox='0 0 60 60'><g "
                               "transform='%s'><path id='it' d='%s'/></g></svg>",
                           turns[k], paths[i]);
            if (!bly_svg_read(text, strlen(text), "it", &drawing, &err))
                fail_msg("%s: %s", err.where, err.text);
            BlyTrace loop = {0};
            assert_true(bly_trace_join(&loop, &drawing.trace, NULL));
            const BlyCubic *first = &loop.cubic[0], *last = &loop.cubic[loop.count - 1];
            assert_true(
                bly_trace_line(&loop, last->x[3], last->y[3], first->x[0], first->y[0], NULL));
            BlyExtent theirs, ours = bly_trace_extent(&drawing.trace);
            double area = drawn_area(text, &theirs);
            assert_close(fabs(trace_area(&loop)), area, 0.0, 1e-3);
            assert_close(ours.x_low, theirs.x_low, 0.06, 0.0);
            assert_close(ours.x_high, theirs.x_high, 0.06, 0.0);
            assert_close(ours.y_low, theirs.y_low, 0.06, 0.0);
            assert_close(ours.y_high, theirs.y_high, 0.06, 0.0);
            bly_trace_release(&loop);
            bly_drawing_release(&drawing);
        }
    }
}

static const struct {
    const char *word;
    BlyCode code;
} codes[] = {{"SYNTAX", BLY_E_SYNTAX},   {"RANGE", BLY_E_RANGE},       {"MISSING", BLY_E_MISSING},
             {"UNKNOWN", BLY_E_UNKNOWN}, {"CONFLICT", BLY_E_CONFLICT}, {"UNIT", BLY_E_UNIT}};

/* Each file of tests/svg/bad is wrong in one place, and bad.csv tells the error that must come. */
static void each_broken_drawing_gets_its_error(void **state) {
    (void)state;
    Table *table = table_read("tests/svg/bad.csv");
    int faults = 0;
    assert_true(table_rows(table) >= 25);
    for (size_t row = 0; row < table_rows(table); row++) {
        const char *name = table_text(table, row, "file"), *id = table_text(table, row, "id");
        const char *word = table_text(table, row, "text"), *where = table_text(table, row, "where");
        char path[128];
        size_t size, c = 0;
        (void)snprintf(path, sizeof path, "tests/svg/bad/%s.svg", name);
        char *text = file_bytes(path, &size);
        while (strcmp(codes[c].word, table_text(table, row, "code")) != 0)
            c++;
        BlyDrawing drawing;
        BlyError err = {0};
        const char *wanted = id[0] != '\0' ? id : NULL;
        if (bly_svg_read(text, size, wanted, &drawing, &err) || err.code != codes[c].code ||
            strcmp(err.where, where) != 0 || strstr(err.text, word) == NULL) {
            print_error("%s: %s, %s, \"%s\"\n", name, bly_code_words(err.code), err.where,
                        err.text);
            faults++;
        }
        bly_drawing_release(&drawing);
        assert_false(bly_svg_read(text, size, wanted, &drawing, NULL));
        bly_drawing_release(&drawing);
        free(text);
    }
    table_free(table);
    assert_int_equal(faults, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes_are_those_of_the_file),
        cmocka_unit_test(basic_shapes_have_their_area),
        cmocka_unit_test(librsvg_reads_the_same),
        cmocka_unit_test(each_broken_drawing_gets_its_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
