/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of the bench sheet: where the seats are, what goes on, what the scale should read. */
#include "sheet/flow.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL_MAX = 96 };

static void millimetres(double si, char out[CELL_MAX]) {
    (void)bly_format(out, CELL_MAX, "%.2f mm", 1e3 * si + 0.0);
}

/* "1.10 in, 1 7/64": as a caliper and as a rule say it. */
static void inches(double si, char out[CELL_MAX]) {
    long parts = lround(64 * si / 0.0254), whole = parts / 64, of = 64;
    parts = labs(parts) % 64;
    for (; parts > 0 && parts % 2 == 0; of /= 2)
        parts /= 2;
    int n = bly_format(out, CELL_MAX, "%.2f in", si / 0.0254 + 0.0);
    if (parts > 0 && whole != 0)
        (void)snprintf(out + n, CELL_MAX - (size_t)n, ", %ld %ld/%ld", whole, parts, of);
    else if (parts > 0)
        (void)snprintf(out + n, CELL_MAX - (size_t)n, ", %s%ld/%ld", si < 0 ? "-" : "", parts, of);
    else
        (void)snprintf(out + n, CELL_MAX - (size_t)n, ", %ld", whole);
}

static void mass_cell(const Flow *flow, double kg, char out[CELL_MAX]) {
    if (flow->order->system == BLY_INCH)
        (void)bly_format(out, CELL_MAX, "%.2f g / %.4f oz", 1e3 * kg, kg / 0.028349523125);
    else
        (void)bly_format(out, CELL_MAX, "%.2f g", 1e3 * kg);
}

/* --- seats ----------------------------------------------------------------------------------- */

static void seat_remark(const BlySeat *seat, const BlyChoice *choice, char out[CELL_MAX]) {
    out[0] = '\0';
    if (seat->kind == BLY_SEAT_SLOT)
        (void)bly_format(out, CELL_MAX, "%.0f deg below the axis, %.1f mm deep",
                         seat->angle * 57.295779513082321, 1e3 * seat->depth);
    else if (choice->of[BLY_PART_STRIP].part != NULL)
        (void)bly_format(out, CELL_MAX, "strip begins here, %.1f mm long", 1e3 * choice->length);
    else if (choice->of[BLY_PART_DOT].part != NULL)
        (void)snprintf(out, CELL_MAX, "middle of %d dots", choice->count);
    else if (seat->kind == BLY_SEAT_PATCH)
        (void)bly_format(out, CELL_MAX, "reaches to %.1f mm", 1e3 * seat->x_to);
}

static void seat_row(Flow *flow, const Table *table, double top, size_t row, const void *user) {
    (void)user;
    const BlySeat *seat = &flow->shown->build->seats[row];
    const BlyChoice *choice = &flow->shown->rig->at[row];
    char name[64], brief[8], mm[CELL_MAX], in[CELL_MAX], remark[CELL_MAX], kind[CELL_MAX];
    seat_words(flow->shown, (int)row, name, brief);
    (void)snprintf(kind, sizeof kind, "%s, %s", bly_seat_kind_name(seat->kind),
                   bly_seat_side_name(seat->side));
    millimetres(choice->x, mm);
    inches(choice->x, in);
    seat_remark(seat, choice, remark);
    const char *const cells[] = {name, kind, mm, in, remark};
    table_row(table, top, cells);
}

void block_seats(Flow *flow) {
    double rest = flow->right - flow->left - 42 - 26 - 20 - 34;
    const Column columns[] = {{"seat", 42, ANCHOR_START},
                              {"kind and side", 26, ANCHOR_START},
                              {"from the nose", 20, ANCHOR_END},
                              {"", 34, ANCHOR_END},
                              {"", rest, ANCHOR_START}};
    if (flow->shown->build->seat_count > 0)
        flow_table(flow, "Seats", columns, 5, flow->shown->build->seat_count, bly_table_pitch,
                   seat_row, NULL);
}

/* --- parts ----------------------------------------------------------------------------------- */

typedef struct PartRow {
    int seat;
    const BlyPart *part;
    double mass; /* kg on the scale; what a slot or shank took out is not in it */
} PartRow;

typedef struct PartList {
    PartRow *at;
    size_t count;
} PartList;

/* One row a piece: a lip's two items, an eye's loop and shank belong together. */
static bool part_list_make(const BlySheetFacts *facts, PartList *list) {
    *list = (PartList){.at = calloc(facts->lure.count + 1, sizeof *list->at)};
    if (list->at == NULL)
        return false;
    for (size_t i = 0; i < facts->lure.count; i++) {
        const BlyItem *item = &facts->lure.items[i];
        if (item->kind != BLY_ITEM_PART || item->part == NULL)
            continue;
        size_t k = 0;
        while (k < list->count &&
               (list->at[k].seat != item->seat || list->at[k].part != item->part))
            k++;
        if (k == list->count)
            list->at[list->count++] = (PartRow){item->seat, item->part, 0};
        list->at[k].mass += item->mass;
    }
    return true;
}

static void how_much(const BlySheetFacts *facts, const PartRow *row, char out[CELL_MAX]) {
    const BlyChoice *choice = &facts->rig->at[row->seat];
    double thickness = isfinite(choice->thickness) ? choice->thickness : row->part->thickness;
    bool filed = row->part->kind == BLY_PART_SHEET && thickness < row->part->thickness - 1e-7;
    (void)snprintf(out, CELL_MAX, "1");
    if (row->part->kind == BLY_PART_DOT)
        (void)snprintf(out, CELL_MAX, "%d", choice->count);
    else if (row->part->kind == BLY_PART_WIRE)
        (void)snprintf(out, CELL_MAX, "%d turns", choice->count);
    else if (row->part->kind == BLY_PART_STRIP)
        (void)bly_format(out, CELL_MAX, "%.1f mm long, %d layer%s", 1e3 * choice->length,
                         choice->count, choice->count == 1 ? "" : "s");
    else if (row->part->kind == BLY_PART_SHEET)
        (void)bly_format(out, CELL_MAX, "%.1f mm long, %s%.2f mm", 1e3 * choice->length,
                         filed ? "filed to " : "", 1e3 * thickness);
}

static void part_row(Flow *flow, const Table *table, double top, size_t row, const void *user) {
    const PartList *list = user;
    const PartRow *part = &list->at[row];
    char name[64], brief[8], amount[CELL_MAX], mass[CELL_MAX];
    seat_words(flow->shown, part->seat, name, brief);
    how_much(flow->shown, part, amount);
    mass_cell(flow, part->mass, mass);
    const char *const cells[] = {name,
                                 part->part->name[0] != '\0' ? part->part->name : part->part->id,
                                 part->part->id, amount, mass};
    table_row(table, top, cells);
}

void block_parts(Flow *flow) {
    PartList list;
    double mass = flow->order->system == BLY_INCH ? 34 : 16;
    double rest = flow->right - flow->left - 25 - 46 - mass;
    const Column columns[] = {{"seat", 25, ANCHOR_START},
                              {"part", 0.62 * rest, ANCHOR_START},
                              {"in the catalog", 0.38 * rest, ANCHOR_START},
                              {"how much", 46, ANCHOR_START},
                              {"mass", mass, ANCHOR_END}};
    if (!part_list_make(flow->shown, &list)) {
        flow->pages->failed = true;
        return;
    }
    if (list.count > 0)
        flow_table(flow, "Parts", columns, 5, list.count, bly_table_pitch, part_row, &list);
    free(list.at);
}

/* --- the ladder ------------------------------------------------------------------------------ */

static const double ladder_pitch = 6.5; /* room to write by hand */

static void ladder_row(Flow *flow, const Table *table, double top, size_t row, const void *user) {
    const size_t *steps = user;
    const BlyRung *rung = &flow->shown->ladder[steps[row]];
    char adds[CELL_MAX], reads[CELL_MAX], give[CELL_MAX];
    bool little = fabs(rung->adds) < 1e-5; /* kg */
    (void)bly_format(adds, sizeof adds, little ? "%+.3f g" : "%+.2f g", 1e3 * rung->adds);
    mass_cell(flow, rung->reads, reads);
    (void)bly_format(give, sizeof give, "+/- %.2f g", 1e3 * rung->give);
    const char *const cells[] = {bly_step_words((BlyStep)steps[row]), adds, reads, give, "", ""};
    table_row(table, top + ladder_pitch - bly_table_pitch, cells);
    double x = table->x;
    for (size_t i = 0; i < 6; i++) {
        if (i >= 4)
            canvas_rect(table->canvas, "frame",
                        (Box){x, top, table->columns[i].width, ladder_pitch});
        x += table->columns[i].width;
    }
}

void block_ladder(Flow *flow) {
    size_t steps[BLY_STEPS], count = 0;
    double reads = flow->order->system == BLY_INCH ? 34 : 18;
    double rest = flow->right - flow->left - 52 - 20 - reads - 22;
    const Column columns[] = {{"step", 52, ANCHOR_START},
                              {"adds", 20, ANCHOR_END},
                              {"should read", reads, ANCHOR_END},
                              {"tolerance", 22, ANCHOR_END},
                              {"reads", 0.45 * rest, ANCHOR_MIDDLE},
                              {"remark", 0.55 * rest, ANCHOR_MIDDLE}};
    for (size_t s = 0; s < BLY_STEPS; s++) {
        if (s == BLY_STEP_BLANK || fabs(flow->shown->ladder[s].adds) > 5e-9)
            steps[count++] = s;
    }
    flow_table(flow, "Weigh ladder", columns, 6, count, ladder_pitch, ladder_row, steps);
}
