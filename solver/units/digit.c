/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How finely a number was written: what its last digit stands for. */
#include "ballastry/units.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* Nothing but the last digit is left, as a one: "14.2 g" becomes "00.1 g". False when there is none
 * to be seen. */
static bool keep_last(char text[BLY_QUANTITY_MAX]) {
    size_t begin = strcspn(text, "0123456789."), last = 0, end = begin;
    bool any = false;
    for (; isdigit((unsigned char)text[end]) || text[end] == '.'; end++) {
        if (text[end] == '.')
            continue;
        text[end] = '0';
        last = end;
        any = true;
    }
    const char *next = text + end + strspn(text + end, " ");
    if (!any || text[end] == '/' || text[end] == 'e' || text[end] == 'E' ||
        isdigit((unsigned char)*next))
        return false;
    text[last] = '1';
    return true;
}

double bly_quantity_last_digit(const char *text, BlyDimension dim, const char *bare_unit) {
    char one[BLY_QUANTITY_MAX];
    double found;
    size_t length = strlen(text);
    if (length >= sizeof one)
        return 0.0;
    memcpy(one, text, length + 1);
    if (dim == BLY_DIM_TEMPERATURE)
        dim = BLY_DIM_TEMPERATURE_STEP;
    return keep_last(one) && bly_quantity_read(one, dim, bare_unit, &found, NULL) ? fabs(found)
                                                                                  : 0.0;
}

double bly_mass_give_least(const char *text) {
    return 0.5 * bly_quantity_last_digit(text, BLY_DIM_MASS, "g");
}
