/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces that a blank is glued of, as a table of the bench sheet. */
#include "sheet/flow.h"
#include "text/text.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>

enum { CELL_MAX = 96 };

static double mm(double si) {
    double shown = 1e3 * si;
    return fabs(shown) < 0.005 ? 0.0 : shown;
}

static void put_range(BlyText *text, const char *axis, const double range[2], double open) {
    bool from = range[0] > open, to = range[1] < INFINITY;
    if (from && to)
        bly_text_appendf(text, ", %s %.1f to %.1f mm", axis, mm(range[0]), mm(range[1]));
    else if (from)
        bly_text_appendf(text, ", %s from %.1f mm", axis, mm(range[0]));
    else if (to)
        bly_text_appendf(text, ", %s up to %.1f mm", axis, mm(range[1]));
}

static void put_form(BlyText *text, const BlyForm *form, size_t count) {
    BlyVec3 at = bly_form_centre(form), size = bly_vec_sub(form->to, form->from);
    double wide = 2.0 * form->radius;
    bool across = form->from.y != form->to.y;
    const char *s = count > 1 ? "s" : "";
    if (count > 1)
        bly_text_appendf(text, "%zu ", count);
    if (form->kind == BLY_FORM_BALL)
        bly_text_appendf(text, "ball%s %.1f mm", s, mm(wide));
    else if (form->kind == BLY_FORM_BOX)
        bly_text_appendf(text, "%s of %.1f x %.1f x %.1f mm", count > 1 ? "boxes" : "box",
                         mm(size.x), mm(size.y), mm(size.z));
    else if (across)
        bly_text_appendf(text, "disc%s %.1f x %.1f mm", s, mm(wide), mm(size.y));
    else
        bly_text_appendf(text, "rod%s %.1f mm", s, mm(wide));
    if (form->kind == BLY_FORM_ROD && !across)
        bly_text_appendf(text, ", x %.1f, z %.1f to x %.1f, z %.1f mm", mm(form->from.x),
                         mm(form->from.z), mm(form->to.x), mm(form->to.z));
    else
        bly_text_appendf(text, ", x %.1f, z %.1f mm", mm(at.x), mm(at.z));
}

/* "layer, z up to -3.0 mm", "2 ball 5.0 mm, x 36.0, z -4.0 mm". */
static void where_words(const BlyInset *inset, char out[CELL_MAX]) {
    BlyText text;
    bly_text_init(&text);
    if (inset->is_layer) {
        bly_text_appendf(&text, "layer");
        put_range(&text, "x", inset->zone.x, -INFINITY);
        put_range(&text, "z", inset->zone.z, -INFINITY);
        put_range(&text, "off the middle", inset->zone.off, 0.0);
    } else {
        put_form(&text, &inset->form[0], inset->form_count);
    }
    (void)snprintf(out, CELL_MAX, "%s", bly_text_good(&text, NULL) ? bly_text_string(&text) : "");
    bly_text_release(&text);
}

/* The body's own material is the last row. */
static void piece_row(Flow *flow, const Table *table, double top, size_t row, const void *user) {
    const BlyBlank *blank = user;
    const BlyBodyFacts *facts = &blank->facts;
    char where[CELL_MAX] = "the rest", volume[CELL_MAX], mass[CELL_MAX], give[CELL_MAX];
    const char *name = "its own material";
    BlyFigure weighs = {blank->items[0].mass, blank->items[0].mass_give};
    double fills = weighs.value / blank->body_density;
    (void)flow;
    if (row < facts->inset_count) {
        const BlyInset *inset = &facts->insets[row];
        name = inset->name;
        weighs = bly_inset_weighs(inset, facts->volume_share.value);
        fills = bly_inset_own(inset, facts->volume_share.value).volume;
        where_words(inset, where);
    }
    (void)bly_format(volume, sizeof volume, "%.2f cm3", 1e6 * fills);
    (void)bly_format(mass, sizeof mass, "%.2f g", 1e3 * weighs.value);
    (void)bly_format(give, sizeof give, "+/- %.2f g", 1e3 * weighs.give);
    const char *const cells[] = {name, where, volume, mass, give};
    table_row(table, top, cells);
}

void block_blank(Flow *flow) {
    const BlyBlank *blank = flow->shown->lure.blank;
    double rest = flow->right - flow->left - 34 - 20 - 18 - 22;
    const Column columns[] = {{"piece", 34, ANCHOR_START},
                              {"where", rest, ANCHOR_START},
                              {"material", 20, ANCHOR_END},
                              {"mass", 18, ANCHOR_END},
                              {"tolerance", 22, ANCHOR_END}};
    if (blank->facts.inset_count > 0)
        flow_table(flow, "The blank is glued of", columns, 5, blank->facts.inset_count + 1,
                   bly_table_pitch, piece_row, blank);
}
