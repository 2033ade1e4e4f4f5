/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shells of a mesh: parted by their edges, nested, and turned. A shell within an even number of
 * others bounds material and must face outward, within an odd number it bounds a hollow. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

typedef struct Shell {
    size_t first, count; /* of its facets, in the order of Parting.order */
    double volume;       /* m3, as the facets are turned */
    BlyBox box;
    size_t depth; /* how many shells lie around it */
} Shell;

typedef struct Parting {
    const BlyMesh *mesh;
    uint32_t (*across)[3];
    uint32_t *order; /* facets, shell by shell */
    bool *seen;
    Shell shell[BLY_MESH_SHELLS_MAX];
    size_t count;
} Parting;

static double cone(const BlyMesh *mesh, size_t i) {
    BlyVec3 o = mesh->points[0];
    BlyVec3 a = bly_vec_sub(mesh_corner(mesh, i, 0), o);
    BlyVec3 b = bly_vec_sub(mesh_corner(mesh, i, 1), o);
    BlyVec3 c = bly_vec_sub(mesh_corner(mesh, i, 2), o);
    return bly_vec_dot(a, bly_vec_cross(b, c)) / 6.0;
}

static void grow_box(BlyBox *box, BlyVec3 p) {
    box->low = bly_vec(fmin(box->low.x, p.x), fmin(box->low.y, p.y), fmin(box->low.z, p.z));
    box->high = bly_vec(fmax(box->high.x, p.x), fmax(box->high.y, p.y), fmax(box->high.z, p.z));
}

/* All facets that hang together with `seed`, which is not yet in a shell; `used` are in order
 * already. */
static Shell gather(Parting *parting, size_t seed, size_t used) {
    const BlyMesh *mesh = parting->mesh;
    BlyVec3 p = mesh_corner(mesh, seed, 0);
    Shell shell = {.first = used, .box = {p, p}};
    parting->order[used] = (uint32_t)seed;
    parting->seen[seed] = true;
    size_t end = used + 1;
    for (size_t at = used; at < end; at++) { /* order serves as the queue */
        size_t i = parting->order[at];
        shell.volume += cone(mesh, i);
        for (int k = 0; k < 3; k++) {
            grow_box(&shell.box, mesh_corner(mesh, i, k));
            uint32_t next = parting->across[i][k];
            if (!parting->seen[next]) {
                parting->seen[next] = true;
                parting->order[end++] = next;
            }
        }
    }
    shell.count = end - used;
    return shell;
}

static bool part(Parting *parting, BlyError *err) {
    size_t used = 0;
    for (size_t i = 0; i < parting->mesh->facet_count; i++) {
        if (parting->seen[i])
            continue;
        if (parting->count == BLY_MESH_SHELLS_MAX)
            return bly_fail(err, BLY_E_RANGE, NULL,
                            "falls into more than %d separate shells; expected one body",
                            BLY_MESH_SHELLS_MAX);
        Shell shell = gather(parting, i, used);
        used += shell.count;
        parting->shell[parting->count++] = shell;
    }
    return true;
}

/* The share of all directions from p that meet the shell's inside first, by the solid angles of its
 * facets (van Oosterom and Strackee, 1983): +-1 within, 0 outside. */
static double winding(const Parting *parting, const Shell *shell, BlyVec3 p) {
    const BlyMesh *mesh = parting->mesh;
    double sum = 0.0;
    for (size_t n = 0; n < shell->count; n++) {
        size_t i = parting->order[shell->first + n];
        BlyVec3 a = bly_vec_sub(mesh_corner(mesh, i, 0), p);
        BlyVec3 b = bly_vec_sub(mesh_corner(mesh, i, 1), p);
        BlyVec3 c = bly_vec_sub(mesh_corner(mesh, i, 2), p);
        double la = bly_vec_norm(a), lb = bly_vec_norm(b), lc = bly_vec_norm(c);
        double down =
            la * lb * lc + bly_vec_dot(a, b) * lc + bly_vec_dot(b, c) * la + bly_vec_dot(c, a) * lb;
        sum += 2.0 * atan2(bly_vec_dot(a, bly_vec_cross(b, c)), down);
    }
    return sum / (4.0 * PI);
}

static bool boxes_meet(const BlyBox *a, const BlyBox *b) {
    return a->low.x <= b->high.x && b->low.x <= a->high.x && a->low.y <= b->high.y &&
           b->low.y <= a->high.y && a->low.z <= b->high.z && b->low.z <= a->high.z;
}

/* Points of a shell that are looked at: the corners that reach farthest along each axis, and some
 * evenly taken ones. */
enum { LOOKS_LEAST = 10, LOOKS_MOST = 200, LOOK_WORK = 2000000 };

/* Counts how many of the looked-at points of `one` lie within `other`; *at is one that lies on the
 * other side from the first. */
static void look(const Parting *parting, const Shell *one, const Shell *other, size_t *looks,
                 size_t *within, BlyVec3 *at) {
    const BlyMesh *mesh = parting->mesh;
    size_t most = LOOK_WORK / (other->count + 1);
    most = most < LOOKS_LEAST ? LOOKS_LEAST : most > LOOKS_MOST ? LOOKS_MOST : most;
    size_t corners = 3 * one->count, step = corners > most ? corners / most : 1;
    bool first = false;
    *looks = *within = 0;
    for (size_t n = 0; n < corners; n += step) {
        size_t i = parting->order[one->first + n / 3];
        BlyVec3 p = mesh_corner(mesh, i, (int)(n % 3));
        bool in = fabs(winding(parting, other, p)) > 0.5;
        if (n == 0)
            first = in;
        else if (in != first)
            *at = p;
        *looks += 1;
        *within += in;
    }
}

static bool nest_pair(Parting *parting, Shell *one, const Shell *other, BlyError *err) {
    if (!boxes_meet(&one->box, &other->box))
        return true;
    size_t looks, within;
    BlyVec3 at = one->box.low;
    look(parting, one, other, &looks, &within, &at);
    if (within != 0 && within != looks)
        return bly_fail(err, BLY_E_CONFLICT, NULL,
                        "has two shells that run through each other near x %.4g, y %.4g, z %.4g mm "
                        "(from the nose, to starboard, up); join them into one where it was drawn",
                        1e3 * at.x, 1e3 * at.y, 1e3 * at.z);
    one->depth += within != 0;
    return true;
}

static bool nest(Parting *parting, BlyError *err) {
    for (size_t i = 0; i < parting->count; i++) {
        for (size_t j = 0; j < parting->count; j++) {
            if (i != j && !nest_pair(parting, &parting->shell[i], &parting->shell[j], err))
                return false;
        }
    }
    return true;
}

static void put_facet(BlyMesh *out, const uint32_t facet[3], bool turn) {
    uint32_t *to = out->facets[out->facet_count++];
    to[0] = facet[0];
    to[1] = facet[turn ? 2 : 1];
    to[2] = facet[turn ? 1 : 2];
}

static void put_shell(const Parting *parting, const Shell *shell, BlyMesh *outer, BlyMesh *whole,
                      BlyMeshFacts *facts) {
    bool hollow = shell->depth % 2 == 1, turn = (shell->volume < 0.0) != hollow;
    for (size_t n = 0; n < shell->count; n++) {
        const uint32_t *facet = parting->mesh->facets[parting->order[shell->first + n]];
        put_facet(whole, facet, turn);
        if (shell->depth == 0)
            put_facet(outer, facet, turn);
    }
    facts->hollows += hollow;
    /* A sloppy exporter turns hollows outward too; only an outside that faces in is worth a word.
     */
    facts->turned += turn && !hollow;
    facts->hollow_volume += hollow ? fabs(shell->volume) : -fabs(shell->volume);
}

static bool put_all(const Parting *parting, BlyMesh *outer, BlyMesh *whole, BlyMeshFacts *facts,
                    BlyError *err) {
    const BlyMesh *mesh = parting->mesh;
    if (!mesh_allocate(mesh->point_count, mesh->facet_count, outer, err))
        return false;
    if (!mesh_allocate(mesh->point_count, mesh->facet_count, whole, err)) {
        bly_mesh_release(outer);
        return false;
    }
    for (size_t p = 0; p < mesh->point_count; p++)
        outer->points[p] = whole->points[p] = mesh->points[p];
    outer->facet_count = whole->facet_count = 0;
    *facts = (BlyMeshFacts){.shells = parting->count};
    double outside = 0.0;
    for (size_t i = 0; i < parting->count; i++) {
        const Shell *shell = &parting->shell[i];
        put_shell(parting, shell, outer, whole, facts);
        outside += shell->depth == 0 ? fabs(shell->volume) : 0.0;
    }
    facts->hollow_volume = fmax(0.0, facts->hollow_volume + outside);
    return true;
}

bool mesh_shells(const BlyMesh *mesh, BlyMesh *outer, BlyMesh *whole, BlyMeshFacts *facts,
                 BlyError *err) {
    Parting parting = {.mesh = mesh};
    size_t n = mesh->facet_count;
    BlyMeshCheck check;
    parting.across = calloc(n + 1, sizeof *parting.across);
    parting.order = calloc(n + 1, sizeof *parting.order);
    parting.seen = calloc(n + 1, sizeof *parting.seen);
    bool good = parting.across != NULL && parting.order != NULL && parting.seen != NULL;
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the shells of a mesh");
    good = good && bly_mesh_pair(mesh, parting.across, &check, err);
    if (good && check.first != BLY_MESH_CLOSED)
        good = bly_fail(err, BLY_E_CONFLICT, NULL, "is not closed at facet %zu", check.facet + 1);
    good = good && part(&parting, err) && nest(&parting, err) &&
           put_all(&parting, outer, whole, facts, err);
    free(parting.across);
    free(parting.order);
    free(parting.seen);
    return good;
}
