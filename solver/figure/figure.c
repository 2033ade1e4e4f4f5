/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/shapes.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

Aspect bly_aspect_of(const BlyOutcome *outcome) {
    if (outcome->has_surface)
        return (Aspect){.t = outcome->surface.nose_down, .h = outcome->surface.heel};
    return (Aspect){.t = isfinite(outcome->nose_down) ? outcome->nose_down : 0};
}

Pt bly_aspect_point(Aspect aspect, BlyVec3 p) {
    if (aspect.front)
        return (Pt){-p.y, p.z};
    double w = p.z * cos(aspect.h) - p.y * sin(aspect.h);
    return (Pt){p.x * cos(aspect.t) - w * sin(aspect.t), p.x * sin(aspect.t) + w * cos(aspect.t)};
}

void bly_figure_release(Figure *figure) {
    free(figure->points);
    free(figure->shapes);
    *figure = (Figure){0};
}

/* Room for one more; false without memory. */
static bool grow(void **array, size_t count, size_t *room, size_t size) {
    if (count < *room)
        return true;
    size_t wanted = *room == 0 ? 256 : 2 * *room;
    void *grown = realloc(*array, wanted * size);
    if (grown == NULL)
        return false;
    *array = grown;
    *room = wanted;
    return true;
}

void figure_begin(Figure *figure, ShapeKind kind, int seat, double stroke, bool closed) {
    void *shapes = figure->shapes;
    if (!grow(&shapes, figure->shape_count, &figure->shape_room, sizeof *figure->shapes)) {
        figure->failed = true;
        return;
    }
    figure->shapes = shapes;
    figure->shapes[figure->shape_count++] = (Shape){.kind = kind,
                                                    .seat = seat,
                                                    .piece = -1,
                                                    .stroke = isfinite(stroke) ? stroke : 0,
                                                    .closed = closed,
                                                    .first = figure->point_count};
}

void figure_point(Figure *figure, Pt p) {
    void *points = figure->points;
    if (figure->failed || !isfinite(p.x) || !isfinite(p.y))
        return;
    if (!grow(&points, figure->point_count, &figure->point_room, sizeof *figure->points)) {
        figure->failed = true;
        return;
    }
    figure->points = points;
    figure->points[figure->point_count++] = p;
    figure->shapes[figure->shape_count - 1].count++;
}

void figure_arc(Figure *figure, Pt middle, double rx, double ry, double from, double to) {
    int steps = 2 * (int)ceil(fabs(to - from) / (M_PI / 7)); /* even: the lowest point is one */
    for (int i = 0; i <= steps; i++) {
        double a = from + (to - from) * i / steps;
        figure_point(figure, (Pt){middle.x + rx * cos(a), middle.y + ry * sin(a)});
    }
}

static void stretch(Bounds *b, Pt p, double margin) {
    b->left = fmin(b->left, p.x - margin);
    b->right = fmax(b->right, p.x + margin);
    b->low = fmin(b->low, p.y - margin);
    b->high = fmax(b->high, p.y + margin);
}

static bool bounds_of(const Figure *figure, int seat, bool all, Bounds *out) {
    *out = (Bounds){INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (size_t s = 0; s < figure->shape_count; s++) {
        const Shape *shape = &figure->shapes[s];
        if (!all && (shape->seat != seat || shape->kind == SHAPE_HIDDEN))
            continue;
        for (size_t i = 0; i < shape->count; i++)
            stretch(out, figure->points[shape->first + i], 0.5 * shape->stroke);
    }
    return out->left <= out->right;
}

bool bly_figure_bounds(const Figure *figure, Bounds *out) {
    return bounds_of(figure, 0, true, out);
}

bool bly_figure_seat_bounds(const Figure *figure, int seat, Bounds *out) {
    return bounds_of(figure, seat, false, out);
}

static Pt lowest_point(const Figure *figure, const Shape *shape) {
    Pt lowest = figure->points[shape->first];
    for (size_t i = 1; i < shape->count; i++) {
        Pt p = figure->points[shape->first + i];
        lowest = p.y < lowest.y ? p : lowest;
    }
    return lowest;
}

bool bly_figure_seat_spot(const Figure *figure, int seat, bool above, Pt *out) {
    Bounds b;
    for (size_t s = 0; s < figure->shape_count; s++) {
        const Shape *shape = &figure->shapes[s];
        if (shape->seat != seat || shape->count == 0)
            continue;
        if (shape->kind == SHAPE_METAL) {
            *out = figure->points[shape->first + shape->count * 3 / 4];
            return true;
        }
        if (shape->kind == SHAPE_LIP) {
            *out = lowest_point(figure, shape);
            return true;
        }
    }
    if (!bly_figure_seat_bounds(figure, seat, &b))
        return false;
    *out = (Pt){0.5 * (b.left + b.right), above ? b.high : b.low};
    return true;
}

const char *bly_shape_name(ShapeKind kind) {
    static const char *const looks[] = {"body", "slice", "lip", "hidden", "metal", "wire", "turns"};
    return looks[kind];
}

/* The shapes from `first` on show this kind of part. */
static void name_piece(Figure *figure, size_t first, BlyPartKind kind) {
    for (size_t s = first; s < figure->shape_count; s++)
        figure->shapes[s].piece = (int)kind;
}

/* What is fixed to the body at one seat. A lip is seen edge on, as its sheet, but from ahead as its
 * outline. */
static void figure_seat(Figure *figure, const FigureOf *of, int seat, Aspect aspect,
                        unsigned parts) {
    size_t first = figure->shape_count;
    if (parts & FIGURE_EYES)
        figure_eye(figure, of, seat, aspect);
    name_piece(figure, first, BLY_PART_EYE);
    first = figure->shape_count;
    if (parts & FIGURE_LIP)
        figure_lip(figure, of, seat, aspect);
    name_piece(figure, first, aspect.front ? BLY_PART_OUTLINE : BLY_PART_SHEET);
    first = figure->shape_count;
    if (parts & FIGURE_METAL)
        figure_metal(figure, of, seat, aspect);
    bool dots = of->rig->at[seat].of[BLY_PART_DOT].part != NULL;
    name_piece(figure, first, dots ? BLY_PART_DOT : BLY_PART_STRIP);
}

static bool hangs_here(const BlyItem *item) {
    return item->hangs && item->part != NULL && item->hang_to > item->hang_from;
}

/* Behind first: chains hang in front of the body, strips lie on it. */
bool bly_figure_make(const FigureOf *of, Aspect aspect, unsigned parts, Figure *out,
                     BlyError *err) {
    const BlyBlank *blank = of->lure->blank;
    *out = (Figure){0};
    const BlyBody *body = parts & FIGURE_HULL ? blank->hull : blank->bare;
    if (aspect.front)
        figure_slices(out, body);
    else
        figure_body(out, body, aspect);
    if (parts & FIGURE_PIECES)
        figure_pieces(out, blank, aspect);
    for (int s = 0; s < (int)of->build->seat_count; s++)
        figure_seat(out, of, s, aspect, parts);
    for (size_t i = 0; (parts & FIGURE_CHAINS) && i < of->lure->count; i++) {
        const BlyItem *item = &of->lure->items[i];
        size_t first = out->shape_count;
        if (hangs_here(item)) {
            figure_hanging(out, item, aspect);
            name_piece(out, first, item->part->kind);
        }
    }
    if (!out->failed)
        return true;
    bly_figure_release(out);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the drawing");
}
