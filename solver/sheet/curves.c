/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two curves of a build: its net weight over the water's temperature, with the band in which it
 * suspends, and its speed over net weight. A full dot is the build in its own water. */
#include "sheet/panel.h"
#include "sheet/plot.h"

#include <math.h>
#include <stdio.h>

static const double plot_height = 58, legend_lines = 3, air = 2.5, gap = 5; /* mm */

/* What one axis shows of an SI value. */
typedef struct Scale {
    double factor, offset;
    const char *title;
} Scale;

typedef struct Legend {
    double x, y, width;
} Legend;

static double greatest(const double *values, size_t count) {
    double most = 0;
    for (size_t i = 0; i < count; i++)
        most = fmax(most, fabs(values[i]));
    return most;
}

static Scale weight_scale(BlySystem system, double most) {
    if (system == BLY_INCH)
        return (Scale){1 / 0.028349523125, 0, "weight in water, oz"};
    if (most >= 2e-3)
        return (Scale){1e3, 0, "weight in water, g"};
    return (Scale){1e6, 0, "weight in water, mg"};
}

static Scale temperature_scale(BlySystem system) {
    return system == BLY_INCH ? (Scale){1.8, 32, "water, deg F"} : (Scale){1, 0, "water, deg C"};
}

static Scale speed_scale(BlySystem system) {
    return system == BLY_INCH ? (Scale){1 / 0.0254, 0, "speed, in/s, down positive"}
                              : (Scale){100, 0, "speed, cm/s, down positive"};
}

static double shown(const Scale *scale, double si) {
    return si * scale->factor + scale->offset;
}

static void show_all(const Scale *scale, const double *from, double to[BLY_SHEET_POINTS]) {
    for (int i = 0; i < BLY_SHEET_POINTS; i++)
        to[i] = shown(scale, from[i]);
}

static void widen(PlotAxis *axis, const double *values, size_t count) {
    for (size_t i = 0; i < count; i++) {
        axis->low = fmin(axis->low, values[i]);
        axis->high = fmax(axis->high, values[i]);
    }
}

static void pad(PlotAxis *axis) {
    double span = axis->high - axis->low;
    double margin = span > 0 ? 0.08 * span : fmax(1e-3, 0.1 * fabs(axis->low));
    axis->low -= margin;
    axis->high += margin;
}

static Legend legend_below(const Panel *panel, const Box *box) {
    (void)panel;
    return (Legend){box->x, box->y + plot_height + 3, box->w};
}

static void say(const Panel *panel, Legend *legend, const char *text) {
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){legend->x, legend->y},
                      legend->width, text);
    legend->y += text_pitch(TEXT_SMALL);
}

/* The band that suspends joins the picture where it does not press the curve flat. */
static void draw_over_temperature(const Panel *panel, Box box) {
    const BlySheetFacts *f = panel->after != NULL ? panel->after : panel->facts;
    Scale weight = weight_scale(panel->system, greatest(f->net_weight, BLY_SHEET_POINTS));
    Scale warmth = temperature_scale(panel->system);
    double x[BLY_SHEET_POINTS], net[BLY_SHEET_POINTS], low[BLY_SHEET_POINTS],
        high[BLY_SHEET_POINTS];
    show_all(&warmth, f->temperature, x);
    show_all(&weight, f->net_weight, net);
    show_all(&weight, f->suspend_low, low);
    show_all(&weight, f->suspend_high, high);
    PlotAxis across = {x[0], x[BLY_SHEET_POINTS - 1], warmth.title};
    PlotAxis up = {INFINITY, -INFINITY, weight.title}, with_band;
    widen(&up, net, BLY_SHEET_POINTS);
    with_band = up;
    widen(&with_band, low, BLY_SHEET_POINTS);
    widen(&with_band, high, BLY_SHEET_POINTS);
    bool banded = with_band.high - with_band.low < 6 * (up.high - up.low);
    if (banded)
        up = with_band;
    pad(&up);
    Box frame = {box.x, box.y, box.w, plot_height};
    Plot plot = plot_open(panel->canvas, frame, across, up);
    plot_band(&plot, x, low, high, BLY_SHEET_POINTS);
    plot_curve(&plot, "curve", x, net, BLY_SHEET_POINTS);
    for (size_t i = 0; i < f->target_count; i++)
        plot_mark(&plot, shown(&warmth, f->target[i].water.temperature),
                  shown(&weight, f->target[i].sums.net_weight), false);
    plot_mark(&plot, shown(&warmth, f->outcome.water.temperature),
              shown(&weight, f->outcome.sums.net_weight), true);
    Legend legend = legend_below(panel, &box);
    char words[WORDS_MAX], text[2 * WORDS_MAX];
    small_mass_words(f->outcome.sums.net_weight, panel->system, true, words);
    (void)snprintf(text, sizeof text, "full dot: its own water, %s", words);
    say(panel, &legend, text);
    if (f->target_count > 0)
        say(panel, &legend, "open rings: the target's waters");
    say(panel, &legend, banded ? "grey band: suspends" : "suspends near 0: off this plot");
}

static void draw_over_weight(const Panel *panel, Box box) {
    const BlySheetFacts *f = panel->after != NULL ? panel->after : panel->facts;
    Scale weight = weight_scale(panel->system, greatest(f->weight, BLY_SHEET_POINTS));
    Scale speed = speed_scale(panel->system);
    double x[BLY_SHEET_POINTS], y[BLY_SHEET_POINTS];
    show_all(&weight, f->weight, x);
    show_all(&speed, f->speed, y);
    PlotAxis across = {x[0], x[BLY_SHEET_POINTS - 1], weight.title};
    PlotAxis up = {INFINITY, -INFINITY, speed.title};
    widen(&up, y, BLY_SHEET_POINTS);
    pad(&up);
    Box frame = {box.x, box.y, box.w, plot_height};
    Plot plot = plot_open(panel->canvas, frame, across, up);
    double edge = shown(&speed, BLY_SUSPEND_SPEED);
    const double ends[2] = {across.low, across.high}, low[2] = {-edge, -edge},
                 high[2] = {edge, edge};
    plot_band(&plot, ends, low, high, 2);
    plot_curve(&plot, "curve", x, y, BLY_SHEET_POINTS);
    plot_mark(&plot, shown(&weight, f->outcome.sums.net_weight), shown(&speed, f->outcome.drift),
              true);
    Legend legend = legend_below(panel, &box);
    char words[WORDS_MAX], text[2 * WORDS_MAX];
    speed_words(f->outcome.drift, panel->system, words);
    (void)snprintf(text, sizeof text, "full dot: this build, %s", words);
    say(panel, &legend, text);
    say(panel, &legend, "grey band: suspends");
}

double curves_height(const Panel *panel, double width) {
    (void)panel;
    (void)width;
    return plot_height + legend_lines * text_pitch(TEXT_SMALL) + 2 * air + 1;
}

void curves_draw(const Panel *panel) {
    double width = 0.5 * (panel->box.w - 2 * air - gap);
    Box left = {panel->box.x + air, panel->box.y + air, width, panel->box.h - 2 * air};
    Box right = left;
    right.x += width + gap;
    draw_over_temperature(panel, left);
    draw_over_weight(panel, right);
    canvas_rect(panel->canvas, "frame", panel->box);
}
