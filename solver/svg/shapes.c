/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paths and basic shapes: SVG 2, chapters 9 and 10. */
#include "svg/arc.h"
#include "svg/scan.h"
#include "svg/shapes.h"

#include <math.h>
#include <string.h>

const char *svg_attribute(const char *const *attributes, const char *name) {
    for (; *attributes != NULL; attributes += 2) {
        if (strcmp(attributes[0], name) == 0)
            return attributes[1];
    }
    return NULL;
}

/* A length that is 0 where it is not said. */
static bool length_of(const char *const *attributes, const char *name, double *out, BlyError *err) {
    const char *text = svg_attribute(attributes, name);
    bool percent = false;
    *out = 0.0;
    if (text == NULL)
        return true;
    if (!svg_length(text, out, &percent) || percent)
        return bly_fail(err, BLY_E_SYNTAX, name,
                        "\"%.20s\" is not a length; expected 12, 12mm or 1in", text);
    return true;
}

static bool lengths_of(const char *const *attributes, const char *const *names, double *out,
                       BlyError *err) {
    for (int i = 0; names[i] != NULL; i++) {
        if (!length_of(attributes, names[i], &out[i], err))
            return false;
    }
    return true;
}

static bool draw_path(const char *const *attributes, BlyTrace *out, BlyError *err) {
    const char *data = svg_attribute(attributes, "d");
    return data == NULL || bly_path_read(data, out, err);
}

static bool draw_circle(const char *const *attributes, BlyTrace *out, BlyError *err) {
    static const char *const names[] = {"cx", "cy", "r", NULL};
    double v[3];
    return lengths_of(attributes, names, v, err) &&
           (!(v[2] > 0.0) || ellipse_add(v[0], v[1], v[2], v[2], out, err));
}

static bool draw_ellipse(const char *const *attributes, BlyTrace *out, BlyError *err) {
    static const char *const names[] = {"cx", "cy", "rx", "ry", NULL};
    double v[4];
    return lengths_of(attributes, names, v, err) &&
           (!(v[2] > 0.0 && v[3] > 0.0) || ellipse_add(v[0], v[1], v[2], v[3], out, err));
}

static bool draw_line(const char *const *attributes, BlyTrace *out, BlyError *err) {
    static const char *const names[] = {"x1", "y1", "x2", "y2", NULL};
    double v[4];
    return lengths_of(attributes, names, v, err) &&
           bly_trace_line(out, v[0], v[1], v[2], v[3], err);
}

/* One quarter of a rounded corner, or a plain one. */
static bool corner(double x0, double y0, double x1, double y1, double rx, double ry, BlyTrace *out,
                   BlyError *err) {
    const Arc arc = {x0, y0, rx, ry, 0.0, false, true, x1, y1};
    return arc_add(&arc, out, err);
}

static bool side(double x0, double y0, double x1, double y1, BlyTrace *out, BlyError *err) {
    return (x0 == x1 && y0 == y1) || bly_trace_line(out, x0, y0, x1, y1, err);
}

static bool draw_rect(const char *const *attributes, BlyTrace *out, BlyError *err) {
    static const char *const names[] = {"x", "y", "width", "height", "rx", "ry", NULL};
    double v[6];
    if (!lengths_of(attributes, names, v, err))
        return false;
    double x = v[0], y = v[1], w = v[2], h = v[3];
    if (!(w > 0.0 && h > 0.0))
        return true;
    /* A radius that is not said is as the other one; none is more than half a side (10.2). */
    double rx = v[4] > 0.0 ? v[4] : v[5], ry = v[5] > 0.0 ? v[5] : v[4];
    rx = fmin(rx, w / 2.0);
    ry = fmin(ry, h / 2.0);
    return side(x + rx, y, x + w - rx, y, out, err) &&
           corner(x + w - rx, y, x + w, y + ry, rx, ry, out, err) &&
           side(x + w, y + ry, x + w, y + h - ry, out, err) &&
           corner(x + w, y + h - ry, x + w - rx, y + h, rx, ry, out, err) &&
           side(x + w - rx, y + h, x + rx, y + h, out, err) &&
           corner(x + rx, y + h, x, y + h - ry, rx, ry, out, err) &&
           side(x, y + h - ry, x, y + ry, out, err) &&
           corner(x, y + ry, x + rx, y, rx, ry, out, err);
}

static bool draw_points(const char *const *attributes, bool close, BlyTrace *out, BlyError *err) {
    const char *text = svg_attribute(attributes, "points");
    if (text == NULL)
        return true;
    Scan scan = {text, text, err};
    double first[2] = {0.0}, last[2] = {0.0}, next[2];
    size_t count = 0;
    scan_blanks(&scan);
    for (; *scan.at != '\0'; count++) {
        if (!scan_number(&scan, &next[0]))
            return false;
        (void)scan_comma(&scan);
        if (!scan_number(&scan, &next[1]))
            return false;
        (void)scan_comma(&scan);
        if (count == 0)
            memcpy(first, next, sizeof first);
        else if (!side(last[0], last[1], next[0], next[1], out, err))
            return false;
        memcpy(last, next, sizeof last);
    }
    return !close || side(last[0], last[1], first[0], first[1], out, err);
}

static bool draw_polyline(const char *const *attributes, BlyTrace *out, BlyError *err) {
    return draw_points(attributes, false, out, err);
}

static bool draw_polygon(const char *const *attributes, BlyTrace *out, BlyError *err) {
    return draw_points(attributes, true, out, err);
}

static const struct {
    const char *element;
    bool (*draw)(const char *const *attributes, BlyTrace *out, BlyError *err);
} shapes[] = {
    {"path", draw_path},       {"circle", draw_circle}, {"ellipse", draw_ellipse},
    {"rect", draw_rect},       {"line", draw_line},     {"polyline", draw_polyline},
    {"polygon", draw_polygon},
};
enum { SHAPES = sizeof shapes / sizeof shapes[0] };

static int find_shape(const char *element) {
    for (int i = 0; i < SHAPES; i++) {
        if (strcmp(shapes[i].element, element) == 0)
            return i;
    }
    return -1;
}

bool svg_draws(const char *element) {
    return find_shape(element) >= 0;
}

bool svg_shape(const char *element, const char *const *attributes, BlyTrace *out, BlyError *err) {
    return shapes[find_shape(element)].draw(attributes, out, err);
}
