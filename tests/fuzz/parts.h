/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A made-up input cut into a build's text and the files that it names, each with bytes of its own:
 *
 *     { "ballastry": 1, ... "stations": "a.csv" ... }
 *     --file a.csv
 *     x,diameter
 *     ..
 *     --file catalog.json
 *     ..
 *
 * A part ends with the newline before the next "--file ", which is not its own. An input without
 * that word is of the older form: the build, and behind a zero byte the one file that every name
 * gives. */
#ifndef BALLASTRY_TESTS_FUZZ_PARTS_H
#define BALLASTRY_TESTS_FUZZ_PARTS_H

#include "build/build.h"
#include "fuzz/fuzz.h"

#include <string.h>

enum { FUZZ_PARTS_MOST = 8 };

typedef struct FuzzPart {
    const char *name; /* not ended by NUL */
    size_t name_length;
    const uint8_t *bytes;
    size_t size;
} FuzzPart;

typedef struct FuzzParts {
    FuzzPart build;
    FuzzPart file[FUZZ_PARTS_MOST];
    size_t count;
    bool same_for_all; /* the older form */
} FuzzParts;

static const char fuzz_part_mark[] = "\n--file ";

/* Where the mark stands at `from` or behind, `size` when nowhere. */
static inline size_t fuzz_part_next(const uint8_t *data, size_t size, size_t from) {
    size_t length = sizeof fuzz_part_mark - 1;
    for (size_t at = from; at + length <= size; at++) {
        if (memcmp(data + at, fuzz_part_mark, length) == 0)
            return at;
    }
    return size;
}

static inline void fuzz_parts_older(const uint8_t *data, size_t size, FuzzParts *out) {
    const uint8_t *cut = size > 0 ? memchr(data, 0, size) : NULL;
    out->same_for_all = true;
    out->count = 1;
    if (cut == NULL)
        return;
    out->build.size = (size_t)(cut - data);
    out->file[0] = (FuzzPart){.bytes = cut + 1, .size = size - out->build.size - 1};
}

/* The parts borrow from `data`; those beyond FUZZ_PARTS_MOST are left out. */
static inline void fuzz_parts_cut(const uint8_t *data, size_t size, FuzzParts *out) {
    size_t at = fuzz_part_next(data, size, 0);
    *out = (FuzzParts){.build = {.bytes = data, .size = at}};
    if (at == size)
        fuzz_parts_older(data, size, out);
    while (at < size && out->count < FUZZ_PARTS_MOST) {
        size_t from = at + sizeof fuzz_part_mark - 1;
        at = fuzz_part_next(data, size, from);
        const uint8_t *line = memchr(data + from, '\n', at - from);
        size_t length = line != NULL ? (size_t)(line - data) - from : at - from;
        size_t begin = line != NULL ? from + length + 1 : at;
        out->file[out->count++] =
            (FuzzPart){(const char *)data + from, length, data + begin, at - begin};
    }
}

static inline bool fuzz_part_is(const FuzzPart *part, const char *name) {
    return part->name_length == strlen(name) && memcmp(part->name, name, part->name_length) == 0;
}

/* Likewise where only the ending is the same, so that a changed name still finds a file. */
static inline bool fuzz_part_like(const FuzzPart *part, const char *name) {
    const char *dot = strrchr(name, '.');
    size_t length = dot != NULL ? strlen(dot) : 0;
    return length > 0 && part->name_length >= length &&
           memcmp(part->name + part->name_length - length, dot, length) == 0;
}

static inline const FuzzPart *fuzz_parts_find(const FuzzParts *parts, const char *name) {
    for (size_t i = 0; i < parts->count; i++) {
        if (parts->same_for_all || fuzz_part_is(&parts->file[i], name))
            return &parts->file[i];
    }
    for (size_t i = 0; i < parts->count; i++) {
        if (fuzz_part_like(&parts->file[i], name))
            return &parts->file[i];
    }
    return NULL;
}

/* A NUL behind, of just that size, so that reading beyond it is seen; free. NULL without memory. */
static inline char *fuzz_part_text(const FuzzPart *part) {
    char *text = malloc(part->size + 1);
    if (text != NULL && part->size > 0)
        memcpy(text, part->bytes, part->size);
    if (text != NULL)
        text[part->size] = '\0';
    return text;
}

/* For BlyBuildFiles; `context` are the parts. */
static inline bool fuzz_parts_read(void *context, const char *name, char **text, size_t *size,
                                   BlyError *err) {
    const FuzzPart *part = fuzz_parts_find(context, name);
    if (part == NULL)
        return bly_fail(err, BLY_E_IO, name, "is not there");
    *text = fuzz_part_text(part);
    *size = part->size;
    return *text != NULL || bly_fail(err, BLY_E_MEMORY, name, "no memory left");
}

#endif
