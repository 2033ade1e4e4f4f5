/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/lines.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

enum { SENTENCE_MAX = 4096 };

/* Characters of UTF-8: every byte but those that continue one. */
static int width_of(const char *text, size_t bytes) {
    int width = 0;
    for (size_t i = 0; i < bytes; i++)
        width += ((unsigned char)text[i] & 0xc0) != 0x80;
    return width;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* A figure and its unit stay together. */
static bool may_break(const char *text, size_t at, size_t next) {
    bool figure = at > 0 && is_digit(text[at - 1]);
    bool unit = text[next] == '%' || (text[next] >= 'A' && text[next] <= 'z');
    return !(figure && unit);
}

/* Bytes of the next line of text, up to the blank where it is broken. */
static size_t line_of(const char *text, int room) {
    size_t taken = 0, at = strspn(text, " ");
    while (text[at] != '\0') {
        at += strcspn(text + at, " ");
        size_t next = at + strspn(text + at, " ");
        if (width_of(text, at) > room && taken > 0)
            break;
        if (taken == 0 || may_break(text, at, next))
            taken = at;
        at = next;
    }
    return taken;
}

static void wrap(FILE *out, int indent, int most, const char *text) {
    for (int line = 1; *text != '\0'; line++) {
        int room = LINE_COLUMNS - (line > 1 ? indent : 0);
        size_t length = line_of(text, room);
        bool cut = line == most && text[length] != '\0';
        if (cut)
            length = line_of(text, room - 3);
        (void)fprintf(out, "%*s%.*s%s\n", line > 1 ? indent : 0, "", (int)length, text,
                      cut ? " .." : "");
        text += length;
        text += strspn(text, " ");
        if (cut)
            return;
    }
}

/* No memory is asked for: a line that is lost would not be missed. */
void text_wrapped(const Report *r, int indent, const char *fmt, ...) {
    char text[SENTENCE_MAX];
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(text, sizeof text, fmt, args);
    va_end(args);
    wrap(r->out, indent, 0, text);
}

void text_wrapped_most(const Report *r, int indent, int most, const char *text) {
    wrap(r->out, indent, most, text);
}

/* "11.56" of "11.56 g". */
static void without_unit(char *text) {
    char *blank = strchr(text, ' ');
    if (blank != NULL)
        *blank = '\0';
}

void tolerance_words(const Report *r, double si, double tolerance, BlyDimension dim, int digits,
                     char out[WORDS_MAX]) {
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, r->system, digits, value);
    bly_quantity_show(tolerance, dim, r->system, digits, give);
    without_unit(value);
    (void)snprintf(out, WORDS_MAX, "%.60s +-%.60s", value, give);
}

void from_to_words(const Report *r, double low, double high, BlyDimension dim, int digits,
                   char out[WORDS_MAX]) {
    char from[BLY_QUANTITY_MAX], to[BLY_QUANTITY_MAX];
    bly_quantity_show(low, dim, r->system, digits, from);
    bly_quantity_show(high, dim, r->system, digits, to);
    if (strcmp(from, to) == 0) {
        (void)snprintf(out, WORDS_MAX, "%s", to);
        return;
    }
    without_unit(from);
    (void)snprintf(out, WORDS_MAX, "%.60s to %.60s", from, to);
}
