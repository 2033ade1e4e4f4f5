/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text/format.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

BlyPlain bly_plain_begin(void) {
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    return (BlyPlain){plain, plain != (locale_t)0 ? uselocale(plain) : (locale_t)0};
}

void bly_plain_end(BlyPlain plain) {
    if (plain.plain == NULL)
        return;
    (void)uselocale(plain.before);
    freelocale(plain.plain);
}

int bly_vformat(char *out, size_t size, const char *fmt, va_list args) {
    BlyPlain plain = bly_plain_begin();
    int length = vsnprintf(out, size, fmt, args);
    bly_plain_end(plain);
    return length;
}

int bly_format(char *out, size_t size, const char *fmt, ...) {
    va_list args;
    va_start(args, fmt);
    int length = bly_vformat(out, size, fmt, args);
    va_end(args);
    return length;
}

double bly_read_double(const char *text, char **end) {
    BlyPlain plain = bly_plain_begin();
    double value = strtod(text, end);
    bly_plain_end(plain);
    return value;
}

bool bly_is_space(char c) {
    return c != '\0' && strchr(" \t\n\v\f\r", c) != NULL;
}
