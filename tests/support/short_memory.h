/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at the n-th request. A test includes this, then names malloc, calloc and
 * realloc short_malloc .. while it includes the files of a room that ask for memory. */
#ifndef BALLASTRY_TESTS_SHORT_MEMORY_H
#define BALLASTRY_TESTS_SHORT_MEMORY_H

#include <stdbool.h>
#include <stdlib.h>

static long requests_left = -1; /* requests that still succeed; -1: all */

static inline bool runs_out(void) {
    if (requests_left < 0)
        return false;
    if (requests_left == 0)
        return true;
    requests_left--;
    return false;
}

static inline void *short_malloc(size_t size) {
    return runs_out() ? NULL : malloc(size);
}
static inline void *short_calloc(size_t count, size_t size) {
    return runs_out() ? NULL : calloc(count, size);
}
static inline void *short_realloc(void *old, size_t size) {
    return runs_out() ? NULL : realloc(old, size);
}

#endif
