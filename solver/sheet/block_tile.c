/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing at life size: the bare body from the side and from below, as templates for the blank,
 * with the seats marked. A long lure breaks into pieces, stacked or on further pages, with marks to
 * join them by. */
#include "sheet/flow.h"
#include "sheet/rowlabels.h"
#include "text/format.h"

#include <stdio.h>
#include <gsl/gsl_math.h>

static const double mm = 1e3;                                                  /* a metre's */
static const double row = 6, ruler = 8, between = 4, air = 2, join_head = 4.5; /* mm of paper */

typedef struct Tile {
    Flow *flow;
    Figure side, below;
    Bounds s, b;
    double left, right; /* m: both views together */
    size_t count;       /* pieces */
    double piece;       /* m a piece */
} Tile;

static void tile_release(Tile *tile) {
    bly_figure_release(&tile->side);
    bly_figure_release(&tile->below);
}

static bool tile_make(Flow *flow, Tile *tile) {
    const BlySheetFacts *facts = flow->shown;
    *tile = (Tile){.flow = flow};
    if (!facts_figure(facts, (Aspect){0}, FIGURE_BARE | FIGURE_PIECES | FIGURE_LIP | FIGURE_EYES,
                      &tile->side, NULL) ||
        !facts_figure(facts, (Aspect){.h = M_PI_2},
                      FIGURE_BARE | FIGURE_PIECES | FIGURE_LIP | FIGURE_METAL | FIGURE_EYES,
                      &tile->below, NULL) ||
        !bly_figure_bounds(&tile->side, &tile->s) || !bly_figure_bounds(&tile->below, &tile->b)) {
        tile_release(tile);
        return false;
    }
    tile->left = fmin(tile->s.left, tile->b.left);
    tile->right = fmax(tile->s.right, tile->b.right);
    double usable = (flow->right - flow->left - 2 * air) / mm;
    tile->count = (size_t)fmax(1, ceil((tile->right - tile->left) / usable - 1e-9));
    tile->piece = (tile->right - tile->left) / (double)tile->count;
    return true;
}

static double tile_height(const Tile *tile) {
    double side = mm * (tile->s.high - tile->s.low), below = mm * (tile->b.high - tile->b.low);
    return (tile->count > 1 ? join_head : 0) + side + row + ruler + between + below + 2 * air;
}

/* Pieces join at a line that both of them carry, with its number and a diamond laid half on either:
 * when the halves make a whole one, the pieces lie right. It stands where no text does. */
static void draw_join(const Tile *tile, double x, Box box, size_t number, bool at_left) {
    char text[32];
    Canvas *canvas = tile->flow->canvas;
    (void)snprintf(text, sizeof text, "join %zu", number);
    canvas_line(canvas, "join", 0, (Pt){x, box.y}, (Pt){x, box.y + box.h});
    (void)canvas_text(canvas, TEXT_SMALL, at_left ? ANCHOR_START : ANCHOR_END,
                      (Pt){at_left ? x + 1 : x - 1, box.y + 2.6}, 0, text);
    double y = box.y + box.h - air - mm * (tile->b.high - tile->b.low) - 0.5 * between;
    const Pt diamond[] = {{x, y - 2}, {x + 2, y}, {x, y + 2}, {x - 2, y}};
    canvas_path(canvas, "rule", 0, diamond, 4, true);
}

/* Millimetres from the nose, numbered each centimetre. */
static void draw_ruler(const Tile *tile, const View *view, double from, double to, double y) {
    Canvas *canvas = tile->flow->canvas;
    BlyBox box = bly_body_box(tile->flow->shown->lure.blank->bare);
    int first = (int)ceil(mm * fmax(from, box.low.x) - 1e-6);
    int last = (int)floor(mm * fmin(to, box.high.x) + 1e-6);
    for (int i = first; i <= last; i++) {
        double x = view_point(view, (Pt){1e-3 * i, 0}).x;
        double tick = i % 10 == 0 ? 2.6 : i % 5 == 0 ? 1.9 : 1.1;
        canvas_line(canvas, "rule", 0.12, (Pt){x, y}, (Pt){x, y + tick});
        char text[16];
        (void)snprintf(text, sizeof text, "%d", i);
        double half = 0.5 * text_width(TEXT_SMALL, text);
        double air_left = tile->count > 1 ? 0 : half, left = view_point(view, (Pt){from, 0}).x,
               right = view_point(view, (Pt){to, 0}).x;
        left -= air_left;
        right += air_left;
        if (i % 10 == 0 && x - half >= left && x + half <= right)
            (void)canvas_text(canvas, TEXT_SMALL, ANCHOR_MIDDLE, (Pt){x, y + 5.2}, 0, text);
    }
}

static void draw_seats(const Tile *tile, const View *side, const View *below, double from,
                       double to, double baseline) {
    const BlySheetFacts *facts = tile->flow->shown;
    RowLabels labels = {0};
    for (int s = 0; s < (int)facts->build->seat_count; s++) {
        char name[64], brief[8], text[96];
        double x = facts->rig->at[s].x;
        if (x < from - 1e-9 || x > to + 1e-9)
            continue;
        BlyVec3 surface = bly_seat_surface(facts->lure.blank, &facts->build->seats[s], x);
        if (!isfinite(surface.z))
            continue;
        Pt at = view_point(side, (Pt){x, surface.z});
        Pt under = view_point(below, (Pt){x, 0});
        canvas_circle(tile->flow->canvas, "seat", at, 0.6);
        canvas_line(tile->flow->canvas, "rule", 0, (Pt){under.x, under.y - 1.5},
                    (Pt){under.x, under.y + 1.5});
        seat_words(facts, s, name, brief);
        (void)bly_format(text, sizeof text, "%.40s %.1f", name, mm * x + 0.0);
        row_labels_add(&labels, at, brief, text);
    }
    row_labels_draw(&labels, tile->flow->canvas, tile->flow->left + air, tile->flow->right - air,
                    baseline);
}

/* A piece is cut where the next one joins, and nowhere else: ends keep the whole of their lines. */
static Box clip_of(const Tile *tile, size_t number, Box box) {
    const double edge = 1;
    if (number == 0) {
        box.x -= edge;
        box.w += edge;
    }
    if (number + 1 == tile->count)
        box.w += edge;
    return box;
}

static void draw_piece(const Tile *tile, size_t number) {
    Flow *flow = tile->flow;
    double from = tile->left + (double)number * tile->piece, to = from + tile->piece;
    double high = tile_height(tile), y = flow->y + air + (tile->count > 1 ? join_head : 0);
    double width = mm * tile->piece;
    double x = flow->left + 0.5 * (flow->right - flow->left - width);
    View side = {mm, {x - mm * from, y + mm * tile->s.high}};
    double after_side = y + mm * (tile->s.high - tile->s.low);
    View below = {mm, {x - mm * from, after_side + row + ruler + between + mm * tile->b.high}};
    Box box = {x, flow->y, width, high};
    canvas_clip(flow->canvas, clip_of(tile, number, box));
    figure_draw(&tile->side, &side, flow->canvas);
    figure_draw(&tile->below, &below, flow->canvas);
    canvas_line(flow->canvas, "axis", 0, (Pt){x, side.origin.y}, (Pt){x + width, side.origin.y});
    canvas_line(flow->canvas, "axis", 0, (Pt){x, below.origin.y}, (Pt){x + width, below.origin.y});
    canvas_group_end(flow->canvas);
    draw_seats(tile, &side, &below, from, to, after_side + row - 1);
    draw_ruler(tile, &side, from, to, after_side + row + 1.2);
    if (number > 0)
        draw_join(tile, x, box, number, true);
    if (number + 1 < tile->count)
        draw_join(tile, x + width, box, number + 1, false);
    flow->y += high;
}

void block_life_size(Flow *flow) {
    Tile tile;
    if (!tile_make(flow, &tile)) {
        flow->pages->failed = true;
        return;
    }
    double high = tile_height(&tile), words = 2 * text_pitch(TEXT_SMALL);
    bool fits = words + high + 20 < flow->bottom - flow->top;
    if (flow_heading(flow, "Life size", words + (fits ? high : 0))) {
        flow_say(flow, TEXT_SMALL,
                 fits ? "The bare blank from the side and, further down, from below; coats come "
                        "on top. Seats are in mm from the nose."
                      : "The body is too high for a drawing at life size on this paper; written as "
                        ".stl it is at life size on any.");
        for (size_t i = 0; fits && i < tile.count && flow_need(flow, high); i++)
            draw_piece(&tile, i);
    }
    tile_release(&tile);
}
