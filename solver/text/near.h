/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "Did you mean ...?": the nearest of the known words to a mistyped one. */
#ifndef BALLASTRY_TEXT_NEAR_H
#define BALLASTRY_TEXT_NEAR_H

#include <stddef.h>

enum { BLY_NEAR_MAX = 48 }; /* longer words are too far from everything */

/* Least number of letters to put in, take out, change, or swap with their neighbour to make b out
 * of a, after Damerau (1964), Comm. ACM 7(3) 171, each place edited once. Bytes are compared, case
 * counts. Returns BLY_NEAR_MAX when either word is that long. */
int bly_edit_distance(const char *a, const char *b);

/* The word of `known` nearest to `word`, first one where several are equally near; NULL when none
 * is near enough to be meant: at most one edit in every three letters, two at the least where the
 * word has four letters, and never the whole word. */
const char *bly_near(const char *word, const char *const *known, size_t count);

#endif
