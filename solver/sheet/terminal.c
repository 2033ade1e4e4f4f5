/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view at rest in characters, so that nose-down is seen at a glance: the same figure as on
 * paper, on a grid of squares two of which, one above the other, make a character. */
#include "figure/figure.h"
#include "sheet/panel.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum Mark { MARK_NONE, MARK_BODY, MARK_METAL, MARK_LIP, MARK_WIRE, MARKS } Mark;

/* How a character shows the mark in both of its squares, the upper or the lower alone. */
static const struct {
    const char *both, *upper, *lower;
} blocks[MARKS] =
    {
        [MARK_BODY] = {"\u2588", "\u2580", "\u2584"},
        [MARK_METAL] = {"\u2593", "\u2593", "\u2593"},
        [MARK_LIP] = {"\u2592", "\u2592", "\u2592"},
        [MARK_WIRE] = {"\u2588", "\u2580", "\u2584"},
},
  plain[MARKS] = {
      [MARK_BODY] = {"#", "#", "#"},
      [MARK_METAL] = {"=", "=", "="},
      [MARK_LIP] = {"/", "/", "/"},
      [MARK_WIRE] = {"|", "-", "_"},
};

static const char *const colours[MARKS] = {
    [MARK_BODY] = "\x1b[33m", [MARK_METAL] = "\x1b[35m", [MARK_LIP] = "\x1b[34m"};
static const char colour_off[] = "\x1b[0m", water_colour[] = "\x1b[36m";

typedef struct Raster {
    unsigned char *square;  /* Mark, row by row from the top */
    int columns, rows;      /* of squares */
    double left, top, step; /* m */
} Raster;

static unsigned char *square_at(const Raster *r, int column, int row) {
    if (column < 0 || column >= r->columns || row < 0 || row >= r->rows)
        return NULL;
    return &r->square[row * r->columns + column];
}

static void put(const Raster *r, Pt p, Mark mark) {
    unsigned char *square =
        square_at(r, (int)floor((p.x - r->left) / r->step), (int)floor((r->top - p.y) / r->step));
    if (square != NULL)
        *square = (unsigned char)mark;
}

static void put_line(const Raster *r, Pt from, Pt to, Mark mark) {
    int steps = 1 + (int)fmin(2 * hypot(to.x - from.x, to.y - from.y) / r->step, 2000);
    for (int i = 0; i <= steps; i++) {
        double share = (double)i / steps;
        put(r, (Pt){from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)}, mark);
    }
}

static bool is_inside(const Pt *points, size_t count, Pt p) {
    bool inside = false;
    for (size_t i = 0, k = count - 1; i < count; k = i++) {
        const Pt *a = &points[i], *b = &points[k];
        if ((a->y > p.y) != (b->y > p.y) &&
            p.x < (b->x - a->x) * (p.y - a->y) / (b->y - a->y) + a->x)
            inside = !inside;
    }
    return inside;
}

static void put_area(const Raster *r, const Pt *points, size_t count, Mark mark) {
    for (int row = 0; row < r->rows; row++) {
        for (int column = 0; column < r->columns; column++) {
            Pt middle = {r->left + (column + 0.5) * r->step, r->top - (row + 0.5) * r->step};
            if (is_inside(points, count, middle))
                r->square[row * r->columns + column] = (unsigned char)mark;
        }
    }
}

/* The body is filled; of all else the lines are drawn, or it would slip between the squares. */
static void put_shape(const Raster *r, const Figure *figure, const Shape *shape) {
    static const Mark mark_of[] = {
        [SHAPE_BODY] = MARK_BODY,   [SHAPE_LIP] = MARK_LIP,   [SHAPE_HIDDEN] = MARK_NONE,
        [SHAPE_METAL] = MARK_METAL, [SHAPE_WIRE] = MARK_WIRE, [SHAPE_TURNS] = MARK_WIRE,
        [SHAPE_SLICE] = MARK_NONE,
    };
    const Pt *points = &figure->points[shape->first];
    Mark mark = mark_of[shape->kind];
    if (mark == MARK_NONE || shape->count == 0)
        return;
    if (shape->kind == SHAPE_BODY)
        put_area(r, points, shape->count, mark);
    for (size_t i = shape->closed || shape->kind == SHAPE_BODY ? 0 : 1; i < shape->count; i++)
        put_line(r, points[i == 0 ? shape->count - 1 : i - 1], points[i], mark);
}

static int within(int value, int low, int high) {
    return value < low ? low : value > high ? high : value;
}

/* Squares as small as the terminal lets them be, with room for some water to both sides. */
static void frame(Raster *r, const Bounds *b, const BlyTerminal *terminal) {
    int columns = within(terminal->columns, 20, 400), rows = within(terminal->rows, 5, 100);
    double width = fmax(b->right - b->left, 1e-4), height = fmax(b->high - b->low, 1e-4);
    r->step = fmax(width / (columns - 6), height / (2 * rows - 2));
    r->columns = columns;
    r->rows = 2 * within((int)ceil(0.5 * (height / r->step + 1)), 3, rows);
    r->left = 0.5 * (b->left + b->right - columns * r->step);
    r->top = 0.5 * (b->high + b->low + r->rows * r->step);
}

typedef struct Cell {
    Mark mark;
    const char *shown;
} Cell;

static Cell cell_at(const Raster *r, const BlyTerminal *terminal, int column, int row) {
    Mark upper = (Mark)*square_at(r, column, 2 * row),
         lower = (Mark)*square_at(r, column, 2 * row + 1);
    Mark mark = upper > lower ? upper : lower;
    if (mark == MARK_NONE)
        return (Cell){MARK_NONE, " "};
    /* What is drawn of one colour fills both squares even when they hold different things. */
    bool both = upper != MARK_NONE && lower != MARK_NONE;
    if (!terminal->blocks) {
        both = upper == lower;
        return (Cell){mark, both            ? plain[mark].both
                            : upper == mark ? plain[mark].upper
                                            : plain[mark].lower};
    }
    return (Cell){mark, both                 ? blocks[mark].both
                        : upper != MARK_NONE ? blocks[mark].upper
                                             : blocks[mark].lower};
}

static bool is_empty(const Raster *r, int column, int row) {
    return *square_at(r, column, 2 * row) == MARK_NONE &&
           *square_at(r, column, 2 * row + 1) == MARK_NONE;
}

static void print_row(const Raster *r, const BlyTerminal *terminal, int row, bool water,
                      BlyText *text) {
    int end = r->columns;
    const char *now = colour_off;
    while (!water && end > 0 && is_empty(r, end - 1, row))
        end--;
    for (int column = 0; column < end; column++) {
        Cell cell = cell_at(r, terminal, column, row);
        bool wet = water && cell.mark == MARK_NONE;
        const char *colour = wet                          ? water_colour
                             : colours[cell.mark] != NULL ? colours[cell.mark]
                                                          : colour_off;
        if (terminal->colour && strcmp(colour, now) != 0)
            bly_text_append(text, colour);
        now = colour;
        bly_text_append(text, wet ? "~" : cell.shown);
    }
    bly_text_append(text, terminal->colour && strcmp(now, colour_off) != 0 ? "\x1b[0m\n" : "\n");
}

static void print_rows(const Raster *r, const BlyTerminal *terminal, int water, BlyText *text) {
    for (int row = 0; row < r->rows / 2; row++)
        print_row(r, terminal, row, row == water, text);
}

/* The surface belongs to the picture as far as it crosses the lure. */
static int row_of_water(const Raster *r, const BlyOutcome *outcome) {
    if (!outcome->has_surface)
        return -1;
    return (int)floor((r->top - outcome->surface.plane_height) / (2 * r->step));
}

bool bly_sheet_terminal(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                        const BlyOutcome *outcome, const BlyTerminal *terminal, char **text,
                        BlyError *err) {
    const FigureOf of = {build, rig, lure};
    Figure figure;
    Bounds bounds;
    Raster r = {0};
    BlyText out = {0};
    if (!bly_figure_make(&of, bly_aspect_of(outcome), FIGURE_ALL, &figure, err))
        return false;
    if (bly_figure_bounds(&figure, &bounds))
        frame(&r, &bounds, terminal);
    r.square = calloc((size_t)r.columns + 1, (size_t)r.rows + 1);
    for (size_t s = 0; r.square != NULL && s < figure.shape_count; s++)
        put_shape(&r, &figure, &figure.shapes[s]);
    if (r.square != NULL)
        print_rows(&r, terminal, row_of_water(&r, outcome), &out);
    bool good =
        (r.square != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picture")) &&
        bly_text_good(&out, err);
    free(r.square);
    bly_figure_release(&figure);
    if (good)
        *text = bly_text_detach(&out);
    bly_text_release(&out);
    return good;
}
