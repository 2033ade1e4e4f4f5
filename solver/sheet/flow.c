/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/flow.h"

#include <stdio.h>
#include <string.h>

static const double margin = 12, head_first = 9, head_later = 6, foot = 13, gap = 4; /* mm */

static void draw_head(Flow *flow) {
    char text[WORDS_MAX];
    const char *name = flow->facts->build->name;
    bool first = flow->page == 1;
    double width = flow->right - flow->left, y = margin + (first ? 4 : 2);
    if (flow->page_count > 0)
        (void)snprintf(text, sizeof text, "bench sheet, page %zu of %zu", flow->page,
                       flow->page_count);
    else
        (void)snprintf(text, sizeof text, "bench sheet, page %zu", flow->page);
    double used = canvas_text(flow->canvas, TEXT_SMALL, ANCHOR_END, (Pt){flow->right, y}, 0, text);
    double room = width - used - 4;
    TextStyle style = first ? TEXT_TITLE : TEXT_STRONG;
    while (style > TEXT_STRONG && text_width(style, name) > room)
        style--;
    (void)canvas_text(flow->canvas, style, ANCHOR_START, (Pt){flow->left, y}, room, name);
    y += first ? 2.5 : 1.5;
    canvas_line(flow->canvas, "rule", 0, (Pt){flow->left, y}, (Pt){flow->right, y});
}

/* A bar of 50 mm on every page: a printer that fits pages to the paper spoils the scale. */
static void draw_check_bar(Flow *flow) {
    double y = flow->height - margin + 2, x = flow->left;
    canvas_line(flow->canvas, "rule", 0.4, (Pt){x, y}, (Pt){x + 50, y});
    for (int i = 0; i <= 10; i++) {
        double tick = i % 10 == 0 ? 3 : i % 2 == 0 ? 2 : 1.2;
        canvas_line(flow->canvas, "rule", 0, (Pt){x + 5 * i, y - tick}, (Pt){x + 5 * i, y});
    }
    (void)canvas_text(flow->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x + 53, y}, flow->right - x - 53,
                      "Print at 100 %, not fitted to the page: this bar must measure 50 mm.");
}

static bool open_page(Flow *flow) {
    flow->canvas = pages_add(flow->pages, flow->width, flow->height, flow->facts->build->name);
    if (flow->canvas == NULL)
        return false;
    flow->page++;
    draw_head(flow);
    draw_check_bar(flow);
    flow->top = margin + (flow->page == 1 ? head_first : head_later);
    flow->y = flow->top;
    return true;
}

bool flow_need(Flow *flow, double height) {
    if (flow->canvas == NULL)
        return false;
    if (flow->y + height <= flow->bottom || flow->y <= flow->top)
        return true;
    return open_page(flow);
}

bool flow_heading(Flow *flow, const char *text, double height) {
    double own = text_pitch(TEXT_HEAD) + 1;
    if (flow->y > flow->top)
        flow->y += gap;
    if (!flow_need(flow, own + height))
        return false;
    (void)canvas_text(flow->canvas, TEXT_HEAD, ANCHOR_START, (Pt){flow->left, flow->y + 3},
                      flow->right - flow->left, text);
    flow->y += own;
    return true;
}

void flow_say(Flow *flow, TextStyle style, const char *text) {
    double width = flow->right - flow->left, pitch = text_pitch(style);
    double lines = (double)paragraph_lines(style, width, text);
    if (!flow_need(flow, lines * pitch))
        return;
    flow->y = flow_paragraph(flow->canvas, style, flow->left, flow->y + 0.75 * pitch, width, text) -
              0.75 * pitch;
}

void flow_table(Flow *flow, const char *heading, const Column *columns, size_t count, size_t rows,
                double row_height, FlowRow put, const void *user) {
    size_t together = rows < 4 ? rows : 4; /* rows that stay with the head */
    if (!flow_heading(flow, heading, bly_table_pitch + (double)together * row_height))
        return;
    Table table = {flow->canvas, columns, count, flow->left};
    table_head(&table, flow->y);
    flow->y += bly_table_pitch;
    for (size_t i = 0; i < rows; i++) {
        size_t page = flow->page;
        if (!flow_need(flow, row_height))
            return;
        table.canvas = flow->canvas;
        if (flow->page != page) {
            table_head(&table, flow->y);
            flow->y += bly_table_pitch;
        }
        put(flow, &table, flow->y, i, user);
        flow->y += row_height;
    }
}

typedef struct PanelKind {
    const char *heading;
    double (*height)(const Panel *panel, double width);
    void (*draw)(const Panel *panel);
} PanelKind;

static void put_panel(Flow *flow, const PanelKind *kind) {
    Panel panel = {.facts = flow->facts, .after = flow->after, .system = flow->order->system};
    double width = flow->right - flow->left, height = kind->height(&panel, width);
    if (isnan(height))
        flow->pages->failed = true;
    if (isnan(height) || !flow_heading(flow, kind->heading, height))
        return;
    panel.canvas = flow->canvas;
    panel.box = (Box){flow->left, flow->y, width, height};
    kind->draw(&panel);
    flow->y += height;
}

static void put_blocks(Flow *flow) {
    static const PanelKind side = {"At rest in its water", side_height, side_draw};
    static const PanelKind outlines = {"Outlines", outlines_height, outlines_draw};
    static const PanelKind curves = {"Curves", curves_height, curves_draw};
    static const PanelKind influence = {"What a little more at each seat does", influence_height,
                                        influence_draw};
    static const PanelKind chance = {"How sure it is", chance_height, chance_draw};
    if (!open_page(flow))
        return;
    block_doing(flow);
    put_panel(flow, &side);
    block_life_size(flow);
    block_seats(flow);
    block_blank(flow);
    block_parts(flow);
    block_ladder(flow);
    block_templates(flow);
    block_cautions(flow);
    put_panel(flow, &outlines);
    put_panel(flow, &curves);
    put_panel(flow, &chance);
    put_panel(flow, &influence);
}

static Flow flow_of(Pages *pages, const BlySheetFacts *facts, const BlySheetFacts *after,
                    const BlySheetOrder *order) {
    bool a4 = order->paper == BLY_PAPER_A4;
    Flow flow = {.pages = pages,
                 .facts = facts,
                 .after = after,
                 .shown = after != NULL ? after : facts,
                 .order = order,
                 .width = a4 ? 210 : 215.9,
                 .height = a4 ? 297 : 279.4};
    flow.left = margin;
    flow.right = flow.width - margin;
    flow.bottom = flow.height - foot - 3;
    return flow;
}

/* Once to count the pages, once to draw them. */
void flow_draw(Pages *pages, const BlySheetFacts *facts, const BlySheetFacts *after,
               const BlySheetOrder *order) {
    Pages trial = {0};
    BlySheet counted = {0};
    Flow flow = flow_of(&trial, facts, after, order);
    put_blocks(&flow);
    size_t count = flow.page;
    if (!pages_finish(&trial, &counted, NULL)) {
        pages->failed = true;
        return;
    }
    bly_sheet_release(&counted);
    flow = flow_of(pages, facts, after, order);
    flow.page_count = count;
    put_blocks(&flow);
}
