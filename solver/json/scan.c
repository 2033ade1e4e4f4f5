/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json/scan.h"
#include "json/json.h"
#include "text/format.h"
#include "text/quote.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* The text ends in NUL, so one byte may always be looked at. */
typedef struct Scan {
    const char *start, *at, *end;
    int depth;
    BlyError *err;
} Scan;

static bool scan_value(Scan *s);

static bool refuse(const Scan *s, const char *fmt, ...) BLY_PRINTF(2, 3);
static bool refuse(const Scan *s, const char *fmt, ...) {
    int line = 1, column = 1;
    for (const char *c = s->start; c < s->at; c++) {
        column += ((unsigned char)*c & 0xC0) != 0x80;
        if (*c == '\n') {
            line++;
            column = 1;
        }
    }
    char where[64], text[BLY_TEXT_MAX];
    (void)snprintf(where, sizeof where, "line %d, column %d", line, column);
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(text, sizeof text, fmt, args);
    va_end(args);
    return bly_fail(s->err, BLY_E_SYNTAX, where, "%s", text);
}

static void skip_blanks(Scan *s) {
    while (*s->at == ' ' || *s->at == '\t' || *s->at == '\n' || *s->at == '\r')
        s->at++;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static int hex_value(char c) {
    return is_digit(c)              ? c - '0'
           : (c >= 'a' && c <= 'f') ? c - 'a' + 10
           : (c >= 'A' && c <= 'F') ? c - 'A' + 10
                                    : -1;
}

/* The four digits after "\u", or -1. */
static int scan_hex(Scan *s) {
    int code = 0;
    for (int i = 0; i < 4; i++) {
        int digit = hex_value(s->at[i]);
        if (digit < 0)
            return -1;
        code = 16 * code + digit;
    }
    s->at += 4;
    return code;
}

/* Behind "\u". A character beyond the basic plane takes two escapes, high half first. */
static bool scan_unicode(Scan *s) {
    int code = scan_hex(s);
    if (code < 0)
        return refuse(s, "four hexadecimal digits belong after \\u");
    if (code == 0)
        return refuse(s, "a text cannot hold the character NUL");
    bool high = code >= 0xD800 && code <= 0xDBFF, low = code >= 0xDC00 && code <= 0xDFFF;
    if (high && s->at[0] == '\\' && s->at[1] == 'u') {
        s->at += 2;
        int second = scan_hex(s);
        if (second >= 0xDC00 && second <= 0xDFFF)
            return true;
    }
    if (high || low)
        return refuse(s, "half a character in \\u: the other half is missing");
    return true;
}

static bool scan_string(Scan *s) {
    const char *open = s->at++;
    while (*s->at != '"') {
        unsigned char c = (unsigned char)*s->at;
        if (s->at >= s->end || c == '\n') {
            s->at = open;
            return refuse(s, "this text in quotes has no end");
        }
        if (c < 0x20)
            return refuse(s, "a control character (code %u) in a text; write \\n or \\u%04x",
                          (unsigned)c, (unsigned)c);
        if (c == '\\') {
            s->at++;
            if (*s->at == 'u') {
                s->at++;
                if (!scan_unicode(s))
                    return false;
            } else if (*s->at != '\0' && strchr("\"\\/bfnrt", *s->at) != NULL) {
                s->at++;
            } else {
                return refuse(s, "a backslash is followed by one of \" \\ / b f n r t u");
            }
            continue;
        }
        size_t length = bly_utf8_length(s->at);
        if (length == 0)
            return refuse(s, "a byte that is not UTF-8 (%02x)", (unsigned)c);
        s->at += length;
    }
    s->at++;
    return true;
}

static bool scan_digits(Scan *s) {
    if (!is_digit(*s->at))
        return refuse(s, "a digit is missing in this number");
    while (is_digit(*s->at))
        s->at++;
    return true;
}

static bool scan_number(Scan *s) {
    const char *first = s->at;
    if (*s->at == '-')
        s->at++;
    if (*s->at == '0' && is_digit(s->at[1]))
        return refuse(s, "a number has no zero in front");
    if (!scan_digits(s))
        return false;
    if (*s->at == '.') {
        s->at++;
        if (!scan_digits(s))
            return false;
    }
    if (*s->at == 'e' || *s->at == 'E') {
        s->at++;
        if (*s->at == '+' || *s->at == '-')
            s->at++;
        if (!scan_digits(s))
            return false;
    }
    if (s->at - first > BLY_JSON_NUMBER_MAX) { /* cJSON would cut it at 63 */
        s->at = first;
        return refuse(s, "a number of more than %d characters", BLY_JSON_NUMBER_MAX);
    }
    return true;
}

static bool scan_literal(Scan *s) {
    static const char *const literals[] = {"true", "false", "null"};
    for (size_t i = 0; i < sizeof literals / sizeof literals[0]; i++) {
        size_t n = strlen(literals[i]);
        if (strncmp(s->at, literals[i], n) == 0) {
            s->at += n;
            return true;
        }
    }
    if (s->at >= s->end)
        return refuse(s, "the text ends where a value is expected");
    if (*s->at == '\'')
        return refuse(s, "a text stands in double quotes");
    if (*s->at == '/' || *s->at == '#')
        return refuse(s, "JSON has no comments");
    if (*s->at == '+' || *s->at == '.')
        return refuse(s, "a number begins with a digit or a minus");
    if (*s->at == '}' || *s->at == ']')
        return refuse(s, "a value is missing before '%c'; is there a comma too many?", *s->at);
    return refuse(s, "expected a value: a text in quotes, a number, true, false, null, { or [");
}

/* Behind a member: a comma and more to come, or the end. */
static bool scan_comma(Scan *s, char close, bool *more) {
    skip_blanks(s);
    *more = *s->at == ',';
    if (*s->at != ',' && *s->at != close) {
        if (s->at >= s->end)
            return refuse(s, "the text ends where ',' or '%c' is expected", close);
        return refuse(s, "expected ',' or '%c'", close);
    }
    s->at++;
    return true;
}

static bool scan_member(Scan *s) {
    skip_blanks(s);
    if (*s->at == '}')
        return refuse(s, "a key is missing before '}'; is there a comma too many?");
    if (*s->at != '"')
        return refuse(s, "expected a key in double quotes");
    if (!scan_string(s))
        return false;
    skip_blanks(s);
    if (*s->at != ':')
        return refuse(s, "expected ':' after the key");
    s->at++;
    return scan_value(s);
}

static bool scan_container(Scan *s, char close) {
    if (++s->depth > BLY_JSON_DEPTH_MAX)
        return refuse(s, "nested deeper than %d", BLY_JSON_DEPTH_MAX);
    s->at++;
    skip_blanks(s);
    bool more = *s->at != close;
    if (!more)
        s->at++;
    while (more) {
        if (!(close == '}' ? scan_member(s) : scan_value(s)) || !scan_comma(s, close, &more))
            return false;
    }
    s->depth--;
    return true;
}

static bool scan_value(Scan *s) {
    skip_blanks(s);
    char c = *s->at;
    if (c == '{')
        return scan_container(s, '}');
    if (c == '[')
        return scan_container(s, ']');
    if (c == '"')
        return scan_string(s);
    if (c == '-' || is_digit(c))
        return scan_number(s);
    return scan_literal(s);
}

bool json_scan(const char *text, size_t length, BlyError *err) {
    Scan s = {.start = text, .at = text, .end = text + length, .err = err};
    skip_blanks(&s);
    if (s.at >= s.end)
        return refuse(&s, "the text is empty");
    if (!scan_value(&s))
        return false;
    skip_blanks(&s);
    if (s.at < s.end)
        return refuse(&s, "text after the end of the document");
    return true;
}
