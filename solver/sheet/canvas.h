/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet of paper on which lines, shapes and text are put down as SVG. Lengths are millimetres of
 * paper, x to the right and y down; one user unit of the SVG is one millimetre. */
#ifndef BALLASTRY_SHEET_CANVAS_H
#define BALLASTRY_SHEET_CANVAS_H

#include "figure/figure.h"
#include "sheet/letters.h"

typedef struct Box {
    double x, y, w, h; /* x, y: the upper left corner */
} Box;

/* Where text lies, so that layout can keep clear of it and tests can see that it did. */
typedef struct Canvas {
    BlyText svg;
    double width, height;
    int clips;  /* so far, to name the next one */
    Box *texts; /* owned */
    size_t text_count, text_room;
} Canvas;

typedef enum Anchor { ANCHOR_START, ANCHOR_MIDDLE, ANCHOR_END } Anchor;

void canvas_open(Canvas *canvas, double width, double height, const char *title);
void canvas_close(Canvas *canvas); /* writes the end; the text is then whole */
void canvas_release(Canvas *canvas);
bool canvas_good(const Canvas *canvas, BlyError *err) BLY_MUST_CHECK;

/* `look` names a class of looks.c; `stroke` (mm) is the line's width, 0: as the class says. */
void canvas_line(Canvas *canvas, const char *look, double stroke, Pt from, Pt to);
void canvas_path(Canvas *canvas, const char *look, double stroke, const Pt *points, size_t count,
                 bool closed);
void canvas_rect(Canvas *canvas, const char *look, Box box);
void canvas_circle(Canvas *canvas, const char *look, Pt middle, double radius);
/* An arrow with its head at `to`; `open`: dashed and with an empty head. */
void canvas_arrow(Canvas *canvas, Pt from, Pt to, bool open);
void canvas_group(Canvas *canvas, const char *look); /* until group_end */
void canvas_clip(Canvas *canvas, Box box);           /* a group cut at the box */
void canvas_group_end(Canvas *canvas);

/* One line of text with its baseline at `at`; clipped to `room` mm (0: as long as it is). Returns
 * the width that it takes. */
double canvas_text(Canvas *canvas, TextStyle style, Anchor anchor, Pt at, double room,
                   const char *text);
/* The box that the text would take. */
Box text_frame(TextStyle style, Anchor anchor, Pt at, const char *text);

bool label_boxes_meet(Box a, Box b);

/* The style sheet of every drawing. */
extern const char bly_looks[];

#endif
