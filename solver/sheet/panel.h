/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawings of a sheet, each put into a box of the paper. The page puts several together, a
 * single view is one of them alone. Inside a panel text never meets text. */
#ifndef BALLASTRY_SHEET_PANEL_H
#define BALLASTRY_SHEET_PANEL_H

#include "words/words.h"
#include "sheet/sheet.h"
#include "sheet/view.h"

typedef struct Panel {
    Canvas *canvas;
    Box box;
    const BlySheetFacts *facts, *after; /* after: NULL when there is nothing to compare */
    BlySystem system;
} Panel;

/* How high the panel wants to be at this width, mm; NAN without memory. */
double side_height(const Panel *panel, double width);
void side_draw(const Panel *panel);

double outlines_height(const Panel *panel, double width);
void outlines_draw(const Panel *panel);

double curves_height(const Panel *panel, double width);
void curves_draw(const Panel *panel);

double chance_height(const Panel *panel, double width);
void chance_draw(const Panel *panel);

double towing_height(const Panel *panel, double width);
void towing_draw(const Panel *panel);

double influence_height(const Panel *panel, double width);
void influence_draw(const Panel *panel);

/* The greatest sensible scale (paper over life: 2, 1.5, 0.8 ..) not above `most`. */
double nice_scale(double most);
/* "drawn 1.5 times life size", "drawn at 0.6 of life size", "drawn life size". */
void scale_words(double scale, char out[WORDS_MAX]);

/* A paragraph broken at blanks; returns the baseline of the line after it. */
double flow_paragraph(Canvas *canvas, TextStyle style, double x, double baseline, double width,
                      const char *text);
/* How many lines it takes. */
size_t paragraph_lines(TextStyle style, double width, const char *text);

/* "3 belly" and "3": how seats are named on drawings and in tables. */
void seat_words(const BlySheetFacts *facts, int seat, char text[64], char brief[8]);

/* What the lure does, in a few words: "suspends, nose-down 8.9 deg". */
void doing_words(const BlyOutcome *outcome, BlySystem system, char out[3 * WORDS_MAX]);

/* What is drawn of the facts; as bly_figure_make. */
bool facts_figure(const BlySheetFacts *facts, Aspect aspect, unsigned parts, Figure *out,
                  BlyError *err) BLY_MUST_CHECK;

#endif
