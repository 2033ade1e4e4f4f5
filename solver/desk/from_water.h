/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the water back: what was seen of a lure on its line in a maker's words, what it teaches, and
 * the build with it. */
#ifndef BALLASTRY_DESK_FROM_WATER_H
#define BALLASTRY_DESK_FROM_WATER_H

#include "ballastry/tow_learn.h"
#include "desk/today.h"

typedef struct WaterOption {
    const char *name, *key; /* "--ran-deep"; the same on the page: "ran_deep" */
    BlyTowReadKind kind;
} WaterOption;
extern const WaterOption water_options[BLY_TOW_READ_KINDS];

/* "1.6 m +- 0.2 m at 1 m/s"; of draws-under the speed alone. err->where names the option. */
bool water_reading_parse(const char *text, const WaterOption *option, const BlyTowLine *line,
                         BlyTowReading *out, BlyError *err) BLY_MUST_CHECK;

enum { WATER_SAW_MOST = 8, WATER_SAW_LONGEST = 140 }; /* so that a date goes before it */

/* What was read and what it taught. Texts are borrowed. */
typedef struct WaterWork {
    BlyTowReading readings[BLY_TOW_READINGS_MAX];
    size_t count;
    const char *saw[WATER_SAW_MOST]; /* "rolls over at about 1.8 m/s": kept as words */
    size_t saw_count;
    char on[TODAY_MAX];  /* the day; "": not said */
    BlyTowLesson lesson; /* where there are readings */
} WaterWork;

/* Learns, if there are readings. */
bool water_work(const BlyBuild *build, WaterWork *work, BlyError *err) BLY_MUST_CHECK;

/* "2031-04-30"; err->where is `place`. */
bool water_day_parse(const char *text, const char *place, char out[TODAY_MAX],
                     BlyError *err) BLY_MUST_CHECK;

/* The build's text with what was learnt, read and seen; free(*text) by the caller. */
bool water_text(const BlyBuild *build, const WaterWork *work, char **text,
                BlyError *err) BLY_MUST_CHECK;

/* What a factor that the water teaches (0 to BLY_TOW_LEARNT - 1) is taken for before: the middle of
 * its bounds with their standard deviation's half-width of 95 of 100. */
BlyFigure water_usual(size_t correction);
/* "trolled depth 1.6 m at 1.0 m/s; pull 22 g at 1.0 m/s". */
void water_readings_said(const WaterWork *work, char *out, size_t size);

#endif
