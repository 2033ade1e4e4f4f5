/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "build/drawing.h"

#include "svg/svg.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_MOST = 200 /* bytes */, STROKES_MOST = 8 };

/* A drawing begins with an angle bracket, or with the marks of UTF-16 or gzip; a table does not. */
static bool is_svg(const char *text, size_t size) {
    size_t at = size >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    while (at < size && strchr(" \t\r\n", text[at]) != NULL && text[at] != '\0')
        at++;
    return at < size && strchr("<\xfe\xff\x1f", text[at]) != NULL && text[at] != '\0';
}

static bool read_text(const char *text, size_t size, const char *id, Drawn *drawn, BlyError *err) {
    if (!is_svg(text, size)) {
        if (id != NULL)
            return bly_fail(err, BLY_E_SYNTAX, NULL,
                            "is not an SVG drawing; only drawings have ids");
        return build_read_points(text, size, &drawn->trace, err);
    }
    BlyDrawing drawing;
    bool good = bly_svg_read(text, size, id, &drawing, err);
    if (good) {
        const BlyAffine metres = {1e-3, 0.0, 0.0, 1e-3, 0.0, 0.0};
        bly_trace_map(&drawing.trace, &metres);
        drawn->sized = drawn->sized && drawing.sized;
        drawn->in_px = drawn->in_px || drawing.in_px;
        good = bly_trace_join(&drawn->trace, &drawing.trace, err);
    }
    bly_drawing_release(&drawing);
    return good;
}

/* "minnow.svg#side" is the element "side" of minnow.svg, as a fragment is of a document. */
static bool read_one(const BlyJson *place, const BlyBuildFiles *files, Drawn *drawn,
                     BlyError *err) {
    const char *words;
    char file[NAME_MOST + 1], *text = NULL;
    size_t size = 0;
    if (!bly_json_string(place, NAME_MOST, &words, err))
        return false;
    (void)snprintf(file, sizeof file, "%s", words);
    char *hash = strrchr(file, '#');
    if (hash != NULL)
        *hash = '\0';
    const char *id = hash != NULL ? words + (hash - file) + 1 : NULL;
    if (file[0] == '\0' || (id != NULL && id[0] == '\0'))
        return bly_json_refuse(place, BLY_E_SYNTAX, err,
                               "expected a file's name, or one with an id: \"minnow.svg#side\"");
    if (!build_fetch(place, file, files, &text, &size, err))
        return false;
    BlyError found = {0};
    bool good = read_text(text, size, id, drawn, &found);
    free(text);
    return good || build_blame_file(place, file, &found, err);
}

bool build_read_drawing(const BlyJson *place, const BlyBuildFiles *files, Drawn *drawn,
                        BlyError *err) {
    drawn->sized = true;
    drawn->in_px = false;
    if (!cJSON_IsArray(place->node))
        return read_one(place, files, drawn, err);
    if (!bly_json_array(place, 1, STROKES_MOST, err))
        return false;
    for (BlyJson item = bly_json_first(place); item.node != NULL; bly_json_next(&item)) {
        if (!read_one(&item, files, drawn, err))
            return false;
    }
    return true;
}
