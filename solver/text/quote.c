/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text/quote.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

size_t bly_utf8_length(const char *text) {
    const unsigned char *c = (const unsigned char *)text;
    size_t length = c[0] < 0x80 ? 1 : c[0] < 0xC2 ? 0 : c[0] < 0xE0 ? 2 : c[0] < 0xF0 ? 3 : 4;
    if (length <= 1)
        return c[0] == '\0' ? 0 : length;
    uint32_t code = c[0] & (0xFFU >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((c[i] & 0xC0) != 0x80)
            return 0;
        code = (code << 6) | (c[i] & 0x3FU);
    }
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    return code >= least[length] && code <= 0x10FFFF && !surrogate ? length : 0;
}

void bly_quote(const char *text, char *out) {
    const size_t room = BLY_QUOTE_MAX - sizeof "...";
    size_t used = 0;
    while (*text != '\0') {
        size_t length = bly_utf8_length(text);
        unsigned char c = (unsigned char)*text;
        bool printable = length > 1 ? !(c == 0xC2 && (unsigned char)text[1] < 0xA0)
                                    : length == 1 && c >= 0x20 && c != 0x7F;
        size_t step = length > 0 ? length : 1;
        if (used + step > room) {
            memcpy(out + used, "...", 3);
            used += 3;
            break;
        }
        if (printable)
            memcpy(out + used, text, step);
        else
            out[used] = '?';
        used += printable ? step : 1;
        text += step;
    }
    out[used] = '\0';
}
