/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/rowlabels.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const TextStyle style = TEXT_SMALL;
static const double label_gap = 1.2, longest_label = 40; /* mm */
static const double elbow_most = 1.4; /* mm: a slanting line ends before it meets other labels */

void row_labels_add(RowLabels *labels, Pt at, const char *brief, const char *text) {
    if (labels->count == ROW_LABELS_MAX || !isfinite(at.x) || !isfinite(at.y))
        return;
    RowLabel *label = &labels->at[labels->count++];
    label->at = at;
    (void)snprintf(label->text, sizeof label->text, "%s", text);
    (void)snprintf(label->brief, sizeof label->brief, "%s", brief);
}

/* Isotonic regression: with the widths before each label taken off, the best places must not fall;
 * neighbours that would are pooled at their mean. */
bool row_place(const double *wish, const double *widths, size_t count, double gap, double left,
               double right, double *begin) {
    double sum[ROW_LABELS_MAX], before[ROW_LABELS_MAX], used = 0;
    size_t size[ROW_LABELS_MAX], groups = 0;
    if (count > ROW_LABELS_MAX)
        return false;
    for (size_t i = 0; i < count; i++) {
        before[i] = used;
        sum[groups] = wish[i] - 0.5 * widths[i] - used;
        size[groups++] = 1;
        while (groups > 1 && sum[groups - 2] * (double)size[groups - 1] >
                                 sum[groups - 1] * (double)size[groups - 2]) {
            sum[groups - 2] += sum[groups - 1];
            size[groups - 2] += size[groups - 1];
            groups--;
        }
        used += widths[i] + gap;
    }
    double slack = right - left - (used - gap);
    if (count > 0 && slack < 0)
        return false;
    for (size_t g = 0, i = 0; g < groups; g++) {
        double mean = sum[g] / (double)size[g];
        for (size_t k = 0; k < size[g]; k++, i++)
            begin[i] = fmin(fmax(mean, left), left + slack) + before[i];
    }
    return true;
}

/* What stands at one place but for rounding, as weight and lift of a lure at rest, has its order by
 * name, on every machine alike. */
static int by_place(const void *a, const void *b) {
    const RowLabel *p = a, *q = b;
    double x = round(100 * p->at.x), y = round(100 * q->at.x);
    if (x != y)
        return x > y ? 1 : -1;
    int brief = strcmp(p->brief, q->brief);
    return brief != 0 ? brief : strcmp(p->text, q->text);
}

static void put_label(Canvas *canvas, const RowLabel *label, const char *text, double begin,
                      double width, double baseline) {
    double size = text_size(style), x = begin + 0.5 * width;
    bool above = baseline < label->at.y;
    double y = above ? baseline + 0.35 * size : baseline - 0.9 * size;
    double elbow = above ? fmin(y + elbow_most, label->at.y) : fmax(y - elbow_most, label->at.y);
    const Pt line[] = {label->at, {x, elbow}, {x, y}};
    canvas_path(canvas, "lead", 0, line, 3, false);
    (void)canvas_text(canvas, style, ANCHOR_START, (Pt){begin, baseline}, width + 0.01, text);
}

static bool try_row(const RowLabels *labels, Canvas *canvas, double left, double right,
                    double baseline, bool brief) {
    double wish[ROW_LABELS_MAX], widths[ROW_LABELS_MAX], begin[ROW_LABELS_MAX];
    for (size_t i = 0; i < labels->count; i++) {
        const RowLabel *label = &labels->at[i];
        wish[i] = label->at.x;
        widths[i] = fmin(text_width(style, brief ? label->brief : label->text), longest_label);
    }
    if (!row_place(wish, widths, labels->count, label_gap, left, right, begin))
        return false;
    for (size_t i = 0; i < labels->count; i++) {
        const RowLabel *label = &labels->at[i];
        put_label(canvas, label, brief ? label->brief : label->text, begin[i], widths[i], baseline);
    }
    return true;
}

void row_labels_draw(RowLabels *labels, Canvas *canvas, double left, double right,
                     double baseline) {
    qsort(labels->at, labels->count, sizeof labels->at[0], by_place);
    if (try_row(labels, canvas, left, right, baseline, false))
        return;
    while (labels->count > 0 && !try_row(labels, canvas, left, right, baseline, true))
        labels->count--;
}
