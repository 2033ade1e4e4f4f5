/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures in plain words with sensible digits, as reports and drawings say them alike. */
#ifndef BALLASTRY_WORDS_H
#define BALLASTRY_WORDS_H

#include "ballastry/units.h"
#include "ballastry/water.h"

enum { WORDS_MAX = 160 };

/* "suspends", "rises slowly" .. for a drift in m/s; the bands are docs/rest.md's. */
const char *drift_words(double drift);
/* "sinking 1.2 cm/s (a foot in 25 s)"; in the inch system the foot comes first. */
void speed_words(double drift, BlySystem system, char out[WORDS_MAX]);
/* What it does as a predicate: "sinks slowly at 4.2 cm/s (a foot in 7.3 s)", "suspends, rising
 * 0.3 cm/s (..)", "floats; pushed under, it comes up at 33 cm/s (..)". */
void moves_words(double drift, bool floats, BlySystem system, char out[WORDS_MAX]);
/* The same as a bare figure, "1.2 cm/s" or "0.47 in/s", with a plus sign if asked. */
void small_speed_words(double drift, BlySystem system, bool sign, char out[WORDS_MAX]);
/* "nose-down 8.9 deg", "level", "nose-up 3.0 deg". */
void attitude_words(double nose_down, char out[WORDS_MAX]);
/* "between rising 0.4 and sinking 0.6 cm/s", "rising 3.1 to 3.8 cm/s"; one figure where both ends
 * read alike. An infinite end is any speed that way; m/s. finer: digits more than sensible.
 * ranges.c. */
void drift_range_words(double low, double high, BlySystem system, int finer, char out[WORDS_MAX]);
/* "between nose-up 4 and nose-down 18 deg", with so many places after the point; rad. */
void attitude_range_words(double low, double high, int places, char out[WORDS_MAX]);
/* "; 8 in 100 turn over", "" where (nearly) none is: lures that rest the other way. */
void turned_words(double share, char out[WORDS_MAX]);
/* Chances and shares are told as so many in 100, all rounded alike. */
double in_100(double share);
/* A chance so told: "37", and "fewer than 1" of what rounds to none and is not; said.js has the
 * same for the page. */
typedef struct ShareText {
    char words[24];
} ShareText;
ShareText share_text(double share);
/* Grams with sensible digits, milligrams below a gram in the metric system; signed if asked. */
void small_mass_words(double kg, BlySystem system, bool sign, char out[WORDS_MAX]);
/* "fresh water at 10 C", "water of 18 g/kg salt at 15 C". */
void water_words(const BlyWater *water, BlySystem system, char out[WORDS_MAX]);

#endif
