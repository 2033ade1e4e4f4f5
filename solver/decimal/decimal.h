/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text, exactly: digits and a power of ten. A unit's factor is multiplied into the
 * digits before anything is rounded, so "88 mm" becomes the double nearest to 0.088 and every
 * double can be written in millimetres and read back. No locale takes part: only digits and an
 * exponent ever reach strtod, and the point is put in by us. */
#ifndef BALLASTRY_DECIMAL_DECIMAL_H
#define BALLASTRY_DECIMAL_DECIMAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    BLY_DECIMAL_READ = 40,  /* digits kept of a number in a text; later ones cannot matter */
    BLY_DECIMAL_DIGITS = 96 /* room for those, times two factors */
};

/* digit[0..count-1] x 10^power, most significant digit first; count 0 is zero. */
typedef struct BlyDecimal {
    int count;
    int power;
    unsigned char digit[BLY_DECIMAL_DIGITS];
} BlyDecimal;

/* The largest factor that bly_decimal_times takes: its carry must fit in 64 bits. */
#define BLY_DECIMAL_FACTOR_MAX (UINT64_MAX / 10)

/* Reads "12", "12.5", ".5", "5." with an optional e notation from the start of text (no sign, no
 * blanks). Returns the number of bytes read, 0 when there is no number. *whole is whether it was
 * digits alone. */
size_t bly_decimal_scan(const char *text, BlyDecimal *out, bool *whole);

BlyDecimal bly_decimal_from(uint64_t number);

/* number *= factor x 10^power, exactly. factor at most BLY_DECIMAL_FACTOR_MAX, and the digits must
 * fit: two factors after a scan always do. */
void bly_decimal_times(BlyDecimal *number, uint64_t factor, int power);

/* The nearest double; HUGE_VAL when it is too large, 0 when it is too small. */
double bly_decimal_value(const BlyDecimal *number);

enum { BLY_NUMBER_MAX = 32 };

/* Writes a finite number with `significant` digits (1 to 17), without zeros at the end: "0.25",
 * "-15", "1.5e-9". Plain between 1e-5 and 1e15. out holds BLY_NUMBER_MAX bytes. */
void bly_number_digits(double value, int significant, char *out);

/* As above with the fewest digits that strtod reads back to the same double. Zero is "0". */
void bly_number_shortest(double value, char *out);

/* Writes a finite number below 1e15 with `places` (0 to 12) after the point; never "-0". Larger
 * ones get e notation. out holds BLY_NUMBER_MAX bytes. */
void bly_number_places(double value, int places, char *out);

#endif
