/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What went wrong, where, and what was expected.
 *
 * Every function that can fail takes a BlyError as its last argument and returns false (or NULL)
 * on failure. The error is filled where the fault is found and printed only by a command. It is
 * touched on failure alone, so one zeroed BlyError serves a whole run. A NULL error is allowed:
 * then only the return value tells. */
#ifndef BALLASTRY_ERROR_H
#define BALLASTRY_ERROR_H

#include "ballastry/api.h"

#include <stdbool.h>
#include <stddef.h>

#if defined(__GNUC__)
#define BLY_MUST_CHECK __attribute__((warn_unused_result))
#define BLY_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#else
#define BLY_MUST_CHECK
#define BLY_PRINTF(fmt, args)
#endif

BLY_API_BEGIN

typedef enum BlyCode {
    BLY_OK = 0,
    BLY_E_SYNTAX,   /* text that cannot be read at all */
    BLY_E_UNIT,     /* a quantity of the wrong dimension, or an unknown unit */
    BLY_E_RANGE,    /* a number outside what is allowed, NaN or infinite */
    BLY_E_MISSING,  /* something required is not there */
    BLY_E_UNKNOWN,  /* a key, name or id that nobody knows */
    BLY_E_CONFLICT, /* two things that cannot both hold; a doubled key */
    BLY_E_IO,       /* a file that cannot be read or written */
    BLY_E_MEMORY,   /* no memory left */
    BLY_E_INTERNAL  /* a numerical routine failed, or our own assumption broke */
} BlyCode;

enum { BLY_WHERE_MAX = 256, BLY_TEXT_MAX = 384 };

typedef struct BlyError {
    BlyCode code;
    char where[BLY_WHERE_MAX]; /* JSON Pointer, "line 3, column 7", an option; may be empty */
    char text[BLY_TEXT_MAX];   /* one line: no capital at the start, no full stop at the end */
} BlyError;

/* Fills err (if not NULL) and returns false, so that "return bly_fail(...)" reads well. `where`
 * may be NULL for "no place". Text that does not fit is cut. */
bool bly_fail(BlyError *err, BlyCode code, const char *where, const char *fmt, ...)
    BLY_PRINTF(4, 5);

#ifdef __clang_analyzer__ /* it cannot look into error.c, and would suppose true as well */
#define bly_fail(...) ((void)bly_fail(__VA_ARGS__), false)
#endif

/* Puts `prefix` before the place of an error that was filled deeper down. */
void bly_error_prefix(BlyError *err, const char *prefix);

/* The name of a code in plain words ("wrong unit"), never NULL. */
const char *bly_code_words(BlyCode code);

/* Whether the fault is in what was given, and not want of memory, a fault inside or no error. */
bool bly_code_of_input(BlyCode code);

BLY_API_END

#endif
