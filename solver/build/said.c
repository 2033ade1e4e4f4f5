/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reading a build's body found or assumed, for people. */
#include "build/sections.h"
#include "text/format.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

bool build_say(BlyBuild *build, BlyError *err, const char *fmt, ...) {
    char text[BLY_TEXT_MAX];
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(text, sizeof text, fmt, args);
    va_end(args);
    char **more = realloc(build->said, (build->said_count + 1) * sizeof *more);
    if (more == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what is to be said");
    build->said = more;
    more[build->said_count] = build_copy(text, err);
    if (more[build->said_count] == NULL)
        return false;
    build->said_count++;
    return true;
}

void build_release_said(BlyBuild *build) {
    for (size_t i = 0; i < build->said_count; i++)
        free(build->said[i]);
    free(build->said);
}
