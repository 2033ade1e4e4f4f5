/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Path data: SVG 2, 9.3. A small machine that keeps the current point, where the stroke began, and
 * the last handle, which the smooth commands mirror. */
#include "svg/arc.h"
#include "svg/scan.h"
#include "svg/svg.h"

#include <stdio.h>
#include <string.h>

typedef struct Pen {
    Scan scan;
    BlyTrace *out;
    bool relative;
    double x, y;   /* the current point */
    double x0, y0; /* where the stroke began */
    double handle_x, handle_y;
    char before; /* the command before, in upper case: whose handle it is */
} Pen;

static bool read_numbers(Pen *pen, double *to, int count) {
    for (int i = 0; i < count; i++) {
        if (i > 0)
            (void)scan_comma(&pen->scan);
        if (!scan_number(&pen->scan, &to[i]))
            return false;
    }
    return true;
}

/* `count` points, as many x and y; relative ones all count from the current point. */
static bool read_points(Pen *pen, double *to, int count) {
    if (!read_numbers(pen, to, 2 * count))
        return false;
    for (int i = 0; i < count && pen->relative; i++) {
        to[2 * i] += pen->x;
        to[2 * i + 1] += pen->y;
    }
    return true;
}

static bool go_to(Pen *pen, double x, double y) {
    double from_x = pen->x, from_y = pen->y;
    pen->x = x;
    pen->y = y;
    return (x == from_x && y == from_y) ||
           bly_trace_line(pen->out, from_x, from_y, x, y, pen->scan.err);
}

static bool curve(Pen *pen, double ax, double ay, double bx, double by, double x, double y) {
    const BlyCubic piece = {{pen->x, ax, bx, x}, {pen->y, ay, by, y}};
    pen->x = x;
    pen->y = y;
    return bly_trace_add(pen->out, &piece, pen->scan.err);
}

/* A quadratic is the cubic whose handles lie two thirds of the way to its own. */
static bool quadratic(Pen *pen, double hx, double hy, double x, double y) {
    pen->handle_x = hx;
    pen->handle_y = hy;
    return curve(pen, pen->x + 2.0 / 3.0 * (hx - pen->x), pen->y + 2.0 / 3.0 * (hy - pen->y),
                 x + 2.0 / 3.0 * (hx - x), y + 2.0 / 3.0 * (hy - y), x, y);
}

/* The mirrored handle of the curve before, or the point itself behind any other command. */
static void mirror(const Pen *pen, const char *kinds, double *x, double *y) {
    bool has = pen->before != '\0' && strchr(kinds, pen->before) != NULL;
    *x = has ? 2.0 * pen->x - pen->handle_x : pen->x;
    *y = has ? 2.0 * pen->y - pen->handle_y : pen->y;
}

static bool draw_move(Pen *pen) {
    double p[2];
    if (!read_points(pen, p, 1))
        return false;
    pen->x = pen->x0 = p[0];
    pen->y = pen->y0 = p[1];
    return true;
}

static bool draw_line(Pen *pen) {
    double p[2];
    return read_points(pen, p, 1) && go_to(pen, p[0], p[1]);
}

static bool draw_across(Pen *pen) {
    double x;
    return read_numbers(pen, &x, 1) && go_to(pen, pen->relative ? pen->x + x : x, pen->y);
}

static bool draw_down(Pen *pen) {
    double y;
    return read_numbers(pen, &y, 1) && go_to(pen, pen->x, pen->relative ? pen->y + y : y);
}

static bool draw_cubic(Pen *pen) {
    double p[6];
    if (!read_points(pen, p, 3))
        return false;
    pen->handle_x = p[2];
    pen->handle_y = p[3];
    return curve(pen, p[0], p[1], p[2], p[3], p[4], p[5]);
}

static bool draw_smooth_cubic(Pen *pen) {
    double p[4], x, y;
    mirror(pen, "CS", &x, &y);
    if (!read_points(pen, p, 2))
        return false;
    pen->handle_x = p[0];
    pen->handle_y = p[1];
    return curve(pen, x, y, p[0], p[1], p[2], p[3]);
}

static bool draw_quadratic(Pen *pen) {
    double p[4];
    return read_points(pen, p, 2) && quadratic(pen, p[0], p[1], p[2], p[3]);
}

static bool draw_smooth_quadratic(Pen *pen) {
    double p[2], x, y;
    mirror(pen, "QT", &x, &y);
    return read_points(pen, p, 1) && quadratic(pen, x, y, p[0], p[1]);
}

static bool draw_arc(Pen *pen) {
    double radii[3], p[2];
    Arc arc = {.x0 = pen->x, .y0 = pen->y};
    if (!read_numbers(pen, radii, 3))
        return false;
    (void)scan_comma(&pen->scan);
    if (!scan_flag(&pen->scan, &arc.large))
        return false;
    (void)scan_comma(&pen->scan);
    if (!scan_flag(&pen->scan, &arc.sweep))
        return false;
    (void)scan_comma(&pen->scan);
    if (!read_points(pen, p, 1))
        return false;
    arc.rx = radii[0];
    arc.ry = radii[1];
    arc.rotation_deg = radii[2];
    arc.x1 = pen->x = p[0];
    arc.y1 = pen->y = p[1];
    return arc_add(&arc, pen->out, pen->scan.err);
}

static const struct {
    char letter;
    bool (*draw)(Pen *pen);
} commands[] = {
    {'M', draw_move},      {'L', draw_line},
    {'H', draw_across},    {'V', draw_down},
    {'C', draw_cubic},     {'S', draw_smooth_cubic},
    {'Q', draw_quadratic}, {'T', draw_smooth_quadratic},
    {'A', draw_arc},
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static bool (*find_command(char letter))(Pen *pen) {
    for (int i = 0; i < COMMANDS; i++) {
        if (commands[i].letter == letter)
            return commands[i].draw;
    }
    return NULL;
}

/* Numbers may follow one letter again and again; after a move they are lines. */
static bool run(Pen *pen, char letter, bool (*draw)(Pen *pen)) {
    for (;;) {
        if (!draw(pen))
            return false;
        pen->before = letter;
        bool comma = scan_comma(&pen->scan);
        if (!scan_number_begins(&pen->scan))
            return !comma || scan_refuse(&pen->scan, BLY_E_SYNTAX, "a number behind the comma");
        if (letter == 'M') {
            letter = 'L';
            draw = draw_line;
        }
    }
}

/* A fault of the trace, too many curves, has no place of its own. */
static bool fail_here(const Pen *pen) {
    BlyError *err = pen->scan.err;
    if (err != NULL && err->where[0] == '\0')
        (void)snprintf(err->where, sizeof err->where, "offset %td", pen->scan.at - pen->scan.text);
    return false;
}

static bool close_stroke(Pen *pen) {
    pen->before = 'Z';
    return go_to(pen, pen->x0, pen->y0);
}

bool bly_path_read(const char *data, BlyTrace *out, BlyError *err) {
    Pen pen = {.scan = {data, data, err}, .out = out};
    scan_blanks(&pen.scan);
    if (strcmp(pen.scan.at, "none") == 0)
        return true;
    while (*pen.scan.at != '\0') {
        char letter = *pen.scan.at, upper = letter >= 'a' ? (char)(letter - 'a' + 'A') : letter;
        bool (*draw)(Pen *) = find_command(upper);
        if (pen.before == '\0' && upper != 'M')
            return scan_refuse(&pen.scan, BLY_E_SYNTAX, "M or m, a move,");
        if (draw == NULL && upper != 'Z')
            return scan_refuse(&pen.scan, BLY_E_SYNTAX, "one of MLHVCSQTAZ");
        pen.scan.at++;
        pen.relative = letter != upper;
        scan_blanks(&pen.scan);
        if (upper == 'Z' ? !close_stroke(&pen) : !run(&pen, upper, draw))
            return fail_here(&pen);
        scan_blanks(&pen.scan);
    }
    return true;
}
