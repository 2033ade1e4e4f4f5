/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decimal/decimal.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Digits beyond those kept only move the power of ten. */
static void push_digit(BlyDecimal *out, char c, bool after_point) {
    if (after_point)
        out->power--;
    if (out->count == 0 && c == '0')
        return;
    if (out->count < BLY_DECIMAL_READ)
        out->digit[out->count++] = (unsigned char)(c - '0');
    else
        out->power++;
}

/* "e-6" after a number. A lone e belongs to what follows, so nothing is read then. */
static size_t scan_exponent(const char *text, int *exponent) {
    size_t at = 0;
    if (text[at] != 'e' && text[at] != 'E')
        return 0;
    at++;
    bool minus = text[at] == '-';
    if (text[at] == '-' || text[at] == '+')
        at++;
    if (!is_digit(text[at]))
        return 0;
    int value = 0;
    for (; is_digit(text[at]); at++) {
        if (value < 100000)
            value = 10 * value + (text[at] - '0');
    }
    *exponent = minus ? -value : value;
    return at;
}

size_t bly_decimal_scan(const char *text, BlyDecimal *out, bool *whole) {
    *out = (BlyDecimal){0};
    size_t at = 0, digits = 0;
    for (; is_digit(text[at]); at++, digits++)
        push_digit(out, text[at], false);
    *whole = true;
    if (text[at] == '.' && (digits > 0 || is_digit(text[at + 1]))) {
        *whole = false;
        for (at++; is_digit(text[at]); at++, digits++)
            push_digit(out, text[at], true);
    }
    if (digits == 0)
        return 0;
    int exponent = 0;
    size_t used = scan_exponent(text + at, &exponent);
    if (used > 0)
        *whole = false;
    out->power += exponent;
    return at + used;
}

BlyDecimal bly_decimal_from(uint64_t number) {
    BlyDecimal out = {.count = 1, .digit = {1}};
    bly_decimal_times(&out, number, 0);
    return out;
}

void bly_decimal_times(BlyDecimal *number, uint64_t factor, int power) {
    unsigned char product[BLY_DECIMAL_DIGITS];
    int at = BLY_DECIMAL_DIGITS;
    uint64_t carry = 0;
    for (int i = number->count - 1; i >= 0; i--) {
        carry += factor * number->digit[i];
        product[--at] = (unsigned char)(carry % 10);
        carry /= 10;
    }
    for (; carry > 0 && at > 0; carry /= 10)
        product[--at] = (unsigned char)(carry % 10);
    while (at < BLY_DECIMAL_DIGITS && product[at] == 0)
        at++;
    number->count = BLY_DECIMAL_DIGITS - at;
    memcpy(number->digit, product + at, (size_t)number->count);
    number->power += power;
}

double bly_decimal_value(const BlyDecimal *number) {
    char text[BLY_DECIMAL_DIGITS + 16];
    for (int i = 0; i < number->count; i++)
        text[i] = (char)('0' + number->digit[i]);
    if (number->count == 0)
        return 0.0;
    (void)snprintf(text + number->count, sizeof text - (size_t)number->count, "e%d", number->power);
    return strtod(text, NULL);
}

/* Splits a number into its sign, its digits and the power of ten of the first one. Whatever the
 * locale puts for a point is left out. */
static int split(double value, int significant, char *digits) {
    char text[64];
    (void)snprintf(text, sizeof text, "%.*e", significant - 1, fabs(value));
    size_t n = 0;
    const char *c = text;
    for (; *c != '\0' && *c != 'e'; c++) {
        if (is_digit(*c))
            digits[n++] = *c;
    }
    digits[n] = '\0';
    return *c == 'e' ? (int)strtol(c + 1, NULL, 10) : 0;
}

void bly_number_digits(double value, int significant, char *out) {
    char digits[64];
    int first = split(value, significant, digits);
    int n = (int)strlen(digits);
    while (n > 1 && digits[n - 1] == '0')
        n--;
    const char *sign = value < 0.0 ? "-" : "";
    if (first < -5 || first >= 15) {
        (void)snprintf(out, BLY_NUMBER_MAX, "%s%c%s%.*se%d", sign, digits[0], n > 1 ? "." : "",
                       n - 1, digits + 1, first);
    } else if (first < 0) {
        (void)snprintf(out, BLY_NUMBER_MAX, "%s0.%.*s%.*s", sign, -first - 1, "00000", n, digits);
    } else if (n <= first + 1) {
        (void)snprintf(out, BLY_NUMBER_MAX, "%s%.*s%.*s", sign, n, digits, first + 1 - n,
                       "00000000000000");
    } else {
        (void)snprintf(out, BLY_NUMBER_MAX, "%s%.*s.%.*s", sign, first + 1, digits, n - first - 1,
                       digits + first + 1);
    }
}

/* Of decimals with up to DBL_DIG digits only one can read back as a given double, and rounding that
 * double to DBL_DIG digits gives it back, zeros behind (C17 5.2.4.2.2): the fewest need not be
 * searched from one digit on, but for doubles below the normal ones. */
void bly_number_shortest(double value, char *out) {
    int first = fabs(value) >= DBL_MIN ? DBL_DIG : 1;
    for (int significant = first; significant <= 17; significant++) {
        bly_number_digits(value, significant, out);
        BlyDecimal read;
        bool whole;
        (void)bly_decimal_scan(out + (out[0] == '-'), &read, &whole);
        if (bly_decimal_value(&read) == fabs(value))
            return;
    }
}

void bly_number_places(double value, int places, char *out) {
    if (fabs(value) >= 1e15) {
        bly_number_digits(value, 6, out);
        return;
    }
    char text[64], digits[64];
    (void)snprintf(text, sizeof text, "%.*f", places, fabs(value));
    size_t n = 0;
    bool zero = true;
    for (const char *c = text; *c != '\0'; c++) {
        if (is_digit(*c)) {
            digits[n++] = *c;
            zero = zero && *c == '0';
        }
    }
    int front = (int)n - places;
    (void)snprintf(out, BLY_NUMBER_MAX, "%s%.*s%s%.*s", value < 0.0 && !zero ? "-" : "", front,
                   digits, places > 0 ? "." : "", places, digits + front);
}
