/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ASCII STL: words parted by white space, in either case.
 *
 *     solid NAME
 *       facet normal X Y Z
 *         outer loop
 *           vertex X Y Z      three times
 *         endloop
 *       endfacet
 *     endsolid NAME
 *
 * A file may hold several solids. A name runs to the end of its line. The normal is passed over. */
#include "stl/soup.h"
#include "text/format.h"
#include "text/quote.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { WORD_MOST = 80 };

typedef struct Reader {
    const char *at, *end;
    size_t line;
    char word[WORD_MOST]; /* "" at the end of the file */
    size_t word_line;
} Reader;

/* The next word; what is longer than any word of the format is cut. */
static void next_word(Reader *reader) {
    size_t length = 0;
    while (reader->at < reader->end && bly_is_space(*reader->at))
        reader->line += *reader->at++ == '\n';
    reader->word_line = reader->line;
    for (; reader->at < reader->end && !bly_is_space(*reader->at); reader->at++) {
        if (length + 1 < WORD_MOST)
            reader->word[length++] = *reader->at == '\0' ? '?' : *reader->at;
    }
    reader->word[length] = '\0';
}

static void skip_line(Reader *reader) {
    while (reader->at < reader->end && *reader->at != '\n')
        reader->at++;
}

static bool is_word(const Reader *reader, const char *word) {
    return strcasecmp(reader->word, word) == 0;
}

static bool refuse(const Reader *reader, const char *expected, BlyError *err) {
    char where[48], quoted[BLY_QUOTE_MAX];
    (void)snprintf(where, sizeof where, "line %zu", reader->word_line);
    bly_quote(reader->word, quoted);
    if (reader->word[0] == '\0')
        return bly_fail(err, BLY_E_SYNTAX, where, "the file ends; expected %s", expected);
    return bly_fail(err, BLY_E_SYNTAX, where, "\"%s\", expected %s", quoted, expected);
}

static bool expect(Reader *reader, const char *word, BlyError *err) {
    next_word(reader);
    return is_word(reader, word) || refuse(reader, word, err);
}

static bool read_number(Reader *reader, float *out, BlyError *err) {
    char where[48], *rest;
    next_word(reader);
    double value = bly_read_double(reader->word, &rest);
    if (rest == reader->word || *rest != '\0')
        return refuse(reader, "a number", err);
    (void)snprintf(where, sizeof where, "line %zu", reader->word_line);
    return soup_number(value, out, where, err);
}

static bool read_corner(Reader *reader, float corner[3], BlyError *err) {
    return expect(reader, "vertex", err) && read_number(reader, &corner[0], err) &&
           read_number(reader, &corner[1], err) && read_number(reader, &corner[2], err);
}

/* After the word "facet". */
static bool read_facet(Reader *reader, Triangle *out, BlyError *err) {
    if (!expect(reader, "normal", err))
        return false;
    for (int k = 0; k < 3; k++) {
        next_word(reader);
        if (reader->word[0] == '\0' || is_word(reader, "outer"))
            return refuse(reader, "three numbers of a normal", err);
    }
    return expect(reader, "outer", err) && expect(reader, "loop", err) &&
           read_corner(reader, out->corner[0], err) && read_corner(reader, out->corner[1], err) &&
           read_corner(reader, out->corner[2], err) && expect(reader, "endloop", err) &&
           expect(reader, "endfacet", err);
}

/* After the word "solid", up to and with "endsolid". */
static bool read_solid(Reader *reader, Soup *out, BlyError *err) {
    skip_line(reader);
    for (;;) {
        next_word(reader);
        if (is_word(reader, "endsolid")) {
            skip_line(reader);
            return true;
        }
        Triangle triangle;
        if (!is_word(reader, "facet"))
            return refuse(reader, "facet or endsolid", err);
        if (!read_facet(reader, &triangle, err) || !soup_add(out, &triangle, err))
            return false;
        if (out->count > BLY_MESH_FACETS_MAX)
            return bly_fail(err, BLY_E_RANGE, NULL, "has more than %d facets", BLY_MESH_FACETS_MAX);
    }
}

bool soup_read_text(const char *bytes, size_t size, Soup *out, BlyError *err) {
    Reader reader = {.at = bytes, .end = bytes + size, .line = 1};
    for (;;) {
        next_word(&reader);
        if (reader.word[0] == '\0')
            return true;
        if (!is_word(&reader, "solid"))
            return refuse(&reader, "solid", err);
        if (!read_solid(&reader, out, err))
            return false;
    }
}
