/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plane walls between given rims: a polygon, holes joined to it by bridges, clipped ear by ear. */
#include "facets/slot.h"

#include <stdlib.h>

/* A corner of the polygon under way; the corners form a ring. */
typedef struct Corner {
    uint32_t point;
    double u, v; /* in the plane */
    size_t next, before;
    size_t loop;
} Corner;

typedef struct Wall {
    BlyMesh *mesh;
    Corner *corner; /* owned; two more for every bridge */
    size_t count;
    size_t *first; /* a corner of each loop; owned */
    size_t loop_count;
} Wall;

static double cross(const Corner *a, const Corner *b, const Corner *c) {
    return (b->u - a->u) * (c->v - a->v) - (b->v - a->v) * (c->u - a->u);
}

/* ---- loops out of edges ---- */

static int by_start(const void *pa, const void *pb) {
    const WallEdge *a = pa, *b = pb;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return (a->to > b->to) - (a->to < b->to);
}

static size_t starting_at(const WallEdge *edges, size_t count, uint32_t point) {
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (edges[middle].from < point)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && edges[low].from == point ? low : count;
}

/* Corner i is where edge i begins. */
static bool trace(Wall *wall, const WallEdge *edges, size_t count, BlyError *err) {
    for (size_t i = 0; i < count; i++) {
        size_t next = starting_at(edges, count, edges[i].to);
        if (next == count || (i > 0 && edges[i - 1].from == edges[i].from))
            return bly_fail(err, BLY_E_INTERNAL, NULL, "the slot's rim is not closed");
        wall->corner[i].next = next;
        wall->corner[next].before = i;
        wall->corner[i].loop = SIZE_MAX;
    }
    wall->count = count;
    for (size_t i = 0; i < count; i++) {
        if (wall->corner[i].loop != SIZE_MAX)
            continue;
        wall->first[wall->loop_count] = i;
        for (size_t k = i; wall->corner[k].loop == SIZE_MAX; k = wall->corner[k].next)
            wall->corner[k].loop = wall->loop_count;
        wall->loop_count++;
    }
    return true;
}

static void lay_flat(Wall *wall, const WallEdge *edges, BlyVec3 normal) {
    BlyVec3 e1 = {0.0, 1.0, 0.0}, e2 = bly_vec_cross(normal, e1); /* planes contain y */
    for (size_t i = 0; i < wall->count; i++) {
        Corner *corner = &wall->corner[i];
        corner->point = edges[i].from;
        corner->u = bly_vec_dot(e1, wall->mesh->points[corner->point]);
        corner->v = bly_vec_dot(e2, wall->mesh->points[corner->point]);
    }
}

/* Twice the area, negative for a hole. */
static double loop_area(const Wall *wall, size_t first) {
    double sum = 0.0;
    const Corner *origin = &wall->corner[first];
    for (size_t k = origin->next; k != first; k = wall->corner[k].next)
        sum += cross(origin, &wall->corner[k], &wall->corner[wall->corner[k].next]);
    return sum;
}

/* ---- holes ---- */

static bool crosses(const Corner *a, const Corner *b, const Corner *c, const Corner *d) {
    if (a->point == c->point || a->point == d->point || b->point == c->point ||
        b->point == d->point)
        return false;
    return (cross(a, b, c) > 0.0) != (cross(a, b, d) > 0.0) &&
           (cross(c, d, a) > 0.0) != (cross(c, d, b) > 0.0);
}

static bool clear(const Wall *wall, const Corner *from, const Corner *to) {
    for (size_t i = 0; i < wall->count; i++) {
        if (crosses(from, to, &wall->corner[i], &wall->corner[wall->corner[i].next]))
            return false;
    }
    return true;
}

/* Whether a direction from a corner goes into the polygon. */
static bool goes_inside(const Wall *wall, size_t at, const Corner *to) {
    const Corner *c = &wall->corner[at], *next = &wall->corner[c->next];
    const Corner *before = &wall->corner[c->before];
    bool left_of_next = cross(c, next, to) > 0.0, left_of_before = cross(before, c, to) > 0.0;
    return cross(before, c, next) >= 0.0 ? left_of_next && left_of_before
                                         : left_of_next || left_of_before;
}

/* A corner of another loop that sees the hole's corner, the nearest one; wall->count: none. */
static size_t find_bridge(const Wall *wall, size_t hole) {
    size_t best = wall->count;
    double least = INFINITY;
    const Corner *h = &wall->corner[hole];
    for (size_t i = 0; i < wall->count; i++) {
        const Corner *c = &wall->corner[i];
        double far = hypot(c->u - h->u, c->v - h->v);
        if (c->loop != h->loop && far < least && goes_inside(wall, i, h) && clear(wall, c, h)) {
            best = i;
            least = far;
        }
    }
    return best;
}

/* Goes from the corner over the bridge around the hole and back. */
static void splice(Wall *wall, size_t at, size_t hole) {
    size_t back = wall->count++, again = wall->count++, into = wall->corner[at].loop;
    size_t old = wall->corner[hole].loop;
    for (size_t i = 0; i < back; i++) {
        if (wall->corner[i].loop == old)
            wall->corner[i].loop = into;
    }
    wall->corner[back] = wall->corner[hole];
    wall->corner[again] = wall->corner[at];
    wall->corner[wall->corner[hole].before].next = back;
    wall->corner[back].next = again;
    wall->corner[again].before = back;
    wall->corner[wall->corner[again].next].before = again;
    wall->corner[at].next = hole;
    wall->corner[hole].before = at;
}

static bool join_holes(Wall *wall, BlyError *err) {
    size_t holes = 0, joined;
    for (size_t l = 0; l < wall->loop_count; l++)
        holes += loop_area(wall, wall->first[l]) < 0.0;
    for (bool any = true; holes > 0 && any; holes -= joined) {
        joined = 0;
        for (size_t l = 0; l < wall->loop_count; l++) {
            size_t first = wall->first[l];
            if (first == SIZE_MAX || wall->corner[first].loop != l ||
                !(loop_area(wall, first) < 0.0))
                continue;
            size_t at = find_bridge(wall, first);
            if (at == wall->count)
                continue;
            splice(wall, at, first);
            wall->first[l] = SIZE_MAX;
            joined++;
        }
        any = joined > 0;
    }
    return holes == 0 ||
           bly_fail(err, BLY_E_INTERNAL, NULL, "the slot's wall has a hole that cannot be joined");
}

/* ---- ears ---- */

static bool holds(const Corner *a, const Corner *b, const Corner *c, const Corner *p) {
    if (p->point == a->point || p->point == b->point || p->point == c->point)
        return false;
    return cross(a, b, p) >= 0.0 && cross(b, c, p) >= 0.0 && cross(c, a, p) >= 0.0;
}

static bool is_ear(const Wall *wall, size_t at) {
    const Corner *b = &wall->corner[at];
    const Corner *a = &wall->corner[b->before], *c = &wall->corner[b->next];
    if (!(cross(a, b, c) > 0.0))
        return false;
    for (size_t k = c->next; k != b->before; k = wall->corner[k].next) {
        const Corner *p = &wall->corner[k];
        bool hollow = !(cross(&wall->corner[p->before], p, &wall->corner[p->next]) > 0.0);
        if (hollow && holds(a, b, c, p))
            return false;
    }
    return true;
}

static void clip(Wall *wall, size_t at) {
    Corner *b = &wall->corner[at];
    uint32_t *facet = wall->mesh->facets[wall->mesh->facet_count++];
    facet[0] = wall->corner[b->before].point;
    facet[1] = b->point;
    facet[2] = wall->corner[b->next].point;
    wall->corner[b->before].next = b->next;
    wall->corner[b->next].before = b->before;
}

/* Every other ear around the ring, so that facets stay compact. Where rounding leaves no ear, the
 * next corner goes: what comes out is checked as a whole. */
static void clip_loop(Wall *wall, size_t first) {
    size_t left = 1, at = first, looked = 0;
    for (size_t k = wall->corner[first].next; k != first; k = wall->corner[k].next)
        left++;
    while (left > 3) {
        size_t next = wall->corner[at].next;
        if (looked >= left || is_ear(wall, at)) {
            clip(wall, at);
            next = wall->corner[next].next;
            left--;
            looked = 0;
        } else {
            looked++;
        }
        at = next;
    }
    clip(wall, at);
}

bool wall_fill(BlyMesh *mesh, const WallEdge *edges, size_t edge_count, BlyVec3 normal,
               BlyError *err) {
    Wall wall = {.mesh = mesh};
    WallEdge *sorted = calloc(edge_count + 1, sizeof *sorted);
    wall.corner = calloc(3 * edge_count + 1, sizeof *wall.corner);
    wall.first = calloc(edge_count + 1, sizeof *wall.first);
    bool good = sorted != NULL && wall.corner != NULL && wall.first != NULL;
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot's wall");
    for (size_t i = 0; good && i < edge_count; i++)
        sorted[i] = edges[i];
    if (good) {
        qsort(sorted, edge_count, sizeof *sorted, by_start);
        good = trace(&wall, sorted, edge_count, err);
    }
    if (good) {
        lay_flat(&wall, sorted, normal);
        good = join_holes(&wall, err);
    }
    for (size_t l = 0; good && l < wall.loop_count; l++) {
        if (wall.first[l] != SIZE_MAX)
            clip_loop(&wall, wall.first[l]);
    }
    free(sorted);
    free(wall.corner);
    free(wall.first);
    return good;
}
