/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Binary STL: 80 bytes of anything, the count as four bytes, and for each facet a normal and three
 * corners as twelve floats and two bytes more, all little-endian. The normal is passed over: it
 * follows from the corners. */
#include "stl/soup.h"

#include <stdio.h>
#include <string.h>

enum { HEAD = 84, COUNT_AT = 80, FACET = 50, NORMAL = 12 };

static uint32_t word_at(const char *bytes) {
    unsigned char b[4];
    memcpy(b, bytes, sizeof b);
    return (uint32_t)b[0] | (uint32_t)b[1] << 8 | (uint32_t)b[2] << 16 | (uint32_t)b[3] << 24;
}

static float float_at(const char *bytes) {
    uint32_t word = word_at(bytes);
    float value;
    memcpy(&value, &word, sizeof value);
    return value;
}

static bool read_facet(const char *bytes, size_t index, Triangle *out, BlyError *err) {
    char where[48];
    (void)snprintf(where, sizeof where, "facet %zu", index + 1);
    for (int k = 0; k < 9; k++) {
        double value = (double)float_at(bytes + NORMAL + 4 * k);
        if (!soup_number(value, &out->corner[k / 3][k % 3], where, err))
            return false;
    }
    return true;
}

bool soup_read_binary(const char *bytes, size_t size, Soup *out, BlyError *err) {
    if (size < HEAD)
        return bly_fail(err, BLY_E_SYNTAX, NULL,
                        "is not an STL file: %zu bytes; the shortest has %d and a facet", size,
                        HEAD);
    size_t count = word_at(bytes + COUNT_AT), room = (size - HEAD) / FACET;
    if (count != room || (size - HEAD) % FACET != 0)
        return bly_fail(
            err, BLY_E_SYNTAX, NULL,
            "is not an STL file, or was cut short: its head counts %zu facets, which takes "
            "%zu bytes; it has %zu",
            count, HEAD + FACET * count, size);
    if (count > BLY_MESH_FACETS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "has %zu facets; expected at most %d", count,
                        BLY_MESH_FACETS_MAX);
    for (size_t i = 0; i < count; i++) {
        Triangle triangle;
        if (!read_facet(bytes + HEAD + FACET * i, i, &triangle, err) ||
            !soup_add(out, &triangle, err))
            return false;
    }
    return true;
}
