/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view: the lure as it rests in its water, to scale, with its two centres, its angle and
 * what it does. With an `after`, the lure as it was lies dashed behind the lure as it will be. */
#include "sheet/panel.h"
#include "sheet/rowlabels.h"
#include "text/format.h"

#include <stdio.h>
#include <gsl/gsl_math.h>
#include <string.h>

static const double label_row = 6.5, foot_row = 5.5, margin_right = 37, air = 3; /* mm */
static const double tallest = 110, lowest_height = 62;                           /* mm */

/* One lure as it lies, moved so that both lures of a comparison share a mark: the surface, or the
 * middle of the hull when one of them is under water. */
typedef struct Lying {
    const BlySheetFacts *facts;
    Figure figure;
    Aspect aspect;
    Pt shift; /* m, added to every point of the figure */
} Lying;

typedef struct Side {
    const Panel *panel;
    Lying lure, before; /* before: no facts when there is nothing to compare */
    Bounds bounds;      /* of both, shifted */
    View view;
    Box field; /* where the figure goes */
} Side;

static Pt middle_of(const BlySheetFacts *facts, Aspect aspect) {
    return bly_aspect_point(aspect, bly_body_solid(facts->lure.blank->hull)->centroid);
}

static bool lay(Lying *lying, const BlySheetFacts *facts, bool by_surface) {
    lying->facts = facts;
    lying->aspect = bly_aspect_of(&facts->outcome);
    Pt middle = middle_of(facts, lying->aspect);
    double height = by_surface ? facts->outcome.surface.plane_height : middle.y;
    lying->shift = (Pt){-middle.x, -height};
    return facts_figure(facts, lying->aspect, FIGURE_ALL, &lying->figure, NULL);
}

static Pt shifted(const Lying *lying, Pt p) {
    return (Pt){p.x + lying->shift.x, p.y + lying->shift.y};
}

static Pt on_paper(const Side *side, const Lying *lying, Pt p) {
    return view_point(&side->view, shifted(lying, p));
}

static Pt point_on_paper(const Side *side, const Lying *lying, BlyVec3 p) {
    return on_paper(side, lying, bly_aspect_point(lying->aspect, p));
}

static void take_bounds(Side *side, const Lying *lying) {
    Bounds b;
    if (lying->facts == NULL || !bly_figure_bounds(&lying->figure, &b))
        return;
    side->bounds.left = fmin(side->bounds.left, b.left + lying->shift.x);
    side->bounds.right = fmax(side->bounds.right, b.right + lying->shift.x);
    side->bounds.low = fmin(side->bounds.low, b.low + lying->shift.y);
    side->bounds.high = fmax(side->bounds.high, b.high + lying->shift.y);
}

static bool floats(const Side *side) {
    return side->lure.facts->outcome.has_surface &&
           (side->before.facts == NULL || side->before.facts->outcome.has_surface);
}

static void side_release(Side *side) {
    bly_figure_release(&side->lure.figure);
    bly_figure_release(&side->before.figure);
}

static bool side_make(const Panel *panel, Side *side) {
    *side = (Side){.panel = panel, .bounds = {INFINITY, -INFINITY, INFINITY, -INFINITY}};
    side->lure.facts = panel->after != NULL ? panel->after : panel->facts;
    side->before.facts = panel->after != NULL ? panel->facts : NULL;
    bool by_surface = floats(side);
    if (!lay(&side->lure, side->lure.facts, by_surface) ||
        (side->before.facts != NULL && !lay(&side->before, side->before.facts, by_surface))) {
        side_release(side);
        return false;
    }
    take_bounds(side, &side->lure);
    take_bounds(side, &side->before);
    return true;
}

static double scale_for(const Side *side, double width, double height) {
    const Bounds *b = &side->bounds;
    return nice_scale(
        fmin(width / (1e3 * (b->right - b->left)), height / (1e3 * (b->high - b->low))));
}

double side_height(const Panel *panel, double width) {
    Side side;
    if (!side_make(panel, &side))
        return NAN;
    double rows = 2 * label_row + foot_row + 2 * air;
    double scale = scale_for(&side, width - margin_right - 2 * air, tallest - rows);
    double height = 1e3 * scale * (side.bounds.high - side.bounds.low) + rows;
    side_release(&side);
    return fmax(lowest_height, height);
}

static void set_view(Side *side) {
    const Box *box = &side->panel->box;
    side->field = (Box){box->x + air, box->y + label_row + air, box->w - margin_right - 2 * air,
                        box->h - 2 * label_row - foot_row - 2 * air};
    const Bounds *b = &side->bounds;
    side->view.scale = 1e3 * scale_for(side, side->field.w, side->field.h);
    side->view.origin.x =
        side->field.x + 0.5 * side->field.w - side->view.scale * 0.5 * (b->left + b->right);
    side->view.origin.y =
        side->field.y + 0.5 * side->field.h + side->view.scale * 0.5 * (b->low + b->high);
}

/* Water fills the panel up to the surface; the mark on the surface is the usual triangle. */
static void draw_water(const Side *side) {
    Canvas *canvas = side->panel->canvas;
    Box water = side->panel->box;
    const Lying *lying = &side->lure;
    if (!lying->facts->outcome.has_surface) {
        canvas_rect(canvas, "water", water);
        return;
    }
    double y = on_paper(side, lying, (Pt){0, lying->facts->outcome.surface.plane_height}).y;
    water.h -= y - water.y;
    water.y = y;
    canvas_rect(canvas, "water", water);
}

static void draw_surface(const Side *side) {
    Canvas *canvas = side->panel->canvas;
    const Box *box = &side->panel->box;
    const Lying *lying = &side->lure;
    if (!lying->facts->outcome.has_surface)
        return;
    double y = on_paper(side, lying, (Pt){0, lying->facts->outcome.surface.plane_height}).y;
    double x = box->x + 3;
    const Pt triangle[] = {{x - 1.3, y - 2.2}, {x + 1.3, y - 2.2}, {x, y}};
    canvas_line(canvas, "surface", 0, (Pt){box->x, y}, (Pt){box->x + box->w, y});
    canvas_path(canvas, "surface", 0.3, triangle, 3, true);
    canvas_line(canvas, "surface", 0.25, (Pt){x - 1, y + 0.9}, (Pt){x + 1, y + 0.9});
    canvas_line(canvas, "surface", 0.25, (Pt){x - 0.5, y + 1.7}, (Pt){x + 0.5, y + 1.7});
}

/* Weight pulls down at a full dot, buoyancy up at an open ring. */
static void draw_centres(const Side *side, Pt *gravity, Pt *buoyancy) {
    Canvas *canvas = side->panel->canvas;
    const BlyOutcome *o = &side->lure.facts->outcome;
    const double arrow = 7;
    *gravity =
        point_on_paper(side, &side->lure, o->has_surface ? o->surface.gravity : o->sums.gravity);
    *buoyancy =
        point_on_paper(side, &side->lure, o->has_surface ? o->surface.buoyancy : o->sums.buoyancy);
    canvas_line(canvas, "arm", 0, *gravity, *buoyancy);
    canvas_arrow(canvas, *buoyancy, (Pt){buoyancy->x, buoyancy->y - arrow}, true);
    canvas_arrow(canvas, *gravity, (Pt){gravity->x, gravity->y + arrow}, false);
    canvas_circle(canvas, "up", *buoyancy, 0.95);
    canvas_circle(canvas, "down", *gravity, 0.5);
}

/* The body's axis and the level line through the hull's middle, and the arc between them. */
static void draw_angle(const Side *side) {
    Canvas *canvas = side->panel->canvas;
    const Lying *lying = &side->lure;
    const BlyBody *hull = lying->facts->lure.blank->hull;
    BlyBox box = bly_body_box(hull);
    double length = box.high.x - box.low.x, t = lying->aspect.t;
    double x = bly_body_solid(hull)->centroid.x;
    double aft = box.high.x + 0.08 * length - x, fore = box.low.x - 0.05 * length - x;
    Pt middle = bly_aspect_point(lying->aspect, bly_vec(x, 0, 0));
    const Pt axis[] = {
        on_paper(side, lying, (Pt){middle.x + fore * cos(t), middle.y + fore * sin(t)}),
        on_paper(side, lying, (Pt){middle.x + aft * cos(t), middle.y + aft * sin(t)})};
    canvas_line(canvas, "axis", 0, axis[0], axis[1]);
    if (fabs(t) < 0.2 * M_PI / 180)
        return;
    canvas_line(canvas, "level", 0, on_paper(side, lying, middle),
                on_paper(side, lying, (Pt){middle.x + aft, middle.y}));
    Pt arc[33];
    double radius = fabs(t) < M_PI / 3 ? aft - 0.03 * length : 0.2 * length;
    for (int i = 0; i <= 32; i++) {
        double a = t * i / 32;
        arc[i] =
            on_paper(side, lying, (Pt){middle.x + radius * cos(a), middle.y + radius * sin(a)});
    }
    canvas_path(canvas, "level", 0.3, arc, 33, false);
}

/* Hooks and lips are named below them; the rest where it is nearer. */
static bool is_named_above(const Side *side, int seat) {
    const BlySheetFacts *facts = side->lure.facts;
    const BlyChosenPart *piece = facts->rig->at[seat].of;
    if (piece[BLY_PART_HOOK].part != NULL || piece[BLY_PART_SHEET].part != NULL)
        return false;
    Pt surface = point_on_paper(
        side, &side->lure,
        bly_seat_surface(facts->lure.blank, &facts->build->seats[seat], facts->rig->at[seat].x));
    Pt middle = on_paper(side, &side->lure, middle_of(facts, side->lure.aspect));
    return surface.y < middle.y + 1;
}

static void name_seat(const Side *side, int seat, RowLabels *above, RowLabels *below) {
    const BlySheetFacts *facts = side->lure.facts;
    char text[64], brief[8];
    seat_words(facts, seat, text, brief);
    bool up = is_named_above(side, seat);
    Pt at;
    if (bly_figure_seat_spot(&side->lure.figure, seat, up, &at))
        at = on_paper(side, &side->lure, at);
    else
        at = point_on_paper(side, &side->lure,
                            bly_seat_surface(facts->lure.blank, &facts->build->seats[seat],
                                             facts->rig->at[seat].x));
    row_labels_add(up ? above : below, at, brief, text);
}

static void draw_labels(const Side *side, Pt gravity, Pt buoyancy) {
    RowLabels above = {0}, below = {0};
    const Box *box = &side->panel->box;
    for (int s = 0; s < (int)side->lure.facts->build->seat_count; s++)
        name_seat(side, s, &above, &below);
    row_labels_add(&above, buoyancy, "B", "B buoyancy");
    row_labels_add(&above, gravity, "W", "W weight");
    double left = box->x + 1.5, right = box->x + box->w - margin_right;
    row_labels_draw(&above, side->panel->canvas, left, right, box->y + 4);
    row_labels_draw(&below, side->panel->canvas, left, right, box->y + box->h - foot_row - 1.5);
}

/* A speed and, on a line of its own, the other way to say it. */
static double say_speed(Canvas *canvas, double x, double y, double width, char *words) {
    char *other = strstr(words, " (");
    if (other != NULL)
        *other = '\0';
    y = flow_paragraph(canvas, TEXT_SMALL, x, y, width, words);
    return other == NULL ? y : flow_paragraph(canvas, TEXT_SMALL, x, y, width, other + 1);
}

/* To the right: which way it goes and how fast, and the angle. */
static void draw_margin(const Side *side) {
    const Panel *panel = side->panel;
    const BlyOutcome *o = &side->lure.facts->outcome;
    double width = margin_right - 3, x = panel->box.x + panel->box.w - margin_right + 1.5;
    double y = panel->box.y + 4;
    char text[WORDS_MAX], words[WORDS_MAX];
    (void)canvas_text(panel->canvas, TEXT_STRONG, ANCHOR_START, (Pt){x, y}, width,
                      o->has_surface ? "floats" : drift_words(o->drift));
    y += text_pitch(TEXT_STRONG);
    attitude_words(o->has_surface ? o->surface.nose_down : o->nose_down, words);
    y = flow_paragraph(panel->canvas, TEXT_SMALL, x, y, width, words);
    if (o->has_surface && o->surface.upright_unstable) {
        (void)snprintf(text, sizeof text, "rolls over by %.0f deg",
                       fabs(o->surface.heel) * 180 / M_PI);
        y = flow_paragraph(panel->canvas, TEXT_SMALL, x, y, width, text);
    }
    if (o->has_surface) {
        (void)bly_format(text, sizeof text, "%.1f %% above water", o->surface.shows * 100);
        y = flow_paragraph(panel->canvas, TEXT_SMALL, x, y, width, text);
    } else {
        speed_words(o->drift, panel->system, text);
        y = say_speed(panel->canvas, x, y, width, text);
    }
    small_mass_words(o->sums.net_weight, panel->system, true, words);
    (void)snprintf(text, sizeof text, "%.120s in water", words);
    y = flow_paragraph(panel->canvas, TEXT_SMALL, x, y, width, text);
    (void)bly_format(text, sizeof text, "roll arm %.2f mm",
                     1e3 * (o->has_surface ? o->surface.roll_height : o->roll_arm));
    if (!o->has_surface)
        y = flow_paragraph(panel->canvas, TEXT_SMALL, x, y, width, text);
    if (!o->has_surface && o->state != BLY_SUSPENDS) {
        double way = o->drift > 0 ? 1 : -1, top = y + (way > 0 ? 0 : 8);
        canvas_arrow(panel->canvas, (Pt){x + 3, top}, (Pt){x + 3, top + way * 8}, false);
    }
}

static void draw_foot(const Side *side) {
    const Panel *panel = side->panel;
    char scale[WORDS_MAX], water[WORDS_MAX], text[3 * WORDS_MAX];
    double y = panel->box.y + panel->box.h - 1.6, x = panel->box.x + 1.5;
    double bar = 1e-2 * side->view.scale;
    int centimetres = 1;
    while (bar * centimetres < 8)
        centimetres *= 2;
    while (bar * centimetres > 40)
        bar *= 0.1;
    bar *= centimetres;
    canvas_line(panel->canvas, "rule", 0.5, (Pt){x, y - 0.8}, (Pt){x + bar, y - 0.8});
    scale_words(1e-3 * side->view.scale, scale);
    water_words(&side->lure.facts->outcome.water, panel->system, water);
    (void)bly_format(
        text, sizeof text, "%.3g mm; drawn %s; %s; %s%s", 1e3 * bar / side->view.scale, scale,
        side->lure.facts->outcome.has_surface ? "at rest at the surface" : "at rest under water",
        water, side->before.facts != NULL ? "; dashed: before" : "");
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x + bar + 1.5, y},
                      panel->box.w - bar - 4, text);
}

static View view_of(const Side *side, const Lying *lying) {
    View view = side->view;
    view.origin.x += view.scale * lying->shift.x;
    view.origin.y -= view.scale * lying->shift.y;
    return view;
}

void side_draw(const Panel *panel) {
    Side side;
    Canvas *canvas = panel->canvas;
    if (!side_make(panel, &side)) {
        canvas->svg.failed = true;
        return;
    }
    set_view(&side);
    canvas_clip(canvas, panel->box);
    draw_water(&side);
    View view = view_of(&side, &side.lure);
    figure_draw(&side.lure.figure, &view, canvas);
    if (side.before.facts != NULL) {
        view = view_of(&side, &side.before);
        canvas_group(canvas, "before");
        figure_draw(&side.before.figure, &view, canvas);
        canvas_group_end(canvas);
    }
    Pt gravity, buoyancy;
    draw_surface(&side);
    draw_angle(&side);
    draw_centres(&side, &gravity, &buoyancy);
    canvas_group_end(canvas);
    draw_labels(&side, gravity, buoyancy);
    draw_margin(&side);
    draw_foot(&side);
    canvas_rect(canvas, "frame", panel->box);
    side_release(&side);
}
