/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels in a row beside a drawing, each with a thin line to what it names. They never meet. */
#ifndef BALLASTRY_SHEET_ROWLABELS_H
#define BALLASTRY_SHEET_ROWLABELS_H

#include "sheet/canvas.h"

enum { ROW_LABELS_MAX = 40, ROW_LABEL_TEXT = 64 };

typedef struct RowLabel {
    Pt at; /* what it names, on paper */
    char text[ROW_LABEL_TEXT];
    char brief[8]; /* instead, where there is no room for the whole */
} RowLabel;

typedef struct RowLabels {
    RowLabel at[ROW_LABELS_MAX];
    size_t count;
} RowLabels;

/* Beyond ROW_LABELS_MAX nothing is added. `text` is cut to fit. */
void row_labels_add(RowLabels *labels, Pt at, const char *brief, const char *text);

/* Draws them between `left` and `right` with baselines at `baseline`, each as near to what it names
 * as the others let it. With too little room all are brief; those that even then find none are left
 * out. Sorts the labels. */
void row_labels_draw(RowLabels *labels, Canvas *canvas, double left, double right, double baseline);

/* The layout alone: where each of `count` labels of these widths, wanted in the middle of
 * wish[i] (ascending), begins, so that the squares of their shifts are least. False: no room. */
bool row_place(const double *wish, const double *widths, size_t count, double gap, double left,
               double right, double *begin);

#endif
