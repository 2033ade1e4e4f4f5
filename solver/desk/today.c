/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What day it is. */
#define _POSIX_C_SOURCE 200809L
#include "desk/today.h"

#include <stdbool.h>

#include <stdlib.h>
#include <time.h>

const char *desk_today(char out[TODAY_MAX]) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    struct tm day;
    char *end = NULL;
    long long seconds = epoch != NULL ? strtoll(epoch, &end, 10) : 0;
    bool given = epoch != NULL && *epoch != '\0' && *end == '\0' && seconds >= 0;
    time_t at = given ? (time_t)seconds : time(NULL);
    out[0] = '\0';
    if ((given ? gmtime_r(&at, &day) : localtime_r(&at, &day)) != NULL)
        (void)strftime(out, TODAY_MAX, "%Y-%m-%d", &day);
    return out;
}
