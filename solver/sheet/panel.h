/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawings of a sheet, each put into a box of the paper. The page puts several together, a
 * single view is one of them alone. Inside a panel text never meets text. */
#ifndef BALLASTRY_SHEET_PANEL_H
#define BALLASTRY_SHEET_PANEL_H

#include "report/report.h"
#include "sheet/figure.h"

typedef struct Panel {
    Canvas *canvas;
    Box box;
    const BlySheetFacts *facts, *after; /* after: NULL when there is nothing to compare */
    BlySystem system;
} Panel;

/* How high the panel wants to be at this width, mm; NAN without memory. */
double bly_side_height(const Panel *panel, double width);
void bly_side_draw(const Panel *panel);

double bly_outlines_height(const Panel *panel, double width);
void bly_outlines_draw(const Panel *panel);

double bly_curves_height(const Panel *panel, double width);
void bly_curves_draw(const Panel *panel);

double bly_chance_height(const Panel *panel, double width);
void bly_chance_draw(const Panel *panel);

double bly_influence_height(const Panel *panel, double width);
void bly_influence_draw(const Panel *panel);

/* The greatest sensible scale (paper over life: 2, 1.5, 0.8 ..) not above `most`. */
double bly_nice_scale(double most);
/* "drawn 1.5 times life size", "drawn at 0.6 of life size", "drawn life size". */
void bly_scale_words(double scale, char out[WORDS_MAX]);

/* A paragraph broken at blanks; returns the baseline of the line after it. */
double bly_paragraph(Canvas *canvas, TextStyle style, double x, double baseline, double width,
                     const char *text);
/* How many lines it takes. */
size_t bly_paragraph_lines(TextStyle style, double width, const char *text);

/* "3 belly" and "3": how seats are named on drawings and in tables. */
void bly_seat_words(const BlySheetFacts *facts, int seat, char text[64], char brief[8]);

/* What the lure does, in a few words: "suspends, nose-down 8.9 deg". */
void bly_doing_words(const BlyOutcome *outcome, BlySystem system, char out[3 * WORDS_MAX]);

/* How the lure lies: at the surface if it floats, else under water; level if it prefers nothing. */
Aspect bly_aspect_of(const BlyOutcome *outcome);

#endif
