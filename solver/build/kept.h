/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last bodies made from meshes, private side: what they were made of, and what came out. */
#ifndef BALLASTRY_BUILD_KEPT_H
#define BALLASTRY_BUILD_KEPT_H

#include "ballastry/build.h"
#include "ballastry/mesh.h"
#include "ballastry/stl.h"

/* What a build says of its mesh. */
typedef struct MeshWords {
    BlyVec3 nose, up; /* zero: to be found */
    BlyFigure wall, infill;
    double unit; /* m; NAN: not said */
} MeshWords;

typedef struct MadeMesh {
    BlyBody *body; /* owned */
    BlyMeshFacts facts;
    BlyStlMends mends;
    BlyVec3 nose, up; /* as found */
} MadeMesh;

/* Whether the very same file with the same words was made before; then out->body is one more
 * owner's. `kept` may be NULL. */
bool kept_find(BlyKept *kept, const char *bytes, size_t size, const MeshWords *words,
               MadeMesh *out);

/* Keeps one more, in place of the one that was asked for longest ago. Takes over `bytes` in every
 * case; `made` stays the caller's. */
void kept_put(BlyKept *kept, char *bytes, size_t size, const MeshWords *words,
              const MadeMesh *made);

#endif
