/* SPDX-License-Identifier: GPL-3.0-or-later */
/* STL files, ASCII and binary, as meshes. docs/stl.md says what is taken, mended and refused. */
#ifndef BALLASTRY_STL_H
#define BALLASTRY_STL_H

#include "ballastry/mesh.h"

BLY_API_BEGIN

/* What was found and mended. */
typedef struct BlyStlMends {
    size_t facets;     /* in the file */
    size_t dropped;    /* facets without area: two corners in one place */
    size_t joined;     /* edges that lay near each other and were joined */
    size_t removed;    /* facets that hung on nothing */
    size_t filled;     /* facets added to close holes */
    size_t turned;     /* facets that faced the wrong way beside their neighbours */
    size_t open;       /* edges without a second facet, before anything was mended */
    size_t open_facet; /* the first facet at such an edge, counted from 1 */
    BlyVec3 open_at;   /* m, the middle of its edge, in the file's axes */
} BlyStlMends;

/* Whether the bytes are an STL file by its beginning or its size; for telling files apart. */
bool bly_stl_like(const char *bytes, size_t size);

/* The closed mesh in a file of `size` bytes with a NUL behind them, in the file's axes, in metres;
 * `unit` is metres per unit of the file (1e-6 to 1e3). The mesh belongs to the caller
 * (bly_mesh_release). Corners are welded where they are the same number; what is not closed then is
 * mended by admesh, in a process of its own, and looked at again. `mends` may be NULL.
 *
 * Fails with BLY_E_SYNTAX (no STL, cut short, a count that does not fit the size; where: "line 12"
 * for text), BLY_E_RANGE (no facets, too many, a number that is not finite or beyond 1e9),
 * BLY_E_CONFLICT (open, crowded or turned edges that could not be mended: facet and place are in
 * the text, facets counted from 1 and places in mm in the file's axes) and BLY_E_MEMORY. */
bool bly_stl_read(const char *bytes, size_t size, double unit, BlyMesh *out, BlyStlMends *mends,
                  BlyError *err) BLY_MUST_CHECK;

typedef enum BlyStlKind { BLY_STL_BINARY, BLY_STL_TEXT } BlyStlKind;

/* The mesh as a file, `unit` metres per unit of the file; free(*bytes) by the caller, a NUL stands
 * behind its *size bytes. Fails with BLY_E_MEMORY alone. */
bool bly_stl_write(const BlyMesh *mesh, double unit, BlyStlKind kind, char **bytes, size_t *size,
                   BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
