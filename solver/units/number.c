/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as makers write them. */
#include "units/reader.h"
#include "text/format.h"
#include "text/quote.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { FRACTION_DIGITS = 9 }; /* of each whole number in a fraction: their product fits 64 bits */

static const struct {
    const char *sign;
    unsigned top, bottom;
} vulgar_table[] = {
    {"\xC2\xBD", 1, 2},     {"\xC2\xBC", 1, 4},     {"\xC2\xBE", 3, 4},
    {"\xE2\x85\x9B", 1, 8}, {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8},
    {"\xE2\x85\x9E", 7, 8}, {"\xE2\x85\x93", 1, 3}, {"\xE2\x85\x94", 2, 3},
};

static const char fraction_slash[] = "\xE2\x81\x84"; /* U+2044 */
static const char minus_sign[] = "\xE2\x88\x92";     /* U+2212 */

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static bool starts(const char *text, const char *with) {
    return strncmp(text, with, strlen(with)) == 0;
}

bool reader_refuse(const Reader *r, BlyCode code, const char *fmt, ...) {
    char said[256], quoted[BLY_QUOTE_MAX], where[32];
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(said, sizeof said, fmt, args);
    va_end(args);
    int column = 1;
    for (const char *c = r->text; c < r->at; c++)
        column += ((unsigned char)*c & 0xC0) != 0x80;
    (void)snprintf(where, sizeof where, "column %d", column);
    bly_quote(r->text, quoted);
    return bly_fail(r->err, code, where, "\"%s\" %s", quoted, said);
}

void reader_skip_blanks(Reader *r) {
    while (*r->at == ' ' || *r->at == '\t')
        r->at++;
}

static size_t vulgar_at(const char *text, unsigned *top, unsigned *bottom) {
    for (size_t i = 0; i < sizeof vulgar_table / sizeof vulgar_table[0]; i++) {
        if (starts(text, vulgar_table[i].sign)) {
            *top = vulgar_table[i].top;
            *bottom = vulgar_table[i].bottom;
            return strlen(vulgar_table[i].sign);
        }
    }
    return 0;
}

static size_t sign_at(const char *text) {
    return *text == '-' || *text == '+' ? 1 : starts(text, minus_sign) ? strlen(minus_sign) : 0;
}

bool number_starts(const char *text) {
    unsigned top, bottom;
    text += sign_at(text);
    return is_digit(*text) || (*text == '.' && is_digit(text[1])) ||
           vulgar_at(text, &top, &bottom) > 0;
}

bool reader_minus(Reader *r) {
    size_t used = sign_at(r->at);
    bool minus = used > 0 && *r->at != '+';
    r->at += used;
    return minus;
}

/* Words that strtod would take, and other things that stand where a number should. */
static bool refuse_start(const Reader *r) {
    char c = (char)(*r->at | 0x20);
    if (c == 'n' || c == 'i') {
        static const char *const words[] = {"nan", "inf", "NAN", "INF", "NaN", "Inf"};
        for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
            if (starts(r->at, words[i]))
                return reader_refuse(r, BLY_E_RANGE, "is not a finite number");
        }
    }
    if (*r->at == ',' && is_digit(r->at[1]))
        return reader_refuse(r, BLY_E_SYNTAX, "has a decimal comma; write a point: \"0.%c\"",
                             r->at[1]);
    return reader_refuse(r, BLY_E_SYNTAX, "does not begin with a number; expected %s",
                         bly_dimension_words(r->dim));
}

/* Digits alone, as in a fraction. */
static bool read_whole(Reader *r, uint64_t *out) {
    uint64_t value = 0;
    int digits = 0;
    for (; is_digit(*r->at); r->at++) {
        if (++digits > FRACTION_DIGITS)
            return reader_refuse(r, BLY_E_RANGE,
                                 "has a fraction with more than %d digits in a number",
                                 FRACTION_DIGITS);
        value = 10 * value + (uint64_t)(*r->at - '0');
    }
    *out = value;
    return true;
}

/* Past "/" or the fraction slash, with blanks around, when digits follow; else where it was. */
static const char *past_slash(const char *text) {
    while (*text == ' ')
        text++;
    if (*text == '/')
        text++;
    else if (starts(text, fraction_slash))
        text += strlen(fraction_slash);
    else
        return NULL;
    while (*text == ' ')
        text++;
    return is_digit(*text) ? text : NULL;
}

/* Whether "1/2" starts at text. */
static bool fraction_starts(const char *text) {
    if (!is_digit(*text))
        return false;
    while (is_digit(*text))
        text++;
    return past_slash(text) != NULL;
}

/* "5/8" or a vulgar fraction, below one where `below_one` asks for it, added to `whole`. */
static bool read_fraction(Reader *r, uint64_t whole, bool below_one, Number *out) {
    uint64_t top = 0, bottom = 1;
    unsigned vulgar_top, vulgar_bottom;
    const char *start = r->at;
    size_t used = vulgar_at(r->at, &vulgar_top, &vulgar_bottom);
    if (used > 0) {
        top = vulgar_top;
        bottom = vulgar_bottom;
        r->at += used;
    } else {
        if (!read_whole(r, &top))
            return false;
        r->at = past_slash(r->at);
        if (!read_whole(r, &bottom))
            return false;
    }
    if (is_digit(*r->at) || (*r->at == '.' && is_digit(r->at[1])))
        return reader_refuse(r, BLY_E_SYNTAX, "has a fraction that is not of whole numbers");
    if (bottom == 0)
        return reader_refuse(r, BLY_E_RANGE, "divides by zero");
    if (below_one && top >= bottom) {
        r->at = start;
        return reader_refuse(r, BLY_E_SYNTAX,
                             "is not a mixed number: the fraction after %llu is not below one",
                             (unsigned long long)whole);
    }
    out->top = bly_decimal_from(whole * bottom + top);
    out->bottom = bottom;
    return true;
}

/* A decimal comma can only be told from what follows; it is never guessed at. */
static bool refuse_comma(const Reader *r, const char *start) {
    int before = (int)(r->at - start), after = 1;
    while (after < 6 && is_digit(r->at[after + 1]))
        after++;
    return reader_refuse(r, BLY_E_SYNTAX, "has a decimal comma; write a point: \"%.*s.%.*s\"",
                         before, start, after, r->at + 1);
}

bool reader_number(Reader *r, Number *out) {
    const char *start = r->at;
    unsigned top, bottom;
    if (fraction_starts(r->at) || vulgar_at(r->at, &top, &bottom) > 0)
        return read_fraction(r, 0, false, out);
    bool whole;
    size_t used = bly_decimal_scan(r->at, &out->top, &whole);
    if (used == 0)
        return refuse_start(r);
    r->at += used;
    out->bottom = 1;
    if (used == 1 && *start == '0' && (*r->at == 'x' || *r->at == 'X'))
        return reader_refuse(r, BLY_E_SYNTAX, "is hexadecimal; write a decimal number");
    if (*r->at == ',' && is_digit(r->at[1]))
        return refuse_comma(r, start);
    if (!whole)
        return true;
    const char *next = r->at;
    while (*next == ' ')
        next++;
    if (next == r->at && *next == '-')
        next++;
    bool mixed = (next > r->at && fraction_starts(next)) || vulgar_at(next, &top, &bottom) > 0;
    if (!mixed)
        return true;
    r->at = start;
    uint64_t count = 0;
    if (!read_whole(r, &count))
        return false;
    r->at = next;
    return read_fraction(r, count, true, out);
}
