/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the book: what one lure says by itself, what it was taken for before taken out again.
 */
#ifndef BALLASTRY_BOOK_EVIDENCE_H
#define BALLASTRY_BOOK_EVIDENCE_H

#include "book/book.h"

/* A likelihood over the lure's figures x, exp(-x' weight x / 2 + x' pull), each figure less
 * `middle` and in units of `sigma` (count of each). weight: count squared, without a negative
 * direction; pull: count. */
bool evidence_of(const BookLure *lure, const double *middle, const double *sigma, double *weight,
                 double *pull, BlyError *err) BLY_MUST_CHECK;

/* Whether both of its matrices are such as figures can have. */
bool evidence_possible(const BookLure *lure, BlyError *err) BLY_MUST_CHECK;

#endif
