/* SPDX-License-Identifier: GPL-3.0-or-later */
/* On the line: the line's curve between rod and lure with what is said of the depth as a band, and
 * beside it the lure as it lies, larger. */
#include "ballastry/tow.h"
#include "sheet/panel.h"
#include "sheet/plot.h"
#include "text/format.h"
#include "tow/tow.h"

#include <gsl/gsl_math.h>
#include <stdio.h>

static const double plot_height = 62, lines_below = 4, air = 2.5, gap = 5,
                    plot_share = 0.6; /* mm */

static const BlySheetFacts *facts_of(const Panel *panel) {
    return panel->after != NULL ? panel->after : panel->facts;
}

static double unit_of(BlySystem system) {
    return system == BLY_INCH ? 0.3048 : 1;
}

static void scale_all(double *values, size_t count, double unit) {
    for (size_t i = 0; i < count; i++)
        values[i] /= unit;
}

static TowLineDrawn drawn_in(const BlyTowed *towed, double unit) {
    TowLineDrawn d = tow_line_drawn(towed, 0);
    scale_all(d.x, d.wet + 1, unit);
    scale_all(d.y, d.wet + 1, unit);
    scale_all(d.low, d.wet, unit);
    scale_all(d.high, d.wet, unit);
    return d;
}

static void draw_line(const Panel *panel, const BlyTowed *towed, Box box) {
    TowLineDrawn d = drawn_in(towed, unit_of(panel->system));
    bool inch = panel->system == BLY_INCH;
    double deepest = fmin(d.low[0], d.y[0]), highest = d.y[d.wet];
    double margin = 0.08 * fmax(highest - deepest, 0.5);
    PlotAxis x = {0, d.x[0] * 1.04, inch ? "from the rod, ft" : "from the rod, m"};
    PlotAxis y = {deepest - margin, highest + margin,
                  inch ? "above the water, ft" : "above the water, m"};
    Plot plot = plot_open(panel->canvas, box, x, y);
    const double ends[2] = {x.low, x.high}, surface[2] = {0, 0};
    if (d.wet > 1)
        plot_band(&plot, d.x, d.low, d.high, d.wet);
    plot_curve(&plot, "surface", ends, surface, 2);
    plot_curve(&plot, "curve", d.x, d.y, d.wet + 1);
    plot_mark(&plot, d.x[0], d.y[0], true);
}

/* The lure nose-down as it runs, drawn to the left, with the first stretch of its line and the way
 * that the water comes. What hangs trails, and is left out. */
static bool draw_lure(const Panel *panel, const BlySheetFacts *facts, Box box) {
    const BlyTowRun *run = &facts->towed->at[0].run;
    Aspect aspect = {.t = run->nose_down};
    Figure figure;
    Bounds b;
    BlyVec3 tie;
    if (!facts_figure(facts, aspect, FIGURE_ALL & ~(unsigned)FIGURE_CHAINS, &figure, NULL))
        return false;
    if (!bly_figure_bounds(&figure, &b) ||
        !bly_tow_tie(&facts->lure, facts->build->seats, facts->build->seat_count, facts->rig, &tie,
                     NULL)) {
        bly_figure_release(&figure);
        return true;
    }
    Pt at = bly_aspect_point(aspect, tie);
    double reach = 0.35 * (b.right - b.left);
    double left = fmin(b.left, at.x - reach * cos(run->rise)),
           high = fmax(b.high, at.y + reach * sin(run->rise));
    double scale = fmin(box.w / (b.right - left), box.h / (high - b.low));
    View view = {scale, {box.x - scale * left, box.y + scale * high}};
    view.origin.y += 0.5 * (box.h - scale * (high - b.low));
    canvas_line(
        panel->canvas, "curve", 0, view_point(&view, at),
        view_point(&view, (Pt){at.x - reach * cos(run->rise), at.y + reach * sin(run->rise)}));
    figure_draw(&figure, &view, panel->canvas);
    canvas_circle(panel->canvas, "down", view_point(&view, at), 0.5);
    bly_figure_release(&figure);
    return true;
}

static void say(const Panel *panel, double *y, const char *text) {
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){panel->box.x + air, *y},
                      panel->box.w - 2 * air, text);
    *y += text_pitch(TEXT_SMALL);
}

static void say_run(const Panel *panel, const BlyTowed *towed, double *y) {
    const BlyTowAt *at = &towed->at[0];
    double unit = unit_of(panel->system);
    const char *name = panel->system == BLY_INCH ? "ft" : "m";
    char text[3 * WORDS_MAX], lies[WORDS_MAX], thick[BLY_QUANTITY_MAX], doing[WORDS_MAX] = "";
    bly_quantity_show(towed->line.diameter, BLY_DIM_LENGTH, panel->system,
                      panel->system == BLY_INCH ? 4 : 2, thick);
    if (at->run.state != BLY_TOW_NOWHERE) {
        attitude_range_words(at->run.nose_down, at->run.nose_down, 0, lies);
        (void)bly_format(doing, sizeof doing, ", runs %.60s", lies);
    }
    (void)bly_format(text, sizeof text, "at %.1f %s/s on %.0f %s of %s: %s (%.0f of 100)%s",
                     at->run.speed / unit, name, towed->line.length / unit, name, thick,
                     bly_tow_state_words(at->run.state), in_100(at->share[at->run.state]), doing);
    say(panel, y, text);
    if (at->depth.said_high > 0.05)
        (void)bly_format(
            text, sizeof text,
            "full dot: the lure, trolled %.1f %s deep; grey band: %.1f to %.1f %s; heights "
            "drawn larger than lengths",
            at->depth.nominal / unit, name, at->depth.said_low / unit, at->depth.said_high / unit,
            name);
    else
        (void)snprintf(text, sizeof text, "full dot: the lure, at the surface");
    say(panel, y, text);
}

double towing_height(const Panel *panel, double width) {
    (void)panel;
    (void)width;
    return plot_height + lines_below * text_pitch(TEXT_SMALL) + 2 * air;
}

void towing_draw(const Panel *panel) {
    const BlySheetFacts *facts = facts_of(panel);
    double width = panel->box.w - 2 * air - gap, y = panel->box.y + air + plot_height + 3;
    Box left = {panel->box.x + air, panel->box.y + air, plot_share * width, plot_height};
    Box right = {left.x + left.w + gap, left.y + 4, width - left.w, plot_height - 8};
    canvas_rect(panel->canvas, "frame", panel->box);
    if (facts->towed == NULL) {
        say(panel, &y, "no line tie: nothing says where a line would pull");
        return;
    }
    draw_line(panel, facts->towed, left);
    if (facts->towed->at[0].run.state != BLY_TOW_NOWHERE && !draw_lure(panel, facts, right))
        say(panel, &y, "no memory for the lure's picture");
    say_run(panel, facts->towed, &y);
    say(panel, &y,
        "An estimate: no lure on a line was measured against it. Whether it runs steady "
        "is not said.");
}
