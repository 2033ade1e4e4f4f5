/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the drawn lure and what comes of it, as text and JSON. */
#ifndef BALLASTRY_REPORT_WISH_H
#define BALLASTRY_REPORT_WISH_H

#include "ballastry/tow_wish.h"
#include "report/result.h"

/* What a rig of a fit does on the line, and what of it the target asks: with speed and line, the
 * first; shorter; and, once below all, how little that is checked. */
void text_wished(const Report *report, const BlyBuild *build, const BlyTowWished *wished);
void text_wished_beside(const Report *report, const BlyTowWished *wished);
void text_wished_note(const Report *report, bool chances); /* whether there are any above */
/* One rig, without its figures. */
void text_wish_kept(const Report *report, const BlyBuild *build, const BlyTowWished *wished);
/* What misses, a line each, or that all is kept; margin: blanks before each line. */
void text_tow_verdict(const Report *report, const char *margin, const BlyBuild *build,
                      const BlyTowVerdict *verdict);

cJSON *json_tow_verdict(const BlyTowVerdict *verdict);
cJSON *json_wished(const BlyTowWished *wished);
/* Adds "on_line" to each of a fit's "rigs". */
bool put_wished(cJSON *fit, const BlyTowWished *wished, size_t count);

/* tow_words.c: figures of a draw. */
void tow_reach_words(double m, BlySystem system, char out[WORDS_MAX]);
void tow_pull_words(double newton, BlySystem system, char out[WORDS_MAX]);
void tow_speed_words(double speed, BlySystem system, char out[WORDS_MAX]);
void tow_ranges_words(const Report *report, const BlyTowAt *at, char out[2 * WORDS_MAX]);

#endif
