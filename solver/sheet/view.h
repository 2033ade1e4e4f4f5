/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures on paper. */
#ifndef BALLASTRY_SHEET_VIEW_H
#define BALLASTRY_SHEET_VIEW_H

#include "sheet/canvas.h"

/* How a figure lies on paper: mm of paper a metre, and where the point (0, 0) comes to lie. */
typedef struct View {
    double scale;
    Pt origin;
} View;
Pt view_point(const View *view, Pt p);
void figure_draw(const Figure *figure, const View *view, Canvas *canvas);

#endif
