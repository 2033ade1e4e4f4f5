/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list itself. */
#include "ballastry/slip.h"
#include "text/format.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void bly_slips_release(BlySlips *slips) {
    free(slips->at);
    *slips = (BlySlips){0};
}

bool bly_slips_hold(const BlySlips *slips, const BlySlip *slip) {
    for (size_t i = 0; i < slips->count; i++) {
        if (strcmp(slips->at[i].where, slip->where) == 0 &&
            strcmp(slips->at[i].text, slip->text) == 0)
            return true;
    }
    return false;
}

bool bly_slip_add(BlySlips *to, BlyError *err, const char *where, const char *fmt, ...) {
    BlySlip slip = {0};
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(slip.text, sizeof slip.text, fmt, args);
    va_end(args);
    (void)snprintf(slip.where, sizeof slip.where, "%s", where);
    if (bly_slips_hold(to, &slip))
        return true;
    BlySlip *more = realloc(to->at, (to->count + 1) * sizeof *more);
    if (more == NULL)
        return bly_fail(err, BLY_E_MEMORY, where, "no memory for what is to be said");
    to->at = more;
    more[to->count++] = slip;
    return true;
}
