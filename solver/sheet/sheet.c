/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ways into the room: one view alone, or the bench sheet. */
#include "sheet/pages.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double view_width = 170, view_margin = 4, head = 9; /* mm */

typedef struct ViewKind {
    const char *name, *title;
    double (*height)(const Panel *panel, double width);
    void (*draw)(const Panel *panel);
} ViewKind;

static const ViewKind kinds[BLY_SHEET_VIEWS] = {
    [BLY_VIEW_PAGE] = {"page", "", NULL, NULL},
    [BLY_VIEW_SIDE] = {"side", "at rest", side_height, side_draw},
    [BLY_VIEW_OUTLINES] = {"outlines", "outlines", outlines_height, outlines_draw},
    [BLY_VIEW_CURVES] = {"curves", "curves", curves_height, curves_draw},
    [BLY_VIEW_INFLUENCE] = {"influence", "what a little more does", influence_height,
                            influence_draw},
    [BLY_VIEW_TOW] = {"tow", "on the line, an estimate", towing_height, towing_draw},
    [BLY_VIEW_CHANCE] = {"chance", "how sure it is", chance_height, chance_draw},
};

const char *sheet_view_name(BlySheetView view) {
    return (unsigned)view < BLY_SHEET_VIEWS ? kinds[view].name : "";
}

bool bly_sheet_view_read(const char *name, BlySheetView *out) {
    for (int i = 0; i < BLY_SHEET_VIEWS; i++) {
        if (strcmp(kinds[i].name, name) == 0) {
            *out = (BlySheetView)i;
            return true;
        }
    }
    return false;
}

static const char *const papers[BLY_PAPERS] = {"a4", "letter"};

const char *paper_name(BlyPaper paper) {
    return (unsigned)paper < BLY_PAPERS ? papers[paper] : "";
}

bool bly_paper_read(const char *name, BlyPaper *out) {
    for (int i = 0; i < BLY_PAPERS; i++) {
        if (strcmp(papers[i], name) == 0) {
            *out = (BlyPaper)i;
            return true;
        }
    }
    return false;
}

static void draw_alone(Pages *pages, Panel *panel, const ViewKind *kind) {
    const char *name = panel->facts->build->name;
    double width = view_width - 2 * view_margin, high = kind->height(panel, width);
    Canvas *canvas =
        isnan(high) ? NULL : pages_add(pages, view_width, high + head + view_margin, name);
    pages->failed = canvas == NULL;
    if (canvas == NULL)
        return;
    panel->canvas = canvas;
    panel->box = (Box){view_margin, head, width, high};
    double title = text_width(TEXT_SMALL, kind->title);
    (void)canvas_text(canvas, TEXT_HEAD, ANCHOR_START, (Pt){view_margin, 6}, width - title - 4,
                      name);
    (void)canvas_text(canvas, TEXT_SMALL, ANCHOR_END, (Pt){view_margin + width, 6}, 0, kind->title);
    kind->draw(panel);
}

bool bly_sheet_draw(const BlySheetFacts *facts, const BlySheetFacts *after,
                    const BlySheetOrder *order, BlySheet *out, BlyError *err) {
    Pages pages = {0};
    Panel panel = {.facts = facts, .after = after, .system = order->system};
    if ((unsigned)order->view >= BLY_SHEET_VIEWS || (unsigned)order->paper >= BLY_PAPERS)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "no such view or paper");
    if (order->view == BLY_VIEW_PAGE)
        flow_draw(&pages, facts, after, order);
    else
        draw_alone(&pages, &panel, &kinds[order->view]);
    return pages_finish(&pages, out, err);
}

void bly_sheet_facts_release(BlySheetFacts *facts) {
    bly_lure_release(&facts->lure);
    free(facts->influence);
    free(facts->spread);
    free(facts->towed);
    bly_slips_release(&facts->slips);
    *facts = (BlySheetFacts){0};
}
