/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The place reached in a quantity's text, and how its faults are told. */
#ifndef BALLASTRY_UNITS_READER_H
#define BALLASTRY_UNITS_READER_H

#include "ballastry/units.h"
#include "decimal/decimal.h"

typedef struct Reader {
    const char *text; /* the whole of it */
    const char *at;   /* what is read next */
    BlyDimension dim; /* what is expected */
    BlyError *err;
} Reader;

/* top / bottom, not yet rounded; the sign is kept apart. bottom is at least 1. */
typedef struct Number {
    BlyDecimal top;
    uint64_t bottom;
} Number;

bool reader_refuse(const Reader *r, BlyCode code, const char *fmt, ...) BLY_PRINTF(3, 4);

void reader_skip_blanks(Reader *r);

/* Whether a number (digit, ".5", vulgar fraction, or one of these with a sign) starts at text. */
bool number_starts(const char *text);

/* A sign, if there is one; the minus of typography counts. */
bool reader_minus(Reader *r);

/* An unsigned number: decimal, fraction "5/8", or mixed number "3 1/2", "1-1/4", with vulgar
 * fractions too. */
bool reader_number(Reader *r, Number *out);

#endif
