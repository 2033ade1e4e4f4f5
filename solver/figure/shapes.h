/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a figure grows, shape by shape. */
#ifndef BALLASTRY_FIGURE_SHAPES_H
#define BALLASTRY_FIGURE_SHAPES_H

#include "figure/figure.h"

void figure_begin(Figure *figure, ShapeKind kind, int seat, double stroke, bool closed);
void figure_point(Figure *figure, Pt p); /* adds to the shape begun last */
/* An arc around `middle` from one angle to another (rad, counter-clockwise from x), radii rx, ry.
 */
void figure_arc(Figure *figure, Pt middle, double rx, double ry, double from, double to);
void figure_body(Figure *figure, const BlyBody *body, Aspect aspect);
/* Sections from tail to nose, as seen from the front. */
void figure_slices(Figure *figure, const BlyBody *body);
void figure_pieces(Figure *figure, const BlyBlank *blank, Aspect aspect);
void figure_lip(Figure *figure, const FigureOf *of, int seat, Aspect aspect);
void figure_metal(Figure *figure, const FigureOf *of, int seat, Aspect aspect);
void figure_eye(Figure *figure, const FigureOf *of, int seat, Aspect aspect);
void figure_hanging(Figure *figure, const BlyItem *item, Aspect aspect);

/* Half the width of metal at a place along the line, m. */
typedef double (*BandHalf)(double x, const void *user);

#endif
