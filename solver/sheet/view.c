/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/view.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

Pt view_point(const View *view, Pt p) {
    return (Pt){view->origin.x + view->scale * p.x, view->origin.y - view->scale * p.y};
}

/* Wire keeps its thickness, but never so thin that it vanishes in print. */
static double stroke_on_paper(const Shape *shape, const View *view) {
    if (shape->kind != SHAPE_WIRE && shape->kind != SHAPE_TURNS)
        return 0;
    return fmax(shape->stroke * view->scale, 0.25);
}

void figure_draw(const Figure *figure, const View *view, Canvas *canvas) {
    size_t most = 0;
    for (size_t s = 0; s < figure->shape_count; s++)
        most = GSL_MAX(most, figure->shapes[s].count);
    Pt *points = calloc(most + 1, sizeof *points);
    if (points == NULL) {
        canvas->svg.failed = true;
        return;
    }
    for (size_t s = 0; s < figure->shape_count; s++) {
        const Shape *shape = &figure->shapes[s];
        for (size_t i = 0; i < shape->count; i++)
            points[i] = view_point(view, figure->points[shape->first + i]);
        canvas_path(canvas, bly_shape_name(shape->kind), stroke_on_paper(shape, view), points,
                    shape->count, shape->closed);
    }
    free(points);
}
