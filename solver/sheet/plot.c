/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/plot.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>

enum { CURVE_MOST = 64, NUMBERS_MOST = 6 };

double plot_step(double span, int most) {
    double decade = pow(10, floor(log10(span / most)));
    static const double steps[] = {1, 2, 5, 10, 20};
    for (int i = 0; i < 5; i++) {
        if (span / (steps[i] * decade) <= most)
            return steps[i] * decade;
    }
    return span;
}

Pt plot_point(const Plot *plot, double x, double y) {
    const Box *f = &plot->frame;
    return (Pt){f->x + f->w * (x - plot->x.low) / (plot->x.high - plot->x.low),
                f->y + f->h * (plot->y.high - y) / (plot->y.high - plot->y.low)};
}

void plot_number(double value, double step, char out[32]) {
    int digits = step >= 1 ? 0 : (int)ceil(-log10(step) - 1e-9);
    (void)bly_format(out, 32, "%.*f", digits, fabs(value) < 1e-9 * step ? 0.0 : value);
}

static double widest_number(const PlotAxis *axis, double step) {
    double widest = 0;
    for (int i = 0; i < 2 * NUMBERS_MOST; i++) {
        double v = (ceil(axis->low / step - 1e-9) + i) * step;
        if (v > axis->high + 1e-9 * step)
            break;
        char text[32];
        plot_number(v, step, text);
        widest = fmax(widest, text_width(TEXT_SMALL, text));
    }
    return widest;
}

static void draw_x(const Plot *plot) {
    const Box *f = &plot->frame;
    double step = plot_step(plot->x.high - plot->x.low, NUMBERS_MOST);
    double free_from = f->x - 20;
    for (int i = 0; i < 2 * NUMBERS_MOST; i++) {
        double v = (ceil(plot->x.low / step - 1e-9) + i) * step;
        if (v > plot->x.high + 1e-9 * step)
            break;
        char text[32];
        plot_number(v, step, text);
        Pt foot = plot_point(plot, v, plot->y.low);
        canvas_line(plot->canvas, "fine", 0, (Pt){foot.x, f->y}, (Pt){foot.x, f->y + f->h});
        double half = 0.5 * text_width(TEXT_SMALL, text);
        if (foot.x - half < free_from)
            continue;
        (void)canvas_text(plot->canvas, TEXT_SMALL, ANCHOR_MIDDLE, (Pt){foot.x, foot.y + 3.2}, 0,
                          text);
        free_from = foot.x + half + 1;
    }
    (void)canvas_text(plot->canvas, TEXT_SMALL, ANCHOR_END, (Pt){f->x + f->w, f->y + f->h + 6.6},
                      f->w, plot->x.title);
}

static void draw_y(const Plot *plot, double step) {
    const Box *f = &plot->frame;
    for (int i = 0; i < 2 * NUMBERS_MOST; i++) {
        double v = (ceil(plot->y.low / step - 1e-9) + i) * step;
        if (v > plot->y.high + 1e-9 * step)
            break;
        char text[32];
        plot_number(v, step, text);
        Pt side = plot_point(plot, plot->x.low, v);
        canvas_line(plot->canvas, fabs(v) < 1e-9 * step ? "rule" : "fine", 0, side,
                    (Pt){f->x + f->w, side.y});
        (void)canvas_text(plot->canvas, TEXT_SMALL, ANCHOR_END, (Pt){side.x - 1, side.y + 0.8}, 0,
                          text);
    }
    (void)canvas_text(plot->canvas, TEXT_SMALL, ANCHOR_START, (Pt){f->x, f->y - 1.4}, f->w,
                      plot->y.title);
}

Plot plot_open(Canvas *canvas, Box box, PlotAxis x, PlotAxis y) {
    double step = plot_step(y.high - y.low, NUMBERS_MOST);
    double left = widest_number(&y, step) + 2;
    Plot plot = {canvas, {box.x + left, box.y + 4.5, box.w - left - 2, box.h - 4.5 - 7.5}, x, y};
    draw_x(&plot);
    draw_y(&plot, step);
    canvas_rect(canvas, "frame", plot.frame);
    return plot;
}

void plot_curve(const Plot *plot, const char *look, const double *x, const double *y,
                size_t count) {
    Pt points[CURVE_MOST];
    for (size_t i = 0; i < count && i < CURVE_MOST; i++)
        points[i] = plot_point(plot, x[i], y[i]);
    canvas_clip(plot->canvas, plot->frame);
    canvas_path(plot->canvas, look, 0, points, count < CURVE_MOST ? count : CURVE_MOST, false);
    canvas_group_end(plot->canvas);
}

void plot_band(const Plot *plot, const double *x, const double *low, const double *high,
               size_t count) {
    Pt points[2 * CURVE_MOST];
    size_t n = count < CURVE_MOST ? count : CURVE_MOST;
    for (size_t i = 0; i < n; i++) {
        points[i] = plot_point(plot, x[i], low[i]);
        points[2 * n - 1 - i] = plot_point(plot, x[i], high[i]);
    }
    canvas_clip(plot->canvas, plot->frame);
    canvas_path(plot->canvas, "band", 0, points, 2 * n, true);
    canvas_group_end(plot->canvas);
}

void plot_mark(const Plot *plot, double x, double y, bool full) {
    if (x < plot->x.low || x > plot->x.high || y < plot->y.low || y > plot->y.high)
        return;
    canvas_circle(plot->canvas, full ? "mark" : "up", plot_point(plot, x, y), full ? 1.2 : 0.9);
}
