/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view at rest in characters, so that nose-down is seen at a glance. A character is taken
 * to be twice as high as wide. */
#include "ballastry/sheet.h"
#include "text/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum Mark { MARK_NONE, MARK_WATER, MARK_BODY, MARK_LIP, MARK_METAL, MARK_HOOK, MARKS } Mark;

static const struct {
    const char *plain, *block, *colour;
} marks[MARKS] = {
    [MARK_NONE] = {" ", " ", ""},
    [MARK_WATER] = {"~", "~", "\x1b[36m"},
    [MARK_BODY] = {"#", "\u2588", "\x1b[33m"},
    [MARK_LIP] = {"/", "\u2592", "\x1b[34m"},
    [MARK_METAL] = {"=", "\u2593", "\x1b[35m"},
    [MARK_HOOK] = {"|", "\u2502", "\x1b[0m"},
};

typedef struct Raster {
    Mark *cell;
    int columns, rows;
    double left, top, step; /* m; a row is two steps high */
    double sin_t, cos_t;
} Raster;

/* Body axes to the turned world: across and up. */
static void turn(const Raster *r, BlyVec3 p, double *across, double *up) {
    *across = p.x * r->cos_t - p.z * r->sin_t;
    *up = p.x * r->sin_t + p.z * r->cos_t;
}

static void put(Raster *r, double across, double up, Mark mark) {
    int column = (int)floor((across - r->left) / r->step);
    int row = (int)floor((r->top - up) / (2 * r->step));
    if (column >= 0 && column < r->columns && row >= 0 && row < r->rows)
        r->cell[row * r->columns + column] = mark;
}

static void put_line(Raster *r, BlyVec3 from, BlyVec3 to, Mark mark) {
    const int steps = 200;
    for (int i = 0; i <= steps; i++) {
        double k = (double)i / steps, across, up;
        turn(r, bly_vec_add(bly_vec_scale(from, 1 - k), bly_vec_scale(to, k)), &across, &up);
        put(r, across, up, mark);
    }
}

/* What hangs does so straight down, with the bend of a hook to both sides. */
static void put_chain(Raster *r, const BlyItem *item) {
    double across, up;
    turn(r, item->at, &across, &up);
    for (double down = item->hang_from; down <= item->hang_to; down += r->step / 2)
        put(r, across, up - down, MARK_HOOK);
    if (item->part == NULL || item->part->kind != BLY_PART_HOOK)
        return;
    double half = isfinite(item->part->gape) ? item->part->gape / 2 : r->step;
    for (double side = -half; side <= half; side += r->step / 2)
        put(r, across + side, up - item->hang_to, MARK_HOOK);
}

static void put_body(Raster *r, const BlyBody *hull) {
    for (int row = 0; row < r->rows; row++) {
        for (int column = 0; column < r->columns; column++) {
            double across = r->left + (column + 0.5) * r->step;
            double up = r->top - (row + 0.5) * 2 * r->step;
            double x = across * r->cos_t + up * r->sin_t, z = up * r->cos_t - across * r->sin_t;
            BlySection section;
            if (bly_body_section(hull, x, &section) && z >= section.belly && z <= section.back)
                r->cell[row * r->columns + column] = MARK_BODY;
        }
    }
}

static void put_items(Raster *r, const BlyLure *lure) {
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->hangs)
            put_chain(r, item);
        else if (item->face == BLY_FACE_PLATE)
            put_line(r, item->from, item->to, MARK_LIP);
        else if (item->part != NULL &&
                 (item->part->kind == BLY_PART_STRIP || item->part->kind == BLY_PART_DOT))
            put_line(r, item->from, item->to, MARK_METAL);
    }
}

static void put_water(Raster *r, double height) {
    for (int column = 0; column < r->columns; column++) {
        int row = (int)floor((r->top - height) / (2 * r->step));
        if (row >= 0 && row < r->rows && r->cell[row * r->columns + column] == MARK_NONE)
            r->cell[row * r->columns + column] = MARK_WATER;
    }
}

typedef struct Extent {
    double left, right, low, high;
} Extent;

static void widen(Extent *e, double across, double up) {
    e->left = fmin(e->left, across);
    e->right = fmax(e->right, across);
    e->low = fmin(e->low, up);
    e->high = fmax(e->high, up);
}

static Extent extent_of(const Raster *r, const BlyLure *lure) {
    Extent e = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    BlyBox box = bly_body_box(lure->blank->hull);
    double across, up;
    for (int corner = 0; corner < 4; corner++) {
        BlyVec3 p =
            bly_vec(corner & 1 ? box.low.x : box.high.x, 0, corner & 2 ? box.low.z : box.high.z);
        turn(r, p, &across, &up);
        widen(&e, across, up);
    }
    for (size_t i = 0; i < lure->count; i++) {
        turn(r, lure->items[i].to, &across, &up);
        widen(&e, across, up - (lure->items[i].hangs ? lure->items[i].hang_to : 0));
    }
    return e;
}

static int within(int value, int low, int high) {
    return value < low ? low : value > high ? high : value;
}

static void frame(Raster *r, const BlyLure *lure, const BlyTerminal *terminal) {
    Extent e = extent_of(r, lure);
    int columns = within(terminal->columns, 20, 400), rows = within(terminal->rows, 5, 100);
    double width = fmax(e.right - e.left, 1e-4), height = fmax(e.high - e.low, 1e-4);
    r->step = fmax(width / (columns - 2), height / (2.0 * (rows - 1)));
    r->columns = columns;
    r->rows = within((int)ceil(height / (2 * r->step)) + 1, 3, rows);
    r->left = (e.left + e.right) / 2 - columns * r->step / 2;
    r->top = e.high + r->step;
}

static bool empty_row(const Raster *r, int row) {
    for (int column = 0; column < r->columns; column++) {
        if (r->cell[row * r->columns + column] != MARK_NONE)
            return false;
    }
    return true;
}

static void print_rows(const Raster *r, const BlyTerminal *terminal, BlyText *text) {
    int first = 0, last_row = r->rows - 1;
    while (first < last_row && empty_row(r, first))
        first++;
    while (last_row > first && empty_row(r, last_row))
        last_row--;
    for (int row = first; row <= last_row; row++) {
        const Mark *cell = &r->cell[row * r->columns];
        int end = r->columns;
        while (end > 0 && cell[end - 1] == MARK_NONE)
            end--;
        Mark last = MARK_NONE;
        for (int column = 0; column < end; column++) {
            if (terminal->colour && cell[column] != last)
                bly_text_append(text,
                                cell[column] == MARK_NONE ? "\x1b[0m" : marks[cell[column]].colour);
            last = cell[column];
            bly_text_append(text, terminal->blocks ? marks[last].block : marks[last].plain);
        }
        bly_text_append(text, terminal->colour && last != MARK_NONE ? "\x1b[0m\n" : "\n");
    }
}

bool bly_sheet_terminal(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                        const BlyOutcome *outcome, const BlyTerminal *terminal, char **text,
                        BlyError *err) {
    (void)build;
    (void)rig;
    double angle = outcome->has_surface ? outcome->surface.nose_down : outcome->nose_down;
    if (!isfinite(angle))
        angle = 0;
    Raster r = {.sin_t = sin(angle), .cos_t = cos(angle)};
    frame(&r, lure, terminal);
    r.cell = calloc((size_t)r.columns * (size_t)r.rows, sizeof *r.cell);
    if (r.cell == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picture");
    put_body(&r, lure->blank->hull);
    put_items(&r, lure);
    if (outcome->has_surface)
        put_water(&r, outcome->surface.plane_height);
    BlyText out;
    bly_text_init(&out);
    print_rows(&r, terminal, &out);
    free(r.cell);
    bool good = bly_text_good(&out, err);
    if (good)
        *text = bly_text_detach(&out);
    bly_text_release(&out);
    return good;
}
