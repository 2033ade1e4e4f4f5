/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Facets parted along a plane: each edge that crosses it gets one point, shared by both its facets.
 */
#include "facets/slot.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

bool saw_need(Saw *saw, size_t points, size_t facets, BlyError *err) {
    if (points > saw->point_room) {
        BlyVec3 *more = realloc(saw->mesh.points, points * sizeof *more);
        if (more == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
        saw->mesh.points = more;
        unsigned char *made = realloc(saw->made, points);
        if (made == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
        saw->made = made;
        saw->point_room = points;
    }
    if (facets > saw->facet_room) {
        uint32_t(*more)[3] = realloc(saw->mesh.facets, facets * sizeof *more);
        if (more == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
        saw->mesh.facets = more;
        saw->facet_room = facets;
    }
    return true;
}

typedef struct Crossing {
    uint32_t low, high, point;
} Crossing;

static int by_edge(const void *pa, const void *pb) {
    const Crossing *a = pa, *b = pb;
    if (a->low != b->low)
        return a->low < b->low ? -1 : 1;
    return (a->high > b->high) - (a->high < b->high);
}

typedef struct Parting {
    Saw *saw;
    const Cutting *plane;
    int which;
    bool *out; /* of every point: beyond the plane */
    Crossing *crossing;
    size_t count;
} Parting;

static void note_edge(Parting *p, uint32_t a, uint32_t b) {
    if (p->out[a] == p->out[b])
        return;
    p->crossing[p->count++] = (Crossing){GSL_MIN(a, b), GSL_MAX(a, b), 0};
}

static bool is_parted(const Parting *p, const uint32_t *corner) {
    return p->out[corner[0]] != p->out[corner[1]] || p->out[corner[0]] != p->out[corner[2]];
}

/* Each edge once, though two facets have it. */
static bool make_points(Parting *p, BlyError *err) {
    Saw *saw = p->saw;
    qsort(p->crossing, p->count, sizeof *p->crossing, by_edge);
    size_t kept = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (kept == 0 || by_edge(&p->crossing[kept - 1], &p->crossing[i]) != 0)
            p->crossing[kept++] = p->crossing[i];
    }
    p->count = kept;
    if (!saw_need(saw, saw->mesh.point_count + kept, 0, err))
        return false;
    for (size_t i = 0; i < kept; i++) {
        Crossing *c = &p->crossing[i];
        BlyVec3 a = saw->mesh.points[c->low], b = saw->mesh.points[c->high];
        double da = saw_beyond(p->plane, a), db = saw_beyond(p->plane, b);
        BlyVec3 at = bly_vec_add(a, bly_vec_scale(bly_vec_sub(b, a), da / (da - db)));
        c->point = (uint32_t)saw->mesh.point_count++;
        saw->mesh.points[c->point] = at;
        saw->made[c->point] =
            (unsigned char)((saw->made[c->low] & saw->made[c->high]) | (1 << p->which));
    }
    return true;
}

static uint32_t point_on(const Parting *p, uint32_t a, uint32_t b) {
    const Crossing key = {GSL_MIN(a, b), GSL_MAX(a, b), 0};
    const Crossing *found = bsearch(&key, p->crossing, p->count, sizeof key, by_edge);
    return found->point;
}

static void put(BlyMesh *mesh, size_t at, uint32_t a, uint32_t b, uint32_t c) {
    mesh->facets[at][0] = a;
    mesh->facets[at][1] = b;
    mesh->facets[at][2] = c;
}

/* One corner lies alone on its side: a triangle there, two beyond. */
static void part_facet(const Parting *p, size_t facet) {
    BlyMesh *mesh = &p->saw->mesh;
    const uint32_t *corner = mesh->facets[facet];
    int alone = 0;
    while (p->out[corner[alone]] == p->out[corner[(alone + 1) % 3]] ||
           p->out[corner[alone]] == p->out[corner[(alone + 2) % 3]])
        alone++;
    uint32_t a = corner[alone], b = corner[(alone + 1) % 3], c = corner[(alone + 2) % 3];
    uint32_t ab = point_on(p, a, b), ca = point_on(p, c, a);
    put(mesh, facet, a, ab, ca);
    put(mesh, mesh->facet_count++, ab, b, c);
    put(mesh, mesh->facet_count++, ab, c, ca);
}

static bool part_all(Parting *p, BlyError *err) {
    Saw *saw = p->saw;
    size_t parted = 0, facets = saw->mesh.facet_count;
    for (size_t i = 0; i < saw->mesh.point_count; i++)
        p->out[i] = saw_beyond(p->plane, saw->mesh.points[i]) > 0.0;
    for (size_t f = 0; f < facets; f++) {
        const uint32_t *corner = saw->mesh.facets[f];
        parted += is_parted(p, corner);
        for (int k = 0; k < 3; k++)
            note_edge(p, corner[k], corner[(k + 1) % 3]);
    }
    if (!make_points(p, err) || !saw_need(saw, 0, facets + 2 * parted, err))
        return false;
    for (size_t f = 0; f < facets; f++) {
        if (is_parted(p, saw->mesh.facets[f]))
            part_facet(p, f);
    }
    return true;
}

bool saw_part(Saw *saw, int which, BlyError *err) {
    Parting p = {.saw = saw, .plane = &saw->plane[which], .which = which};
    p.out = calloc(saw->mesh.point_count + 1, sizeof *p.out);
    p.crossing = calloc(2 * saw->mesh.facet_count + 1, sizeof *p.crossing);
    bool good = p.out != NULL && p.crossing != NULL;
    good = good ? part_all(&p, err) : bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
    free(p.out);
    free(p.crossing);
    return good;
}
