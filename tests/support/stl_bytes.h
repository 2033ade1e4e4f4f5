/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Meshes written out as STL, for tests: by the format's own description, without the solver. The
 * numbers are millimetres. */
#ifndef BALLASTRY_TESTS_STL_BYTES_H
#define BALLASTRY_TESTS_STL_BYTES_H

#include "support/meshes.h"

typedef struct StlBytes {
    char *bytes; /* a NUL behind them; free by the caller */
    size_t size;
} StlBytes;

static inline void stl_put(StlBytes *out, const void *bytes, size_t size) {
    out->bytes = realloc(out->bytes, out->size + size + 1);
    assert_non_null(out->bytes);
    memcpy(out->bytes + out->size, bytes, size);
    out->size += size;
    out->bytes[out->size] = '\0';
}

static inline void stl_put_word(StlBytes *out, uint32_t word) {
    const unsigned char b[4] = {(unsigned char)word, (unsigned char)(word >> 8),
                                (unsigned char)(word >> 16), (unsigned char)(word >> 24)};
    stl_put(out, b, sizeof b);
}

static inline void stl_put_float(StlBytes *out, double value) {
    float narrow = (float)value;
    uint32_t word;
    memcpy(&word, &narrow, sizeof word);
    stl_put_word(out, word);
}

static inline StlBytes stl_binary(const BlyMesh *mesh, const char *head) {
    StlBytes out = {0};
    char label[80] = "";
    (void)snprintf(label, sizeof label, "%s", head);
    stl_put(&out, label, sizeof label);
    stl_put_word(&out, (uint32_t)mesh->facet_count);
    for (size_t i = 0; i < mesh->facet_count; i++) {
        for (int k = 0; k < 3; k++)
            stl_put_float(&out, 0.0);
        for (int k = 0; k < 3; k++) {
            BlyVec3 p = mesh->points[mesh->facets[i][k]];
            stl_put_float(&out, 1e3 * p.x);
            stl_put_float(&out, 1e3 * p.y);
            stl_put_float(&out, 1e3 * p.z);
        }
        stl_put(&out, "\0", 2);
    }
    return out;
}

static inline StlBytes stl_text(const BlyMesh *mesh) {
    StlBytes out = {0};
    char line[256];
    stl_put(&out, "solid made up\n", 14);
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 p[3];
        for (int k = 0; k < 3; k++)
            p[k] = bly_vec_scale(mesh->points[mesh->facets[i][k]], 1e3);
        int length =
            snprintf(line, sizeof line,
                     "facet normal 0 0 0\nouter loop\nvertex %.9g %.9g %.9g\nvertex %.9g "
                     "%.9g %.9g\nvertex %.9g %.9g %.9g\nendloop\nendfacet\n",
                     p[0].x, p[0].y, p[0].z, p[1].x, p[1].y, p[1].z, p[2].x, p[2].y, p[2].z);
        stl_put(&out, line, (size_t)length);
    }
    stl_put(&out, "endsolid made up\n", 17);
    return out;
}

#endif
