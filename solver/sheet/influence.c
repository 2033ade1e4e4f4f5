/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a little more at each seat does: an arrow at the seat as long as it tips the lure, and the
 * figures below. */
#include "sheet/panel.h"
#include "sheet/rowlabels.h"
#include "sheet/table.h"
#include "text/format.h"

#include <stdio.h>
#include <gsl/gsl_math.h>

static const double air = 3, label_row = 6, arrow_most = 14, arrow_least = 3, tallest = 34;
static const double head_lines = 5.5; /* mm */

typedef struct Shown {
    Figure figure;
    Bounds bounds;
    double scale;
} Shown;

static const BlySheetFacts *facts_of(const Panel *panel) {
    return panel->after != NULL ? panel->after : panel->facts;
}

static bool shown_make(const Panel *panel, double width, Shown *out) {
    *out = (Shown){0};
    unsigned parts = FIGURE_HULL | FIGURE_LIP | FIGURE_METAL | FIGURE_EYES;
    if (!facts_figure(facts_of(panel), (Aspect){0}, parts, &out->figure, NULL))
        return false;
    Bounds *b = &out->bounds;
    if (!bly_figure_bounds(&out->figure, b)) {
        bly_figure_release(&out->figure);
        return false;
    }
    out->scale = 1e3 * nice_scale(fmin((width - 2 * air) / (1e3 * (b->right - b->left)),
                                       tallest / (1e3 * (b->high - b->low))));
    return true;
}

static double table_height(const BlySheetFacts *facts) {
    return bly_table_pitch * (double)(facts->build->seat_count + 1);
}

static double figure_height(const Shown *shown) {
    return shown->scale * (shown->bounds.high - shown->bounds.low) + arrow_most + label_row + air;
}

double influence_height(const Panel *panel, double width) {
    Shown shown;
    if (!shown_make(panel, width, &shown))
        return NAN;
    double high = head_lines + figure_height(&shown) + table_height(facts_of(panel)) + 2 * air;
    bly_figure_release(&shown.figure);
    return high;
}

static double greatest_tilt(const BlySheetFacts *facts) {
    double most = 0;
    for (size_t i = 0; i < facts->build->seat_count; i++)
        most = fmax(most, fabs(facts->influence[i].nose_down));
    return most;
}

static void draw_arrows(const Panel *panel, const Shown *shown, const View *view, double baseline) {
    const BlySheetFacts *facts = facts_of(panel);
    double most = greatest_tilt(facts);
    RowLabels labels = {0};
    for (int s = 0; s < (int)facts->build->seat_count; s++) {
        char text[64], brief[8];
        double tilt = facts->influence[s].nose_down, share = most > 0 ? fabs(tilt) / most : 0;
        Bounds b;
        BlyVec3 surface =
            bly_seat_surface(facts->lure.blank, &facts->build->seats[s], facts->rig->at[s].x);
        Pt from = view_point(view, (Pt){surface.x, surface.z});
        if (facts->build->seats[s].kind == BLY_SEAT_PATCH &&
            bly_figure_seat_bounds(&shown->figure, s, &b))
            from.x = view_point(view, (Pt){0.5 * (b.left + b.right), 0}).x;
        Pt to = {from.x, from.y + arrow_least + share * (arrow_most - arrow_least)};
        canvas_circle(panel->canvas, "seat", from, 0.7);
        canvas_arrow(panel->canvas, from, to, tilt < 0);
        seat_words(facts, s, text, brief);
        row_labels_add(&labels, to, brief, text);
    }
    row_labels_draw(&labels, panel->canvas, panel->box.x + 1.5, panel->box.x + panel->box.w - 1.5,
                    baseline);
}

/* To so many digits, and never minus zero. */
static double rounded(double value, int digits) {
    double one = pow(10, digits), result = round(value * one) / one;
    return result == 0 ? 0 : result;
}

static void draw_table(const Panel *panel, double top) {
    const BlySheetFacts *facts = facts_of(panel);
    double rest = panel->box.w - 2 * air;
    const Column columns[] = {{"seat", 0.3 * rest, ANCHOR_START},
                              {"weight in water", 0.22 * rest, ANCHOR_END},
                              {"nose-down", 0.22 * rest, ANCHOR_END},
                              {"speed", 0.26 * rest, ANCHOR_END}};
    Table table = {panel->canvas, columns, 4, panel->box.x + air};
    table_head(&table, top);
    for (int s = 0; s < (int)facts->build->seat_count; s++) {
        const BlyInfluence *i = &facts->influence[s];
        char seat[64], brief[8], net[WORDS_MAX], tilt[WORDS_MAX], drift[WORDS_MAX];
        seat_words(facts, s, seat, brief);
        small_mass_words(i->net_weight, panel->system, true, net);
        (void)bly_format(tilt, sizeof tilt, "%+.1f deg", rounded(i->nose_down * 180 / M_PI, 1));
        if (panel->system == BLY_INCH)
            (void)bly_format(drift, sizeof drift, "%+.2f in/s", rounded(i->drift / 0.0254, 2));
        else
            (void)bly_format(drift, sizeof drift, "%+.2f cm/s", rounded(i->drift * 100, 2));
        const char *const cells[] = {seat, net, tilt, drift};
        table_row(&table, top + bly_table_pitch * (s + 1), cells);
    }
}

void influence_draw(const Panel *panel) {
    Shown shown;
    if (!shown_make(panel, panel->box.w, &shown)) {
        panel->canvas->svg.failed = true;
        return;
    }
    const BlySheetFacts *facts = facts_of(panel);
    const Bounds *b = &shown.bounds;
    char extra[WORDS_MAX], text[2 * WORDS_MAX];
    small_mass_words(facts->extra, panel->system, false, extra);
    (void)snprintf(text, sizeof text,
                   "%s more at a seat; arrow: how far it tips, full: nose down, open: nose up",
                   extra);
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START,
                      (Pt){panel->box.x + air, panel->box.y + 4}, panel->box.w - 2 * air, text);
    View view = {shown.scale,
                 {panel->box.x + 0.5 * panel->box.w - shown.scale * 0.5 * (b->left + b->right),
                  panel->box.y + head_lines + air + shown.scale * b->high}};
    figure_draw(&shown.figure, &view, panel->canvas);
    double bottom = panel->box.y + head_lines + figure_height(&shown);
    draw_arrows(panel, &shown, &view, bottom - 0.5);
    draw_table(panel, bottom + air);
    canvas_rect(panel->canvas, "frame", panel->box);
    bly_figure_release(&shown.figure);
}
