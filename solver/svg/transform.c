/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The transform attribute: SVG 2, 8.5, and CSS Transforms 1. */
#include "svg/scan.h"
#include "svg/svg.h"

#include <gsl/gsl_math.h>
#include <string.h>

static double degrees(double angle) {
    return angle * M_PI / 180.0;
}

static BlyAffine make_matrix(const double *v, int count) {
    (void)count;
    return (BlyAffine){v[0], v[1], v[2], v[3], v[4], v[5]};
}

static BlyAffine make_translate(const double *v, int count) {
    return (BlyAffine){1.0, 0.0, 0.0, 1.0, v[0], count > 1 ? v[1] : 0.0};
}

static BlyAffine make_scale(const double *v, int count) {
    return (BlyAffine){v[0], 0.0, 0.0, count > 1 ? v[1] : v[0], 0.0, 0.0};
}

/* About the origin, or about a point. */
static BlyAffine make_rotate(const double *v, int count) {
    double c = cos(degrees(v[0])), s = sin(degrees(v[0]));
    double x = count > 1 ? v[1] : 0.0, y = count > 1 ? v[2] : 0.0;
    return (BlyAffine){c, s, -s, c, x - c * x + s * y, y - s * x - c * y};
}

static BlyAffine make_skew_x(const double *v, int count) {
    (void)count;
    return (BlyAffine){1.0, 0.0, tan(degrees(v[0])), 1.0, 0.0, 0.0};
}

static BlyAffine make_skew_y(const double *v, int count) {
    (void)count;
    return (BlyAffine){1.0, tan(degrees(v[0])), 0.0, 1.0, 0.0, 0.0};
}

static const struct {
    const char *name;
    unsigned counts; /* bit n: n numbers are allowed */
    BlyAffine (*make)(const double *v, int count);
} kinds[] = {
    {"matrix", 1u << 6, make_matrix},         {"translate", 1u << 1 | 1u << 2, make_translate},
    {"scale", 1u << 1 | 1u << 2, make_scale}, {"rotate", 1u << 1 | 1u << 3, make_rotate},
    {"skewX", 1u << 1, make_skew_x},          {"skewY", 1u << 1, make_skew_y},
};
enum { KINDS = sizeof kinds / sizeof kinds[0], NUMBERS_MOST = 6 };

static bool read_arguments(Scan *scan, double *v, int *count) {
    for (*count = 0; *count < NUMBERS_MOST;) {
        if (!scan_number(scan, &v[*count]))
            return false;
        (*count)++;
        bool comma = scan_comma(scan);
        if (*scan->at == ')' && !comma)
            break;
    }
    return *scan->at == ')' || scan_refuse(scan, BLY_E_SYNTAX, "a closing bracket");
}

static bool read_one(Scan *scan, BlyAffine *out) {
    size_t length = strcspn(scan->at, " \t\r\n\f(");
    for (int i = 0; i < KINDS; i++) {
        double v[NUMBERS_MOST];
        int count;
        const char *begin = scan->at;
        if (strlen(kinds[i].name) != length || strncmp(scan->at, kinds[i].name, length) != 0)
            continue;
        scan->at += length;
        scan_blanks(scan);
        if (*scan->at != '(')
            return scan_refuse(scan, BLY_E_SYNTAX, "an opening bracket");
        scan->at++;
        scan_blanks(scan);
        if (!read_arguments(scan, v, &count))
            return false;
        if ((kinds[i].counts >> count & 1u) == 0) {
            scan->at = begin;
            return scan_refuse(scan, BLY_E_SYNTAX, "another count of numbers");
        }
        scan->at++;
        *out = kinds[i].make(v, count);
        return true;
    }
    return scan_refuse(scan, BLY_E_SYNTAX, "matrix, translate, scale, rotate, skewX or skewY");
}

bool transform_read(const char *text, BlyAffine *out, BlyError *err) {
    Scan scan = {text, text, err};
    *out = (BlyAffine){1.0, 0.0, 0.0, 1.0, 0.0, 0.0};
    scan_blanks(&scan);
    if (strcmp(scan.at, "none") == 0)
        return true;
    while (*scan.at != '\0') {
        BlyAffine next;
        if (!read_one(&scan, &next))
            return false;
        *out = bly_affine_after(out, &next);
        (void)scan_comma(&scan);
    }
    return true;
}
