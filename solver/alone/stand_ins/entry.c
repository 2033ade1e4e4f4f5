/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a worker calls first. */
#include "alone/alone.h"
#include "ballastry/version.h"

#include <emscripten.h>
#include <stdio.h>

Alone *alone_open(const char *folder);
const char *alone_why(void);

static BlyError why;

/* NULL: alone_why() says why. */
EMSCRIPTEN_KEEPALIVE Alone *alone_open(const char *folder) {
    static bool begun;
    if (!begun)
        bly_begin();
    begun = true;
    why = (BlyError){0};
    return alone_new(folder, &why);
}

/* One line, until the next alone_open. */
EMSCRIPTEN_KEEPALIVE const char *alone_why(void) {
    static char line[2 * BLY_TEXT_MAX];
    (void)snprintf(line, sizeof line, "%s%s%s", why.where, why.where[0] != '\0' ? ": " : "",
                   why.text);
    return line;
}
