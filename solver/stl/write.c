/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mesh as an STL file. Corners are rounded to single precision, as the format has them; a facet
 * whose corners then fall together is left out, on both sides of the edge that it was. */
#include "ballastry/stl.h"

#include <stdlib.h>
#include <string.h>

#include "text/text.h"

enum { HEAD = 80 };

typedef struct Corner3 {
    float at[3];
} Corner3;

static void corners_of(const BlyMesh *mesh, size_t facet, double unit, Corner3 out[3]) {
    for (int k = 0; k < 3; k++) {
        BlyVec3 p = mesh->points[mesh->facets[facet][k]];
        const double at[3] = {p.x, p.y, p.z};
        for (int i = 0; i < 3; i++) {
            out[k].at[i] = (float)(at[i] / unit);
            if (out[k].at[i] == 0.0f) /* no -0: other readers compare bytes */
                out[k].at[i] = 0.0f;
        }
    }
}

static bool same(const Corner3 *a, const Corner3 *b) {
    return a->at[0] == b->at[0] && a->at[1] == b->at[1] && a->at[2] == b->at[2];
}

static bool flat(const Corner3 c[3]) {
    return same(&c[0], &c[1]) || same(&c[1], &c[2]) || same(&c[2], &c[0]);
}

static BlyVec3 vec_of(const Corner3 *c) {
    return bly_vec((double)c->at[0], (double)c->at[1], (double)c->at[2]);
}

/* Unit normal; 0 0 0 where the corners lie in line, which readers work out anew. */
static BlyVec3 normal_of(const Corner3 c[3]) {
    BlyVec3 a = vec_of(&c[0]);
    BlyVec3 n = bly_vec_cross(bly_vec_sub(vec_of(&c[1]), a), bly_vec_sub(vec_of(&c[2]), a));
    double size = bly_vec_norm(n);
    return size > 0.0 ? bly_vec_scale(n, 1.0 / size) : bly_vec(0.0, 0.0, 0.0);
}

static void put_word(BlyText *out, uint32_t word) {
    const char b[4] = {(char)(word & 0xff), (char)(word >> 8 & 0xff), (char)(word >> 16 & 0xff),
                       (char)(word >> 24 & 0xff)};
    bly_text_append_bytes(out, b, sizeof b);
}

static void put_float(BlyText *out, float value) {
    uint32_t word;
    memcpy(&word, &value, sizeof word);
    put_word(out, word);
}

static void put_binary(BlyText *out, const Corner3 c[3]) {
    BlyVec3 n = normal_of(c);
    put_float(out, (float)n.x);
    put_float(out, (float)n.y);
    put_float(out, (float)n.z);
    for (int k = 0; k < 9; k++)
        put_float(out, c[k / 3].at[k % 3]);
    bly_text_append_bytes(out, "\0", 2);
}

static void put_ascii(BlyText *out, const Corner3 c[3]) {
    BlyVec3 n = normal_of(c);
    bly_text_appendf(out, "  facet normal %.6g %.6g %.6g\n    outer loop\n", n.x + 0.0, n.y + 0.0,
                     n.z + 0.0);
    for (int k = 0; k < 3; k++)
        bly_text_appendf(out, "      vertex %.9g %.9g %.9g\n", (double)c[k].at[0],
                         (double)c[k].at[1], (double)c[k].at[2]);
    bly_text_appendf(out, "    endloop\n  endfacet\n");
}

static void put_facets(const BlyMesh *mesh, double unit, BlyStlKind kind, BlyText *out,
                       uint32_t *count) {
    Corner3 c[3];
    *count = 0;
    for (size_t f = 0; f < mesh->facet_count; f++) {
        corners_of(mesh, f, unit, c);
        if (flat(c))
            continue;
        (*count)++;
        if (kind == BLY_STL_TEXT)
            put_ascii(out, c);
        else
            put_binary(out, c);
    }
}

bool bly_stl_write(const BlyMesh *mesh, double unit, BlyStlKind kind, char **bytes, size_t *size,
                   BlyError *err) {
    BlyText out;
    uint32_t count;
    char head[HEAD] = "ballastry, mm"; /* a binary file's must not begin with "solid" */
    bly_text_init(&out);
    if (kind == BLY_STL_TEXT) {
        bly_text_append(&out, "solid body\n");
    } else {
        bly_text_append_bytes(&out, head, sizeof head);
        put_word(&out, 0);
    }
    put_facets(mesh, unit, kind, &out, &count);
    if (kind == BLY_STL_TEXT)
        bly_text_append(&out, "endsolid body\n");
    bool good = bly_text_good(&out, err);
    if (good) {
        *size = out.length;
        *bytes = bly_text_detach(&out);
        for (int i = 0; i < 4 && kind == BLY_STL_BINARY; i++)
            (*bytes)[HEAD + i] = (char)(count >> 8 * i & 0xff);
    }
    bly_text_release(&out);
    return good;
}
