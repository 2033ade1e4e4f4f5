/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A foreign text put into a message: one line, printable, cut where it is long. */
#ifndef BALLASTRY_TEXT_QUOTE_H
#define BALLASTRY_TEXT_QUOTE_H

#include <stddef.h>

enum { BLY_QUOTE_MAX = 64 };

/* Bytes of the valid UTF-8 character at text (RFC 3629: shortest form, no surrogates, at most
 * U+10FFFF), 0 where there is none or the text ends. */
size_t bly_utf8_length(const char *text);

/* Copies text into out: control characters and broken UTF-8 become '?', and what does not fit
 * becomes "...". out holds BLY_QUOTE_MAX bytes. */
void bly_quote(const char *text, char *out);

#endif
