/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A frame with axes into which curves are drawn. */
#ifndef BALLASTRY_SHEET_PLOT_H
#define BALLASTRY_SHEET_PLOT_H

#include "sheet/canvas.h"

typedef struct PlotAxis {
    double low, high;
    const char *title; /* with its unit: "net weight, mg" */
} PlotAxis;

typedef struct Plot {
    Canvas *canvas;
    Box frame; /* inside the axes' numbers */
    PlotAxis x, y;
} Plot;

/* Draws axes, numbers and titles into the box. */
Plot plot_open(Canvas *canvas, Box box, PlotAxis x, PlotAxis y);
Pt plot_point(const Plot *plot, double x, double y);
/* All cut off at the frame. `band` fills between two curves. */
void plot_curve(const Plot *plot, const char *look, const double *x, const double *y, size_t count);
void plot_band(const Plot *plot, const double *x, const double *low, const double *high,
               size_t count);
/* A full dot, or an open one. Nothing outside the frame. */
void plot_mark(const Plot *plot, double x, double y, bool full);

/* The step between numbers that gives at most `most` of them: 1, 2 or 5 times a power of ten. */
double plot_step(double span, int most);
/* A number of such a row, with as many digits as the step needs. */
void plot_number(double value, double step, char out[32]);

#endif
