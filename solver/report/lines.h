/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines for a terminal of 80 columns, shared by the texts of this room. */
#ifndef BALLASTRY_REPORT_LINES_H
#define BALLASTRY_REPORT_LINES_H

#include "report/result.h"

enum { LINE_COLUMNS = 80 };

/* The first `most` lines of what text_wrapped makes, the last of them ended with " .." where more
 * follows.
 */
void text_wrapped_most(const Report *report, int indent, int most, const char *text);

/* "11.56 +-0.32 g": the unit once. */
void tolerance_words(const Report *report, double si, double tolerance, BlyDimension dim,
                     int digits, char out[WORDS_MAX]);
/* "57.1 to 59.5 %", the same; one figure where both ends read alike. */
void from_to_words(const Report *report, double low, double high, BlyDimension dim, int digits,
                   char out[WORDS_MAX]);

/* What is mounted at a seat, "brass-1.0, shape flared-12, ..; at 7.0 mm". Brief: without masses and
 * gauges that the ids name. text_rig.c. */
enum { CHOICE_MAX = 512 };
void choice_words(const Report *report, const BlySeat *seat, const BlyChoice *choice, bool brief,
                  char out[CHOICE_MAX]);
bool same_pieces(const BlyChoice *a, const BlyChoice *b);
/* text_rig, brief. */
void text_rig_brief(const Report *report, const BlyBuild *build, const BlyRig *rig,
                    const BlyRig *old);
/* Columns for the seats' names. */
int seat_width(const BlyBuild *build, int least);

#endif
