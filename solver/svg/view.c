/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lengths, and what an svg element's size and viewBox do: SVG 2, 8.2 to 8.6; CSS Values 3, 6.2
 * (1 in is 96 px, 2.54 cm, 72 pt, 6 pc; 1 Q is a quarter of a millimetre). */
#include "svg/scan.h"
#include "svg/shapes.h"

#include <math.h>
#include <string.h>
#include <strings.h>

static const double mm_per_px = 25.4 / 96.0;

static const struct {
    const char *name;
    double px;
} units[] = {
    {"", 1.0},    {"px", 1.0},         {"mm", 96.0 / 25.4}, {"cm", 96.0 / 2.54},
    {"in", 96.0}, {"pt", 96.0 / 72.0}, {"pc", 96.0 / 6.0},  {"q", 96.0 / 101.6},
};
enum { UNITS = sizeof units / sizeof units[0] };

bool svg_length(const char *text, double *value, bool *percent) {
    Scan scan = {text, text, NULL};
    scan_blanks(&scan);
    double number;
    if (!scan_number_begins(&scan) || !scan_number(&scan, &number))
        return false;
    scan_blanks(&scan); /* not allowed, and written all the same */
    size_t length = strcspn(scan.at, " \t\r\n\f");
    const char *unit = scan.at;
    scan.at += length;
    scan_blanks(&scan);
    if (*scan.at != '\0')
        return false;
    *percent = length == 1 && *unit == '%';
    for (int i = 0; i < UNITS && !*percent; i++) {
        if (strlen(units[i].name) == length && strncasecmp(unit, units[i].name, length) == 0) {
            *value = number * units[i].px;
            return true;
        }
    }
    *value = number;
    return *percent;
}

typedef struct ViewBox {
    double x, y, width, height;
    bool there;
} ViewBox;

static bool read_box(const char *text, ViewBox *out, BlyError *err) {
    double v[4];
    Scan scan = {text, text, err};
    *out = (ViewBox){0};
    if (text == NULL)
        return true;
    scan_blanks(&scan);
    for (int i = 0; i < 4; i++) {
        if (!scan_number(&scan, &v[i]))
            return false;
        (void)scan_comma(&scan);
    }
    if (*scan.at != '\0' || !(v[2] > 0.0) || !(v[3] > 0.0))
        return bly_fail(err, BLY_E_SYNTAX, "viewBox",
                        "\"%.40s\" is not four figures: x y width height", text);
    *out = (ViewBox){v[0], v[1], v[2], v[3], true};
    return true;
}

/* False where the attribute is missing, a share of what is not known, or unreadable. */
static bool size_of(const char *text, double around, double *out) {
    bool percent = false;
    if (text == NULL || !svg_length(text, out, &percent)) {
        *out = around;
        return text == NULL && !isnan(around);
    }
    if (percent)
        *out *= around / 100.0;
    return *out > 0.0;
}

/* No unit but the px, which few drawing programs agree on. */
static bool in_px(const char *text) {
    size_t length = text != NULL ? strlen(text) : 0;
    while (length > 0 && strchr(" \t\r\n\f", text[length - 1]) != NULL)
        length--;
    if (length >= 2 && strncasecmp(text + length - 2, "px", 2) == 0)
        return true;
    return length == 0 || strchr("0123456789.", text[length - 1]) != NULL;
}

/* preserveAspectRatio: "none", or where the box sits when it is scaled evenly. */
static BlyAffine fit_box(const ViewBox *box, double width, double height, const char *aspect) {
    double sx = width / box->width, sy = height / box->height, x = 0.0, y = 0.0;
    if (aspect == NULL)
        aspect = "xMidYMid";
    if (strncmp(aspect, "none", 4) != 0) {
        bool slice = strstr(aspect, "slice") != NULL;
        sx = sy = slice ? fmax(sx, sy) : fmin(sx, sy);
        double across = strstr(aspect, "xMin") != NULL   ? 0.0
                        : strstr(aspect, "xMax") != NULL ? 1.0
                                                         : 0.5;
        double down = strstr(aspect, "YMin") != NULL   ? 0.0
                      : strstr(aspect, "YMax") != NULL ? 1.0
                                                       : 0.5;
        x = across * (width - sx * box->width);
        y = down * (height - sy * box->height);
    }
    return (BlyAffine){sx, 0.0, 0.0, sy, x - sx * box->x, y - sy * box->y};
}

/* The outermost: from px to millimetres with y upward. A width or height alone brings the other by
 * the viewBox; where nothing is said a unit is left as it is. */
static void outermost(const ViewBox *box, double width, double height, const char *aspect,
                      View *out) {
    bool wide = !isnan(width), high = !isnan(height);
    const BlyAffine paper = {mm_per_px, 0.0, 0.0, -mm_per_px, 0.0, 0.0};
    if (!box->there) {
        *out = (View){wide ? width : NAN, high ? height : NAN, paper, true, false};
        return;
    }
    *out = (View){box->width, box->height, {1.0, 0.0, 0.0, -1.0, 0.0, 0.0}, wide || high, false};
    if (!out->sized)
        return;
    double w = wide ? width : height * box->width / box->height;
    double h = high ? height : width * box->height / box->width;
    BlyAffine inside = fit_box(box, w, h, aspect);
    out->inside = bly_affine_after(&paper, &inside);
}

bool svg_view(const char *const *attributes, const View *around, View *out, BlyError *err) {
    ViewBox box;
    const char *aspect = svg_attribute(attributes, "preserveAspectRatio");
    double width, height, x = 0.0, y = 0.0;
    double outer_width = around == NULL ? NAN : around->width,
           outer_height = around == NULL ? NAN : around->height;
    if (!read_box(svg_attribute(attributes, "viewBox"), &box, err))
        return false;
    if (!size_of(svg_attribute(attributes, "width"), outer_width, &width))
        width = NAN;
    if (!size_of(svg_attribute(attributes, "height"), outer_height, &height))
        height = NAN;
    if (around == NULL) {
        outermost(&box, width, height, aspect, out);
        out->in_px =
            in_px(svg_attribute(attributes, "width")) && in_px(svg_attribute(attributes, "height"));
        return true;
    }
    (void)size_of(svg_attribute(attributes, "x"), around->width, &x);
    (void)size_of(svg_attribute(attributes, "y"), around->height, &y);
    if (svg_attribute(attributes, "x") == NULL)
        x = 0.0;
    if (svg_attribute(attributes, "y") == NULL)
        y = 0.0;
    if (box.there && (isnan(width) || isnan(height)))
        return bly_fail(err, BLY_E_MISSING, "width",
                        "an svg element within another one needs a width and a height");
    *out = (View){width, height, {1.0, 0.0, 0.0, 1.0, x, y}, around->sized, around->in_px};
    if (box.there) {
        BlyAffine inside = fit_box(&box, width, height, aspect), shift = out->inside;
        *out = (View){box.width, box.height, bly_affine_after(&shift, &inside), around->sized,
                      around->in_px};
    }
    return true;
}
