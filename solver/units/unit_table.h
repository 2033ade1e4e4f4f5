/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one table of units: what they measure, their exact factor to SI, and where that is from. */
#ifndef BALLASTRY_UNITS_UNIT_TABLE_H
#define BALLASTRY_UNITS_UNIT_TABLE_H

#include "ballastry/units.h"

#include <stdint.h>

enum { BLY_UNIT_ALIASES = 8, BLY_SPELLING_MAX = 32 };

/* A number x of this unit is (x + shift) factor in SI, or factor / x where the unit is inverse,
 * with factor = num x 10^power / den exactly. */
typedef struct BlyUnit {
    BlyDimension dim;
    const char *name; /* as it is printed */
    uint64_t num;
    int power;
    uint64_t den;
    bool inverse; /* "s/ft" for a speed, "in3/lb" for a density */
    double shift; /* 0 but for the temperatures */
    const char *source;
    const char *alias[BLY_UNIT_ALIASES]; /* other spellings, up to the first NULL */
} BlyUnit;

size_t unit_count(void);
const BlyUnit *unit_at(size_t index);

/* The unit of that dimension whose name or alias is `spelling`, in upper or lower case; NULL when
 * there is none. Pass what unit_spelling made of a text. */
const BlyUnit *unit_find(const char *spelling, BlyDimension dim);

/* The same in every dimension; the first in the order of the table. */
const BlyUnit *unit_find_any(const char *spelling);

/* The nearest spelling of the dimension to an unknown one, or NULL. */
const char *unit_near(const char *spelling, BlyDimension dim);

/* Brings `length` bytes of text to the table's spelling: signs such as the degree sign, raised
 * digits and curly inch marks as plain letters, single blanks and none beside '/', "per" as '/',
 * no '^' and no full stop after letters. False when it would not fit BLY_SPELLING_MAX bytes. */
bool unit_spelling(const char *text, size_t length, char *out);

#endif
