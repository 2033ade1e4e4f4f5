/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Strokes put together to closed loops. A drawing may hold an upper and a lower edge, or a nose, a
 * back and a belly, in any order and direction: each loose end goes on, by a straight line, to the
 * nearest loose end that is left. */
#include "outline/cubic.h"

#include <math.h>
#include <stdlib.h>

typedef struct Stroke {
    double x[2], y[2];  /* its two ends */
    size_t first, last; /* its cubics */
    bool used;
} Stroke;

static bool same_place(double x0, double y0, double x1, double y1) {
    return x0 == x1 && y0 == y1;
}

/* Finds the open strokes, and counts the closed ones. room holds as many as there are cubics. */
static size_t find_strokes(const BlyTrace *trace, Stroke *room, size_t *closed) {
    size_t open = 0, begin = 0;
    *closed = 0;
    for (size_t i = 0; i < trace->count; i++) {
        const BlyCubic *at = &trace->cubic[i], *next = at + 1;
        const BlyCubic *first = &trace->cubic[begin];
        bool back = same_place(first->x[0], first->y[0], at->x[3], at->y[3]);
        bool goes_on =
            i + 1 < trace->count && !back && same_place(at->x[3], at->y[3], next->x[0], next->y[0]);
        if (goes_on)
            continue;
        if (back)
            (*closed)++;
        else
            room[open++] =
                (Stroke){{first->x[0], at->x[3]}, {first->y[0], at->y[3]}, begin, i, false};
        begin = i + 1;
    }
    return open;
}

static Stroke *nearest(Stroke *strokes, size_t count, double x, double y, int *end) {
    Stroke *best = NULL;
    double least = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        for (int k = 0; k < 2 && !strokes[i].used; k++) {
            double away = hypot(strokes[i].x[k] - x, strokes[i].y[k] - y);
            if (away < least) {
                least = away;
                best = &strokes[i];
                *end = k;
            }
        }
    }
    return best;
}

/* A stroke that is gone through from its far end: each cubic runs the other way. Their order in the
 * trace does not matter from here on. */
static void turn_around(BlyTrace *trace, const Stroke *stroke) {
    for (size_t i = stroke->first; i <= stroke->last; i++) {
        BlyCubic old = trace->cubic[i], *at = &trace->cubic[i];
        for (int k = 0; k < 4; k++) {
            at->x[k] = old.x[3 - k];
            at->y[k] = old.y[3 - k];
        }
    }
}

static bool link_up(BlyTrace *trace, Stroke *strokes, size_t count, BlyError *err) {
    double x = strokes[0].x[1], y = strokes[0].y[1];
    strokes[0].used = true;
    for (;;) {
        int end = 0;
        Stroke *next = nearest(strokes, count, x, y, &end);
        if (next == NULL)
            break;
        if (!bly_trace_line(trace, x, y, next->x[end], next->y[end], err))
            return false;
        next->used = true;
        if (end == 1)
            turn_around(trace, next);
        x = next->x[1 - end];
        y = next->y[1 - end];
    }
    return bly_trace_line(trace, x, y, strokes[0].x[0], strokes[0].y[0], err);
}

bool trace_chain(BlyTrace *trace, bool *one, BlyError *err) {
    size_t closed = 0;
    Stroke *strokes = calloc(trace->count, sizeof *strokes);
    if (strokes == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's strokes");
    size_t open = find_strokes(trace, strokes, &closed);
    bool good = open <= STROKES_MOST ||
                bly_fail(err, BLY_E_RANGE, NULL,
                         "the outline is drawn with %zu loose strokes; expected one closed path, "
                         "or an upper and a lower edge",
                         open);
    good = good && (open == 0 || link_up(trace, strokes, open, err));
    free(strokes);
    *one = closed + (open > 0 ? 1 : 0) == 1;
    return good;
}
