/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much paper a line of text takes, without asking a font: a table of widths that errs on the
 * wide side, so that what is laid out by it never runs into its neighbour. */
#ifndef BALLASTRY_SHEET_LETTERS_H
#define BALLASTRY_SHEET_LETTERS_H

#include "text/text.h"

typedef enum TextStyle { TEXT_SMALL, TEXT_PLAIN, TEXT_STRONG, TEXT_HEAD, TEXT_TITLE } TextStyle;
enum { TEXT_STYLES = TEXT_TITLE + 1 };

/* Height of the style's letters from line to line over 1.3, mm: the size of the font. */
double text_size(TextStyle style);
const char *text_class(TextStyle style);
/* Distance from one line to the next, mm. */
double text_pitch(TextStyle style);

/* Width of UTF-8 text in mm, never less than it prints in DejaVu Sans. */
double text_width(TextStyle style, const char *text);

/* Appends the text so that it takes at most `width` mm, its end replaced by three points where it
 * is longer. Nothing at all when not even those fit. */
void text_clip(BlyText *out, TextStyle style, const char *text, double width);

/* Appends XML character data: & < > " ' escaped; control characters, those that turn the direction
 * of reading, what XML forbids and broken UTF-8 as U+FFFD. */
void text_escape(BlyText *out, const char *text);

/* One character on from *at (which must not be at the end); returns its code, 0xFFFD for what no
 * reader should see. */
unsigned text_next(const char **at);

/* The length in bytes of the longest beginning of `text` that ends at a blank (or the whole) and
 * fits in `width`; a single word that is wider is cut. At least one character. */
size_t text_break(TextStyle style, const char *text, double width);

#endif
