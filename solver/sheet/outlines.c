/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lure from above and from the front, smaller, with its outer sizes; as it was before a change
 * lies dashed over it. */
#include "sheet/panel.h"

#include <stdio.h>
#include <gsl/gsl_math.h>

static const double caption = 6, air = 3, between = 12, tallest = 42; /* mm */

typedef struct Outlines {
    Figure above, front;
    Figure above_before, front_before; /* empty when there is nothing to compare */
    Bounds a, f;
    double scale; /* mm of paper a metre */
} Outlines;

static void outlines_release(Outlines *o) {
    bly_figure_release(&o->above);
    bly_figure_release(&o->front);
    bly_figure_release(&o->above_before);
    bly_figure_release(&o->front_before);
}

static bool seen(const BlySheetFacts *facts, Figure *above, Figure *front) {
    unsigned parts = FIGURE_HULL | FIGURE_LIP | FIGURE_EYES | FIGURE_METAL;
    return facts_figure(facts, (Aspect){.h = -M_PI_2}, parts, above, NULL) &&
           facts_figure(facts, (Aspect){.front = true}, FIGURE_HULL | FIGURE_LIP, front, NULL);
}

/* A change is one of parts: the body under them is the same. */
static void drop_body(Figure *figure) {
    size_t kept = 0;
    for (size_t i = 0; i < figure->shape_count; i++) {
        ShapeKind kind = figure->shapes[i].kind;
        if (kind != SHAPE_BODY && kind != SHAPE_SLICE)
            figure->shapes[kept++] = figure->shapes[i];
    }
    figure->shape_count = kept;
}

static void widen(Bounds *b, const Figure *figure) {
    Bounds other;
    if (!bly_figure_bounds(figure, &other))
        return;
    b->left = fmin(b->left, other.left);
    b->right = fmax(b->right, other.right);
    b->low = fmin(b->low, other.low);
    b->high = fmax(b->high, other.high);
}

static bool outlines_make(const Panel *panel, double width, Outlines *o) {
    bool both = panel->after != NULL;
    *o = (Outlines){0};
    if (!seen(both ? panel->after : panel->facts, &o->above, &o->front) ||
        (both && !seen(panel->facts, &o->above_before, &o->front_before)) ||
        !bly_figure_bounds(&o->above, &o->a) || !bly_figure_bounds(&o->front, &o->f)) {
        outlines_release(o);
        return false;
    }
    drop_body(&o->above_before);
    drop_body(&o->front_before);
    widen(&o->a, &o->above_before);
    widen(&o->f, &o->front_before);
    double wide = (o->a.right - o->a.left) + (o->f.right - o->f.left);
    double high = fmax(o->a.high - o->a.low, o->f.high - o->f.low);
    o->scale =
        1e3 * nice_scale(fmin((width - 2 * air - between) / (1e3 * wide), tallest / (1e3 * high)));
    return true;
}

double outlines_height(const Panel *panel, double width) {
    Outlines o;
    if (!outlines_make(panel, width, &o))
        return NAN;
    double high = o.scale * fmax(o.a.high - o.a.low, o.f.high - o.f.low);
    outlines_release(&o);
    return high + 2 * air + caption;
}

static void draw_one(const Panel *panel, const Figure *figure, const Figure *before,
                     const Bounds *b, double scale, double left, bool axis) {
    double middle = panel->box.y + 0.5 * (panel->box.h - caption);
    View view = {scale, {left - scale * b->left, middle + scale * 0.5 * (b->low + b->high)}};
    figure_draw(figure, &view, panel->canvas);
    if (before->shape_count > 0) {
        canvas_group(panel->canvas, "before");
        figure_draw(before, &view, panel->canvas);
        canvas_group_end(panel->canvas);
    }
    if (axis)
        canvas_line(panel->canvas, "axis", 0, view_point(&view, (Pt){b->left, 0}),
                    view_point(&view, (Pt){b->right, 0}));
}

static void draw_captions(const Panel *panel, const Outlines *o) {
    const BlySheetFacts *facts = panel->facts;
    BlyBox box = bly_body_box(facts->lure.blank->hull);
    char text[3 * WORDS_MAX], scale[WORDS_MAX], size[3][BLY_QUANTITY_MAX];
    int digits = panel->system == BLY_INCH ? 2 : 1;
    bly_quantity_show(box.high.x - box.low.x, BLY_DIM_LENGTH, panel->system, digits, size[0]);
    bly_quantity_show(box.high.y - box.low.y, BLY_DIM_LENGTH, panel->system, digits, size[1]);
    bly_quantity_show(box.high.z - box.low.z, BLY_DIM_LENGTH, panel->system, digits, size[2]);
    scale_words(1e-3 * o->scale, scale);
    double y = panel->box.y + panel->box.h - 1.8, x = panel->box.x + 1.5;
    (void)snprintf(text, sizeof text,
                   "from above, drawn %.60s; %s long, %s wide, %s high, coated%s", scale, size[0],
                   size[1], size[2], panel->after != NULL ? "; dashed: before" : "");
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x, y}, panel->box.w - 32, text);
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_END,
                      (Pt){panel->box.x + panel->box.w - 1.5, y}, 28, "from the front");
}

void outlines_draw(const Panel *panel) {
    Outlines o;
    if (!outlines_make(panel, panel->box.w, &o)) {
        panel->canvas->svg.failed = true;
        return;
    }
    double first = o.scale * (o.a.right - o.a.left), second = o.scale * (o.f.right - o.f.left);
    double spare = panel->box.w - 2 * air - first - second;
    double left = panel->box.x + air + 0.3 * spare;
    double right = panel->box.x + panel->box.w - air - second - 0.2 * spare;
    draw_one(panel, &o.above, &o.above_before, &o.a, o.scale, left, true);
    draw_one(panel, &o.front, &o.front_before, &o.f, o.scale, right, false);
    draw_captions(panel, &o);
    canvas_rect(panel->canvas, "frame", panel->box);
    outlines_release(&o);
}
