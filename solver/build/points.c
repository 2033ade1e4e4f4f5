/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An outline as a table of points. Three ways: the points of a closed line one after the other
 * ("x", "y"), an upper and a lower edge ("x", "upper", "lower"), or a span about a straight middle
 * ("x", "width"). The smooth curve through them is the outline room's. docs/format.md. */
#include "ballastry/loft.h"
#include "build/columns.h"
#include "build/drawing.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum Heading { X, Y, UPPER, LOWER, SPAN, HALF } Heading;

static const ColumnWord words[] = {
    {"x", X},         {"position", X},      {"from nose", X},  {"from the nose", X},
    {"distance", X},  {"across", X},        {"y", Y},          {"z", Y},
    {"up", Y},        {"upper", UPPER},     {"top", UPPER},    {"back", UPPER},
    {"left", UPPER},  {"lower", LOWER},     {"bottom", LOWER}, {"belly", LOWER},
    {"right", LOWER}, {"width", SPAN},      {"breadth", SPAN}, {"diameter", SPAN},
    {"height", SPAN}, {"half width", HALF}, {"radius", HALF},  {"half height", HALF},
};

enum { POINTS_MOST = 20000 /* of a line around */ };

typedef struct Points {
    Columns columns;
    double *x, *a, *b; /* b: the lower edge */
    size_t *line;
    size_t count, room;
} Points;

static bool check_columns(const Points *points, BlyError *err) {
    const Columns *c = &points->columns;
    int ways = (columns_has(c, Y) ? 1 : 0) +
               (columns_has(c, UPPER) || columns_has(c, LOWER) ? 1 : 0) +
               (columns_has(c, SPAN) ? 1 : 0) + (columns_has(c, HALF) ? 1 : 0);
    bool placed = columns_has(c, X) != (c->every > 0.0);
    if (!placed)
        return columns_refuse(c, -1, BLY_E_MISSING,
                              "expected a column \"x\" (or \"position\"), or one that says "
                              "\"every\"",
                              err);
    if (ways != 1 || columns_has(c, UPPER) != columns_has(c, LOWER))
        return columns_refuse(c, -1, BLY_E_MISSING,
                              "expected \"y\", or \"upper\" and \"lower\", or \"width\", or "
                              "\"half width\", beside the place",
                              err);
    return true;
}

static bool make_room(Points *points, BlyError *err) {
    if (points->count < points->room)
        return true;
    size_t room = points->room == 0 ? 64 : 2 * points->room;
    double **lists[] = {&points->x, &points->a, &points->b};
    for (int i = 0; i < 3; i++) {
        double *more = realloc(*lists[i], room * sizeof *more);
        if (more == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's points");
        *lists[i] = more;
    }
    size_t *lines = realloc(points->line, room * sizeof *lines);
    if (lines == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's points");
    points->line = lines;
    points->room = room;
    return true;
}

static bool read_row(Points *points, const CsvRow *row, BlyError *err) {
    const Columns *c = &points->columns;
    size_t most = columns_has(c, Y) ? POINTS_MOST : BLY_STATIONS_MOST;
    if (points->count == most)
        return csv_fail(err, BLY_E_RANGE, row, 0, "expected at most %zu points", most);
    if (!make_room(points, err))
        return false;
    size_t i = points->count;
    double x = c->every * (double)i, y = 0.0, upper = 0.0, lower = 0.0, span = 0.0, half = 0.0;
    if (!columns_cell(c, row, X, &bly_any_length, false, &x, err) ||
        !columns_cell(c, row, Y, &bly_any_length, false, &y, err) ||
        !columns_cell(c, row, UPPER, &bly_any_length, false, &upper, err) ||
        !columns_cell(c, row, LOWER, &bly_any_length, false, &lower, err) ||
        !columns_cell(c, row, SPAN, &bly_some_length, false, &span, err) ||
        !columns_cell(c, row, HALF, &bly_some_length, false, &half, err))
        return false;
    bool line = columns_has(c, Y);
    if (!line && i > 0 && !(x > points->x[i - 1]))
        return csv_fail(err, BLY_E_RANGE, row, 0, "expected a place behind the one before");
    if (upper < lower)
        return csv_fail(err, BLY_E_RANGE, row, 0, "expected the upper edge above the lower one");
    points->x[i] = x;
    points->a[i] = line ? y : upper + span / 2.0 + half;
    points->b[i] = lower - span / 2.0 - half;
    points->line[i] = row->line;
    points->count++;
    return true;
}

/* The loft's edges as one line around: the lower one forward to the nose, the upper one aft. */
static bool walk_around(const Points *points, const BlyBody *body, BlyTrace *out, BlyError *err) {
    enum { STEPS = 24 };
    size_t half = STEPS * (points->count - 1) + 1, n = 0;
    double *x = calloc(4 * half, sizeof *x);
    if (x == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's edges");
    double *y = x + 2 * half;
    for (size_t i = 0; i < 2 * half; i++) {
        size_t at = i < half ? half - 1 - i : i - half, k = at / STEPS;
        double part = 0.5 - 0.5 * cos(M_PI * (double)(at % STEPS) / STEPS);
        double next = k + 1 < points->count ? points->x[k + 1] : points->x[k];
        BlySection section;
        x[n] = points->x[k] + part * (next - points->x[k]);
        if (bly_body_section(body, x[n], &section))
            y[n++] = i < half ? section.belly : section.back;
    }
    bool good = bly_trace_points(out, x, y, n, true, err);
    free(x);
    return good;
}

/* Two edges mean what a caliper list means: between the places the squares of the span and the
 * middle follow the loft's own curve, which keeps round ends round. */
static bool add_edges(const Points *points, BlyTrace *out, BlyError *err) {
    BlyStation *stations = calloc(points->count, sizeof *stations);
    if (stations == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's edges");
    for (size_t i = 0; i < points->count; i++) {
        double span = points->a[i] - points->b[i];
        stations[i] = (BlyStation){.x = points->x[i],
                                   .width = span,
                                   .height = span,
                                   .centre = 0.5 * (points->a[i] + points->b[i]),
                                   .exponent = 2.0};
    }
    BlyBody *body = NULL;
    bool good = bly_body_from_stations(stations, points->count, &body, err);
    free(stations);
    good = good && walk_around(points, body, out, err);
    bly_body_free(body);
    return good;
}

/* A line whose ends lie apart by more than twice its longest step was left open on purpose. */
static bool comes_back(const Points *points) {
    double longest = 0.0;
    size_t last = points->count - 1;
    for (size_t i = 0; i < last; i++)
        longest =
            fmax(longest, hypot(points->x[i + 1] - points->x[i], points->a[i + 1] - points->a[i]));
    return hypot(points->x[last] - points->x[0], points->a[last] - points->a[0]) <= 2.0 * longest;
}

/* The loft room speaks of "/stations/2/x": the line of that row. */
static bool name_line(const Points *points, BlyError *err) {
    static const char prefix[] = "/stations/";
    size_t length = sizeof prefix - 1;
    size_t index = strncmp(err->where, prefix, length) == 0 ? strtoul(err->where + length, NULL, 10)
                                                            : points->count;
    err->where[0] = '\0';
    if (index < points->count)
        (void)snprintf(err->where, sizeof err->where, "line %zu", points->line[index]);
    return false;
}

static bool read_points(Points *points, const char *text, size_t size, BlyTrace *out,
                        BlyError *err) {
    points->columns.words = words;
    points->columns.word_count = sizeof words / sizeof words[0];
    points->columns.expected = "x and y, or x, upper and lower, or x and width";
    if (!columns_open(&points->columns, text, size, err) || !check_columns(points, err))
        return false;
    CsvRow row;
    for (;;) {
        if (!columns_next(&points->columns, &row, err))
            return false;
        if (row.count == 0)
            break;
        if (!read_row(points, &row, err))
            return false;
    }
    if (points->count < 2)
        return bly_fail(err, BLY_E_RANGE, NULL, "expected at least 2 points; there are %zu",
                        points->count);
    if (!columns_has(&points->columns, Y))
        return add_edges(points, out, err) || name_line(points, err);
    return bly_trace_points(out, points->x, points->a, points->count, comes_back(points), err);
}

bool build_read_points(const char *text, size_t size, BlyTrace *out, BlyError *err) {
    Points *points = calloc(1, sizeof *points);
    if (points == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's points");
    bool good = read_points(points, text, size, out, err);
    columns_release(&points->columns);
    free(points->x);
    free(points->a);
    free(points->b);
    free(points->line);
    free(points);
    return good;
}
