/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/vessel.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <string.h>

#include "ballastry/units.h"

enum { SIZES_MOST = 3, SIZE_MAX_TEXT = 48 };

typedef struct Sizes {
    char text[SIZES_MOST][SIZE_MAX_TEXT];
    size_t count;
    const char *give; /* behind "+-"; NULL: none */
} Sizes;

/* Length of the sign between two sizes that stands at p; 0: none. */
static size_t times_at(const char *p) {
    static const char sign[] = "\xc3\x97"; /* the times sign of UTF-8 */
    if (*p == 'x' || *p == 'X' || *p == '*')
        return 1;
    return strncmp(p, sign, sizeof sign - 1) == 0 ? sizeof sign - 1 : 0;
}

bool vessel_is_sizes(const char *text) {
    for (const char *p = text; *p != '\0'; p++) {
        if (times_at(p) > 0)
            return true;
    }
    return false;
}

static bool refuse(const char *text, const char *option, BlyError *err) {
    return bly_fail(err, BLY_E_SYNTAX, option,
                    "'%.60s' should look like \"40 x 120 mm\", diameter x depth, or \"80 x 30 x 25 "
                    "mm\", a block",
                    text);
}

static bool cut_up(const char *text, const char *option, Sizes *out, BlyError *err) {
    const char *end = strstr(text, "+-"), *from = text;
    *out = (Sizes){.give = end != NULL ? end + 2 : NULL};
    end = end != NULL ? end : text + strlen(text);
    for (const char *p = text; p <= end; p++) {
        size_t sign = p < end ? times_at(p) : 1;
        if (sign == 0)
            continue;
        size_t length = (size_t)(p - from);
        if (out->count == SIZES_MOST || length == 0 || length >= SIZE_MAX_TEXT)
            return refuse(text, option, err);
        memcpy(out->text[out->count], from, length);
        out->text[out->count++][length] = '\0';
        from = p + sign;
        p += sign - 1;
    }
    return out->count >= 2 || refuse(text, option, err);
}

/* The unit of a size that says none is that of the one behind it: from the last back. */
static bool read_sizes(const char *text, const Sizes *sizes, const char *option,
                       double size[SIZES_MOST], BlyError *err) {
    char unit[SIZE_MAX_TEXT] = "";
    for (size_t i = sizes->count; i-- > 0;) {
        const char *one = sizes->text[i];
        const char *behind = one + strspn(one, " 0123456789./+-");
        char whole[2 * SIZE_MAX_TEXT + 1];
        if (*behind != '\0')
            (void)snprintf(unit, sizeof unit, "%s", behind);
        (void)snprintf(whole, sizeof whole, "%s%s%s", one, *behind != '\0' ? "" : " ",
                       *behind != '\0' ? "" : unit);
        if (!bly_quantity_read(whole, BLY_DIM_LENGTH, NULL, &size[i], err)) {
            char prefix[64];
            (void)snprintf(prefix, sizeof prefix, "%s ", option);
            bly_error_prefix(err, prefix);
            return false;
        }
        if (!(size[i] > 0.0))
            return refuse(text, option, err);
    }
    return true;
}

bool vessel_parse(const char *text, const char *option, double share, BlyFigure *out,
                  BlyError *err) {
    Sizes sizes;
    double size[SIZES_MOST] = {0}, give;
    if (!cut_up(text, option, &sizes, err) || !read_sizes(text, &sizes, option, size, err))
        return false;
    bool round = sizes.count == 2;
    double volume = round ? M_PI_4 * size[0] * size[0] * size[1] : size[0] * size[1] * size[2];
    *out = (BlyFigure){volume, share * volume};
    if (sizes.give == NULL)
        return true;
    if (!bly_quantity_read(sizes.give, BLY_DIM_LENGTH, NULL, &give, NULL) || !(give >= 0.0))
        return refuse(text, option, err);
    double square = 0; /* gives of independent sizes add as squares */
    for (size_t i = 0; i < sizes.count; i++)
        square += pow((round && i == 0 ? 2 : 1) * give / size[i], 2);
    out->give = volume * sqrt(square);
    return true;
}
