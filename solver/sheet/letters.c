/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/letters.h"

#include <string.h>

/* Advance widths of the characters 0x20 to 0x7e in thousandths of the font's size, rounded up:
 * measured on DejaVu Sans 2.37, plain and bold, through cairo without hinting. Verdana has nearly
 * the same; the usual sans-serif fonts are narrower. */
/* clang-format off */
static const short plain[95] = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,
    636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531,
    1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
    603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500,
    500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
    635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
};
static const short strong[95] = {
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365,
    696, 696, 696, 696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580,
    1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995, 837, 850,
    733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500,
    500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687,
    716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
};
/* clang-format on */

/* Wider than any letter outside the table that DejaVu Sans has (1.17); a pictogram is 1.3. */
static const double other_width = 1.3;
static const unsigned unreadable = 0xFFFD;

static const struct {
    double size; /* mm */
    bool strong;
    const char *name;
} styles[TEXT_STYLES] = {
    {2.3, false, "s"}, {2.7, false, "p"}, {2.7, true, "b"}, {3.4, true, "h"}, {5.2, true, "t"},
};

double text_size(TextStyle style) {
    return styles[style].size;
}

const char *text_class(TextStyle style) {
    return styles[style].name;
}

double text_pitch(TextStyle style) {
    return 1.4 * styles[style].size;
}

/* Bytes that follow a first byte; -1 when it cannot be one. */
static int bytes_after(unsigned char c) {
    if (c < 0x80)
        return 0;
    if (c >= 0xC2 && c <= 0xDF)
        return 1;
    if (c >= 0xE0 && c <= 0xEF)
        return 2;
    return c >= 0xF0 && c <= 0xF4 ? 3 : -1;
}

static bool may_be_shown(unsigned code) {
    bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
    bool turns = code == 0x061C || (code >= 0x200B && code <= 0x200F) ||
                 (code >= 0x2028 && code <= 0x202E) || (code >= 0x2060 && code <= 0x206F);
    bool none = (code >= 0xD800 && code <= 0xDFFF) || (code & 0xFFFE) == 0xFFFE || code > 0x10FFFF;
    return !control && !turns && !none && code != 0xFEFF;
}

unsigned text_next(const char **at) {
    const unsigned char *p = (const unsigned char *)*at;
    int more = bytes_after(*p);
    if (more < 0) {
        (*at)++;
        return unreadable;
    }
    unsigned code = more == 0 ? *p : *p & (0x3FU >> more);
    for (int i = 1; i <= more; i++) {
        if ((p[i] & 0xC0) != 0x80) {
            *at += i;
            return unreadable;
        }
        code = code << 6 | (p[i] & 0x3FU);
    }
    *at += more + 1;
    bool overlong = (more == 2 && code < 0x800) || (more == 3 && code < 0x10000);
    return overlong || !may_be_shown(code) ? unreadable : code;
}

static double letter_width(TextStyle style, unsigned code) {
    if (code < 0x20 || code > 0x7E)
        return other_width * styles[style].size;
    return 1e-3 * styles[style].size * (styles[style].strong ? strong : plain)[code - 0x20];
}

double text_width(TextStyle style, const char *text) {
    double width = 0;
    while (*text != '\0')
        width += letter_width(style, text_next(&text));
    return width;
}

void text_clip(BlyText *out, TextStyle style, const char *text, double width) {
    if (text_width(style, text) <= width) {
        bly_text_append(out, text);
        return;
    }
    double room = width - text_width(style, "...");
    const char *end = text;
    while (*end != '\0') {
        const char *next = end;
        room -= letter_width(style, text_next(&next));
        if (room < 0)
            break;
        end = next;
    }
    if (end == text)
        return;
    bly_text_append_bytes(out, text, (size_t)(end - text));
    bly_text_append(out, "...");
}

static void append_code(BlyText *out, const char *from, const char *to, unsigned code) {
    switch (code) {
    case '&':
        bly_text_append(out, "&amp;");
        break;
    case '<':
        bly_text_append(out, "&lt;");
        break;
    case '>':
        bly_text_append(out, "&gt;");
        break;
    case '"':
        bly_text_append(out, "&quot;");
        break;
    case '\'':
        bly_text_append(out, "&#39;");
        break;
    case 0xFFFD:
        bly_text_append(out, "\xEF\xBF\xBD");
        break;
    default:
        bly_text_append_bytes(out, from, (size_t)(to - from));
    }
}

void text_escape(BlyText *out, const char *text) {
    while (*text != '\0') {
        const char *from = text;
        unsigned code = text_next(&text);
        append_code(out, from, text, code);
    }
}

size_t text_break(TextStyle style, const char *text, double width) {
    const char *at = text, *blank = NULL;
    double used = 0;
    while (*at != '\0') {
        const char *next = at;
        unsigned code = text_next(&next);
        used += letter_width(style, code);
        if (code == ' ')
            blank = at;
        else if (used > width && at > text)
            return (size_t)((blank != NULL && blank > text ? blank : at) - text);
        at = next;
    }
    return (size_t)(at - text);
}
