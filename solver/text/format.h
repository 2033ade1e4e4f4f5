/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers have a point in every text of ours, also where the program that links the library has
 * asked for a locale with decimal commas. printf and strtod follow the locale; these do not,
 * because they run in the C locale of the calling thread alone, which nobody else sees. */
#ifndef BALLASTRY_TEXT_FORMAT_H
#define BALLASTRY_TEXT_FORMAT_H

#include "ballastry/error.h"

#include <stdarg.h>

/* As snprintf, vsnprintf and strtod. */
int bly_format(char *out, size_t size, const char *fmt, ...) BLY_PRINTF(3, 4);
int bly_vformat(char *out, size_t size, const char *fmt, va_list args) BLY_PRINTF(3, 0);
double bly_read_double(const char *text, char **end);

/* What stands between these two runs in the C locale. On glibc neither takes memory; where there is
 * none the locale stays as it is. */
typedef struct BlyPlain {
    void *plain, *before;
} BlyPlain;
BlyPlain bly_plain_begin(void);
void bly_plain_end(BlyPlain plain);

/* White space of the C locale. */
bool bly_is_space(char c);

#endif
