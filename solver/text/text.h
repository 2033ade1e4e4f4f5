/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A text that grows. Printers append to it without looking at each return value: the first failure
 * is remembered, later calls do nothing, and bly_text_good tells at the end.
 *
 * A zeroed BlyText is a valid empty one. Its owner releases it. */
#ifndef BALLASTRY_TEXT_TEXT_H
#define BALLASTRY_TEXT_TEXT_H

#include "ballastry/error.h"

#include <stdarg.h>

/* No result of ours is longer; more than this is a fault, not a document. */
#define BLY_TEXT_LIMIT ((size_t)1 << 30)

typedef struct BlyText {
    char *bytes;   /* NUL after the last byte; NULL while empty */
    size_t length; /* without the NUL */
    size_t room;
    bool failed; /* an append found no memory */
} BlyText;

void bly_text_init(BlyText *text);
void bly_text_release(BlyText *text); /* frees, and leaves a valid empty text */

void bly_text_append(BlyText *text, const char *string);
void bly_text_append_bytes(BlyText *text, const char *bytes, size_t length);
void bly_text_appendf(BlyText *text, const char *fmt, ...) BLY_PRINTF(2, 3);
void text_vappendf(BlyText *text, const char *fmt, va_list args) BLY_PRINTF(2, 0);
void bly_text_repeat(BlyText *text, char c, size_t count);

/* Shortens to `length` bytes; longer than the text is no change. */
void bly_text_cut(BlyText *text, size_t length);

/* The text so far, never NULL, valid until the next call that changes it. */
const char *bly_text_string(const BlyText *text);

/* False with BLY_E_MEMORY when any append failed. */
bool bly_text_good(const BlyText *text, BlyError *err) BLY_MUST_CHECK;

/* Hands the bytes to the caller, who frees them, and leaves an empty text. NULL after a failure. */
char *bly_text_detach(BlyText *text) BLY_MUST_CHECK;

#endif
