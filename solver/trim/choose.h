/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trims as they are weighed, one and two at a time (choose.c), and pairs that each lead far off
 * alone (pairs.c). */
#ifndef BALLASTRY_TRIM_CHOOSE_H
#define BALLASTRY_TRIM_CHOOSE_H

#include "trim/reserve.h"

enum {
    TRIM_THINGS_MOST = 2,
    TRIM_MOVES_MOST = TRIM_GROUPS_MAX * (TRIM_OPTIONS_MAX + 1),
};

/* One move as it is weighed. */
typedef struct Move {
    short group, option;
    double by[OUTLOOK_PLACES], variance[OUTLOOK_PLACES], cost;
    double off; /* the variances added */
    int things; /* to do */
} Move;

typedef struct Mix {
    const Move *move[TRIM_MOVES];
    double more[TRIM_MOVES]; /* kg of wire beyond the moves' options */
    int count, things;
    double by[OUTLOOK_PLACES], square; /* to be expected, with what the moves are off by */
    double off;                        /* their part of it */
} Mix;

/* With one more move, and what the square then is. */
Mix mix_with(const Mix *mix, const Move *move, double square);

enum { PAIRS_KEPT = 4 };
/* Of moves, sorted by group, pairs of two groups: the best few by where they lead. */
size_t pairs_far_off(const Outlook *outlook, const Move *moves, size_t count, Mix kept[PAIRS_KEPT]);

#endif
