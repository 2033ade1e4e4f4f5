/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/bench.h"

#include <string.h>

static const double margin = 12, head_first = 9, head_later = 6, foot = 13, gap = 4; /* mm */

static void draw_head(Bench *bench) {
    char text[WORDS_MAX];
    const char *name = bench->facts->build->name;
    bool first = bench->page == 1;
    double width = bench->right - bench->left, y = margin + (first ? 4 : 2);
    if (bench->page_count > 0)
        (void)snprintf(text, sizeof text, "bench sheet, page %zu of %zu", bench->page,
                       bench->page_count);
    else
        (void)snprintf(text, sizeof text, "bench sheet, page %zu", bench->page);
    double used =
        bly_canvas_text(bench->canvas, TEXT_SMALL, ANCHOR_END, (Pt){bench->right, y}, 0, text);
    double room = width - used - 4;
    TextStyle style = first ? TEXT_TITLE : TEXT_STRONG;
    while (style > TEXT_STRONG && bly_text_width(style, name) > room)
        style--;
    (void)bly_canvas_text(bench->canvas, style, ANCHOR_START, (Pt){bench->left, y}, room, name);
    y += first ? 2.5 : 1.5;
    bly_canvas_line(bench->canvas, "rule", 0, (Pt){bench->left, y}, (Pt){bench->right, y});
}

/* A bar of 50 mm on every page: a printer that fits pages to the paper spoils the scale. */
static void draw_check_bar(Bench *bench) {
    double y = bench->height - margin + 2, x = bench->left;
    bly_canvas_line(bench->canvas, "rule", 0.4, (Pt){x, y}, (Pt){x + 50, y});
    for (int i = 0; i <= 10; i++) {
        double tick = i % 10 == 0 ? 3 : i % 2 == 0 ? 2 : 1.2;
        bly_canvas_line(bench->canvas, "rule", 0, (Pt){x + 5 * i, y - tick}, (Pt){x + 5 * i, y});
    }
    (void)bly_canvas_text(bench->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x + 53, y},
                          bench->right - x - 53,
                          "Print at 100 %, not fitted to the page: this bar must measure 50 mm.");
}

static bool open_page(Bench *bench) {
    bench->canvas =
        bly_pages_add(bench->pages, bench->width, bench->height, bench->facts->build->name);
    if (bench->canvas == NULL)
        return false;
    bench->page++;
    draw_head(bench);
    draw_check_bar(bench);
    bench->top = margin + (bench->page == 1 ? head_first : head_later);
    bench->y = bench->top;
    return true;
}

bool bly_bench_need(Bench *bench, double height) {
    if (bench->canvas == NULL)
        return false;
    if (bench->y + height <= bench->bottom || bench->y <= bench->top)
        return true;
    return open_page(bench);
}

bool bly_bench_heading(Bench *bench, const char *text, double height) {
    double own = bly_text_pitch(TEXT_HEAD) + 1;
    if (bench->y > bench->top)
        bench->y += gap;
    if (!bly_bench_need(bench, own + height))
        return false;
    (void)bly_canvas_text(bench->canvas, TEXT_HEAD, ANCHOR_START, (Pt){bench->left, bench->y + 3},
                          bench->right - bench->left, text);
    bench->y += own;
    return true;
}

void bly_bench_say(Bench *bench, TextStyle style, const char *text) {
    double width = bench->right - bench->left, pitch = bly_text_pitch(style);
    double lines = (double)bly_paragraph_lines(style, width, text);
    if (!bly_bench_need(bench, lines * pitch))
        return;
    bench->y =
        bly_paragraph(bench->canvas, style, bench->left, bench->y + 0.75 * pitch, width, text) -
        0.75 * pitch;
}

void bly_bench_table(Bench *bench, const char *heading, const Column *columns, size_t count,
                     size_t rows, double row_height, BenchRow put, const void *user) {
    size_t together = rows < 4 ? rows : 4; /* rows that stay with the head */
    if (!bly_bench_heading(bench, heading, bly_table_pitch + (double)together * row_height))
        return;
    Table table = {bench->canvas, columns, count, bench->left};
    bly_table_head(&table, bench->y);
    bench->y += bly_table_pitch;
    for (size_t i = 0; i < rows; i++) {
        size_t page = bench->page;
        if (!bly_bench_need(bench, row_height))
            return;
        table.canvas = bench->canvas;
        if (bench->page != page) {
            bly_table_head(&table, bench->y);
            bench->y += bly_table_pitch;
        }
        put(bench, &table, bench->y, i, user);
        bench->y += row_height;
    }
}

typedef struct PanelKind {
    const char *heading;
    double (*height)(const Panel *panel, double width);
    void (*draw)(const Panel *panel);
} PanelKind;

static void put_panel(Bench *bench, const PanelKind *kind) {
    Panel panel = {.facts = bench->facts, .after = bench->after, .system = bench->order->system};
    double width = bench->right - bench->left, height = kind->height(&panel, width);
    if (isnan(height))
        bench->pages->failed = true;
    if (isnan(height) || !bly_bench_heading(bench, kind->heading, height))
        return;
    panel.canvas = bench->canvas;
    panel.box = (Box){bench->left, bench->y, width, height};
    kind->draw(&panel);
    bench->y += height;
}

static void put_blocks(Bench *bench) {
    static const PanelKind side = {"At rest in its water", bly_side_height, bly_side_draw};
    static const PanelKind outlines = {"Outlines", bly_outlines_height, bly_outlines_draw};
    static const PanelKind curves = {"Curves", bly_curves_height, bly_curves_draw};
    static const PanelKind influence = {"What a little more at each seat does",
                                        bly_influence_height, bly_influence_draw};
    static const PanelKind chance = {"How sure it is", bly_chance_height, bly_chance_draw};
    if (!open_page(bench))
        return;
    bly_bench_doing(bench);
    put_panel(bench, &side);
    bly_bench_life_size(bench);
    bly_bench_seats(bench);
    bly_bench_blank(bench);
    bly_bench_parts(bench);
    bly_bench_ladder(bench);
    bly_bench_templates(bench);
    bly_bench_cautions(bench);
    put_panel(bench, &outlines);
    put_panel(bench, &curves);
    put_panel(bench, &chance);
    put_panel(bench, &influence);
}

static Bench bench_of(Pages *pages, const BlySheetFacts *facts, const BlySheetFacts *after,
                      const BlySheetOrder *order) {
    bool a4 = order->paper == BLY_PAPER_A4;
    Bench bench = {.pages = pages,
                   .facts = facts,
                   .after = after,
                   .shown = after != NULL ? after : facts,
                   .order = order,
                   .width = a4 ? 210 : 215.9,
                   .height = a4 ? 297 : 279.4};
    bench.left = margin;
    bench.right = bench.width - margin;
    bench.bottom = bench.height - foot - 3;
    return bench;
}

/* Once to count the pages, once to draw them. */
void bly_bench_draw(Pages *pages, const BlySheetFacts *facts, const BlySheetFacts *after,
                    const BlySheetOrder *order) {
    Pages trial = {0};
    BlySheet counted = {0};
    Bench bench = bench_of(&trial, facts, after, order);
    put_blocks(&bench);
    size_t count = bench.page;
    if (!bly_pages_finish(&trial, &counted, NULL)) {
        pages->failed = true;
        return;
    }
    bly_sheet_release(&counted);
    bench = bench_of(pages, facts, after, order);
    bench.page_count = count;
    put_blocks(&bench);
}
