/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "units/unit_table.h"

#include <string.h>

/* Signs people type or paste, and the letters that the table uses for them. Other blanks than the
 * plain one count as blanks. */
static const struct {
    const char *sign, *plain;
} sign_table[] = {
    {"\xC2\xB0", "deg"},   /* degree sign */
    {"\xC2\xBA", "deg"},   /* masculine ordinal, often typed for it */
    {"\xE2\x84\x83", "C"}, /* degree Celsius in one sign */
    {"\xE2\x84\x89", "F"}, /* degree Fahrenheit */
    {"\xC2\xB5", "u"},     /* micro */
    {"\xCE\xBC", "u"},     /* small mu */
    {"\xC2\xB9", "1"},     /* raised 1 */
    {"\xC2\xB2", "2"},     /* raised 2 */
    {"\xC2\xB3", "3"},     /* raised 3 */
    {"\xE2\x81\xBB", "-"}, /* raised minus */
    {"\xE2\x80\xB0", "permil"},
    {"\xE2\x80\xB3", "\""}, /* double prime */
    {"\xE2\x80\x9D", "\""}, /* closing double quote */
    {"\xE2\x80\xB2", "'"},  /* prime */
    {"\xE2\x80\x99", "'"},  /* closing single quote */
    {"\xC2\xB7", " "},      /* middle dot, "um/(m.K)" */
    {"\xE2\x8B\x85", " "},  /* dot operator */
    {"\xC2\xA0", " "},      /* no-break space */
    {"\xE2\x80\xAF", " "},  /* narrow no-break space */
    {"''", "\""},
    {"\t", " "},
    {"^", ""},
    {"per cent", "percent"},
};

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* The plain form of what stands at text, and how many bytes that took. */
static const char *plain_form(const char *text, size_t length, size_t *used) {
    for (size_t i = 0; i < sizeof sign_table / sizeof sign_table[0]; i++) {
        size_t n = strlen(sign_table[i].sign);
        if (n <= length && memcmp(text, sign_table[i].sign, n) == 0) {
            *used = n;
            return sign_table[i].plain;
        }
    }
    bool word_per = length >= 4 && memcmp(text, "per ", 4) == 0;
    *used = word_per ? 4 : 1;
    return word_per ? "/" : NULL;
}

typedef struct Spelling {
    char *out;
    size_t used;
    bool fits;
} Spelling;

static void put(Spelling *s, char c) {
    char last = s->used > 0 ? s->out[s->used - 1] : ' ';
    if (c == ' ' && (last == ' ' || last == '/'))
        return;
    if (c == '/' && last == ' ' && s->used > 0)
        s->used--;
    s->fits = s->fits && s->used + 1 < BLY_SPELLING_MAX;
    if (s->fits)
        s->out[s->used++] = c;
}

bool unit_spelling(const char *text, size_t length, char *out) {
    Spelling s = {.out = out, .fits = true};
    size_t used = 0;
    for (size_t at = 0; at < length; at += used) {
        const char *plain = plain_form(text + at, length - at, &used);
        bool inside_word = at > 0 && is_letter(text[at - 1]);
        if (plain == NULL || (used == 4 && inside_word)) {
            used = 1;
            bool full_stop = text[at] == '.' && inside_word &&
                             (at + 1 == length || text[at + 1] < '0' || text[at + 1] > '9');
            if (!full_stop)
                put(&s, text[at]);
            continue;
        }
        for (; *plain != '\0'; plain++)
            put(&s, *plain);
    }
    while (s.used > 0 && out[s.used - 1] == ' ')
        s.used--;
    out[s.used] = '\0';
    return s.fits;
}
