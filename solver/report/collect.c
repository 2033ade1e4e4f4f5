/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* fopencookie */
#include "report/result.h"
#include "text/format.h"

static ssize_t append(void *cookie, const char *bytes, size_t size) {
    BlyText *text = cookie;
    bly_text_append_bytes(text, bytes, size);
    return text->failed ? 0 : (ssize_t)size;
}

/* Not open_memstream: glibc's (2.36) loses what it has no memory for, and no flag tells. */
FILE *report_collect(BlyText *into) {
    return fopencookie(into, "w", (cookie_io_functions_t){.write = append});
}

void report_print(FILE *out, const char *fmt, ...) {
    va_list args;
    va_start(args, fmt);
    BlyPlain plain = bly_plain_begin();
    (void)vfprintf(out, fmt, args);
    bly_plain_end(plain);
    va_end(args);
}
