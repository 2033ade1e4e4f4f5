/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lower and upper edge of an outline as functions of x. Each cubic is parted where it turns
 * back in x; then every piece crosses a given x at most once, and the crossing is a root. */
#include "outline/cubic.h"
#include "numeric/numeric.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct Piece {
    const BlyCubic *cubic;
    double from, to; /* t */
    double x_low, x_high;
} Piece;

struct BlyEdges {
    BlyTrace trace;
    bool one_loop;
    Piece *piece; /* by x_low */
    size_t count;
    BlyExtent extent;
    double face[2][2]; /* low and high at the first and at the last x */
    double crossing;   /* where the outline crosses itself; NAN */
};

static const double size_most = 2.0;  /* m, as of stations */
static const double face_part = 1e-5; /* of the length: what is steeper counts as a flat face */
static const double fold_most = 0.01; /* of the area */
enum { SAMPLES = 256, PANELS = 64 };

static int by_x(const void *a, const void *b) {
    const Piece *p = a, *q = b;
    if (p->x_low != q->x_low)
        return p->x_low < q->x_low ? -1 : 1;
    if (p->cubic != q->cubic)
        return p->cubic < q->cubic ? -1 : 1;
    return (p->from > q->from) - (p->from < q->from); /* both sides of a turn begin at one x */
}

static void part_cubic(BlyEdges *edges, const BlyCubic *cubic) {
    double at[4] = {0.0};
    int turns = cubic_turns(cubic->x, at + 1);
    at[turns + 1] = 1.0;
    for (int i = 0; i <= turns; i++) {
        double a = cubic_at(cubic->x, at[i]), b = cubic_at(cubic->x, at[i + 1]);
        edges->piece[edges->count++] = (Piece){cubic, at[i], at[i + 1], fmin(a, b), fmax(a, b)};
    }
}

typedef struct Wanted {
    const Piece *piece;
    double x;
} Wanted;

static double miss_at(double t, void *user) {
    const Wanted *wanted = user;
    return cubic_at(wanted->piece->cubic->x, t) - wanted->x;
}

static double crossing(const Piece *piece, double x) {
    Wanted wanted = {piece, x};
    return cubic_at(piece->cubic->y, bly_root(miss_at, &wanted, piece->from, piece->to));
}

static void outermost(const BlyEdges *edges, double x, double *low, double *high) {
    *low = HUGE_VAL;
    *high = -HUGE_VAL;
    for (size_t i = 0; i < edges->count && edges->piece[i].x_low <= x; i++) {
        const Piece *piece = &edges->piece[i];
        if (piece->x_high < x)
            continue;
        double y = crossing(piece, x);
        *low = fmin(*low, y);
        *high = fmax(*high, y);
    }
}

/* What lies within a hair of an end: pieces as steep as a cut face count whole. */
static void find_face(BlyEdges *edges, int which) {
    double end = which == 0 ? edges->extent.x_low : edges->extent.x_high;
    double hair = face_part * (edges->extent.x_high - edges->extent.x_low);
    double *low = &edges->face[which][0], *high = &edges->face[which][1];
    outermost(edges, end, low, high);
    for (size_t i = 0; i < edges->count; i++) {
        const Piece *piece = &edges->piece[i];
        if (fmax(fabs(piece->x_low - end), fabs(piece->x_high - end)) > hair)
            continue;
        double a = cubic_at(piece->cubic->y, piece->from), b = cubic_at(piece->cubic->y, piece->to);
        *low = fmin(*low, fmin(a, b));
        *high = fmax(*high, fmax(a, b));
    }
}

void bly_edges_at(const BlyEdges *edges, double x, double *low, double *high) {
    if (x <= edges->extent.x_low || x >= edges->extent.x_high) {
        const double *face = edges->face[x > edges->extent.x_low];
        *low = face[0];
        *high = face[1];
        return;
    }
    outermost(edges, x, low, high);
}

double bly_edges_crossing(const BlyEdges *edges) {
    return edges->crossing - edges->extent.x_low;
}

BlyExtent bly_edges_extent(const BlyEdges *edges) {
    return edges->extent;
}

static int by_value(const void *a, const void *b) {
    double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

/* Length of the line x that lies inside a closed stroke, every second gap between crossings. Each
 * piece holds its lower end but not its upper one, so that a joint counts once. */
static double inside(const BlyEdges *edges, double x, double *room) {
    size_t count = 0;
    double sum = 0.0;
    for (size_t i = 0; i < edges->count && edges->piece[i].x_low <= x; i++) {
        if (x < edges->piece[i].x_high)
            room[count++] = crossing(&edges->piece[i], x);
    }
    qsort(room, count, sizeof *room, by_value);
    for (size_t i = 0; i + 1 < count; i += 2)
        sum += room[i + 1] - room[i];
    return sum;
}

static double sample_x(const BlyExtent *extent, int i) {
    return extent->x_low + (extent->x_high - extent->x_low) * (i + 0.5) / SAMPLES;
}

/* Where a stroke folds back it has gaps between its outermost crossings. */
static bool check_folds(const BlyEdges *edges, const char *where, BlyError *err) {
    double *room = calloc(edges->count, sizeof *room);
    if (room == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's crossings");
    double gaps = 0.0, area = 0.0, worst = 0.0, worst_x = 0.0;
    for (int i = 0; i < SAMPLES; i++) {
        double low, high, x = sample_x(&edges->extent, i);
        outermost(edges, x, &low, &high);
        double gap = high - low - inside(edges, x, room);
        gaps += gap;
        area += high - low;
        if (gap > worst)
            worst = gap, worst_x = x;
    }
    free(room);
    return gaps <= fold_most * area ||
           bly_fail(err, BLY_E_RANGE, where,
                    "the outline turns back on itself %.4g mm behind its nose; expected a belly "
                    "and a back line: leave forks, fins and eyes off, or name the path that is "
                    "meant",
                    1e3 * (worst_x - edges->extent.x_low));
}

/* Below the lowest edge of a loop that never meets itself all is outside, above it all is inside:
 * it is drawn the same way everywhere. Where the way changes, belly and back have changed sides. */
static void find_crossing(BlyEdges *edges) {
    int way = 0;
    double x_before = edges->extent.x_low;
    for (int i = 0; i < SAMPLES; i++) {
        double x = sample_x(&edges->extent, i), lowest = HUGE_VAL;
        int here = 0;
        for (size_t p = 0; p < edges->count && edges->piece[p].x_low <= x; p++) {
            const Piece *piece = &edges->piece[p];
            double y = x < piece->x_high ? crossing(piece, x) : HUGE_VAL;
            if (y >= lowest)
                continue;
            lowest = y;
            here = cubic_at(piece->cubic->x, piece->from) < cubic_at(piece->cubic->x, piece->to)
                       ? 1
                       : -1;
        }
        if (way * here < 0) {
            edges->crossing = 0.5 * (x_before + x);
            return;
        }
        way = here != 0 ? here : way;
        x_before = x;
    }
}

/* Two strokes may lie one behind the other with a gap that no sample meets; by_x tells it. */
static bool check_gaps(const BlyEdges *edges, const char *where, BlyError *err) {
    double reach = edges->piece[0].x_high;
    double hair = 1e-12 * (edges->extent.x_high - edges->extent.x_low);
    for (size_t i = 1; i < edges->count; i++) {
        if (edges->piece[i].x_low > reach + hair)
            return bly_fail(err, BLY_E_RANGE, where,
                            "nothing is drawn from %.4g mm to %.4g mm behind the nose; expected "
                            "one outline from nose to tail",
                            1e3 * (reach - edges->extent.x_low),
                            1e3 * (edges->piece[i].x_low - edges->extent.x_low));
        reach = fmax(reach, edges->piece[i].x_high);
    }
    return true;
}

static bool check_open(const BlyEdges *edges, const char *where, BlyError *err) {
    double thin = 1e-7 * (edges->extent.y_high - edges->extent.y_low);
    for (int i = 0; i < SAMPLES; i++) {
        double low, high, x = sample_x(&edges->extent, i);
        outermost(edges, x, &low, &high);
        if (!(high - low > thin))
            return bly_fail(err, BLY_E_RANGE, where,
                            "there is only one edge %.4g mm behind the nose; expected an upper and "
                            "a lower one",
                            1e3 * (x - edges->extent.x_low));
    }
    return true;
}

static bool check_extent(const BlyTrace *trace, const char *where, BlyError *err) {
    if (trace->count == 0)
        return bly_fail(err, BLY_E_RANGE, where, "nothing is drawn");
    for (size_t i = 0; i < trace->count; i++) {
        for (int k = 0; k < 4; k++) {
            if (!(fabs(trace->cubic[i].x[k]) < 1e3 && fabs(trace->cubic[i].y[k]) < 1e3))
                return bly_fail(err, BLY_E_RANGE, where, "reaches beyond 1000 m; wrong unit?");
        }
    }
    BlyExtent all = bly_trace_extent(trace);
    double length = all.x_high - all.x_low, height = all.y_high - all.y_low;
    if (length > size_most || height > size_most)
        return bly_fail(err, BLY_E_RANGE, where,
                        "is %.4g x %.4g mm; expected at most %g mm: wrong unit?", 1e3 * length,
                        1e3 * height, 1e3 * size_most);
    if (length < 1e-4 || height < 1e-5)
        return bly_fail(err, BLY_E_RANGE, where,
                        "is %.4g x %.4g mm; expected an outline with a length and a height",
                        1e3 * length, 1e3 * height);
    return true;
}

static bool gather(BlyEdges *edges, const BlyTrace *trace, BlyError *err) {
    if (!bly_trace_join(&edges->trace, trace, err))
        return false;
    if (!trace_chain(&edges->trace, &edges->one_loop, err))
        return false;
    edges->piece = calloc(3 * edges->trace.count, sizeof *edges->piece);
    if (edges->piece == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu curves", edges->trace.count);
    for (size_t i = 0; i < edges->trace.count; i++)
        part_cubic(edges, &edges->trace.cubic[i]);
    qsort(edges->piece, edges->count, sizeof *edges->piece, by_x);
    edges->extent = bly_trace_extent(&edges->trace);
    find_face(edges, 0);
    find_face(edges, 1);
    return true;
}

bool bly_edges_make(const BlyTrace *trace, const char *what, BlyEdges **out, BlyError *err) {
    char where[32];
    (void)snprintf(where, sizeof where, "/%s", what);
    if (!check_extent(trace, where, err))
        return false;
    BlyEdges *edges = calloc(1, sizeof *edges);
    if (edges == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline");
    if (!gather(edges, trace, err) || !check_gaps(edges, where, err) ||
        !check_open(edges, where, err) || (edges->one_loop && !check_folds(edges, where, err))) {
        bly_edges_free(edges);
        return false;
    }
    edges->crossing = NAN;
    if (edges->one_loop)
        find_crossing(edges);
    *out = edges;
    return true;
}

void bly_edges_free(BlyEdges *edges) {
    if (edges == NULL)
        return;
    bly_trace_release(&edges->trace);
    free(edges->piece);
    free(edges);
}

/* With x = (1 - cos a)/2 of the length the square roots of round ends become smooth. */
double bly_edges_area(const BlyEdges *edges, double *x_mean, double *y_mean) {
    BlyRule rule;
    const BlyExtent *all = &edges->extent;
    double area = 0.0, x_sum = 0.0, y_sum = 0.0, length = all->x_high - all->x_low;
    if (!bly_rule_make(8, &rule, NULL))
        return NAN;
    for (int panel = 0; panel < PANELS; panel++) {
        for (size_t k = 0; k < rule.count; k++) {
            double angle = M_PI * (panel + rule.at[k]) / PANELS, low, high;
            double x = all->x_low + 0.5 * length * (1.0 - cos(angle));
            double dx = 0.5 * length * sin(angle) * rule.weight[k] * M_PI / PANELS;
            outermost(edges, x, &low, &high);
            area += (high - low) * dx;
            x_sum += (high - low) * dx * x;
            y_sum += 0.5 * (high - low) * (high + low) * dx;
        }
    }
    if (x_mean != NULL)
        *x_mean = x_sum / area;
    if (y_mean != NULL)
        *y_mean = y_sum / area;
    return area;
}
