/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From facets with corners of their own to a mesh with shared points: corners that are the same
 * three numbers are one point. */
#include "stl/soup.h"

#include <stdlib.h>
#include <string.h>

void soup_release(Soup *soup) {
    free(soup->triangle);
    *soup = (Soup){0};
}

bool soup_add(Soup *soup, const Triangle *triangle, BlyError *err) {
    if (soup->count == soup->room) {
        size_t room = soup->room == 0 ? 256 : 2 * soup->room;
        Triangle *wider = realloc(soup->triangle, room * sizeof *wider);
        if (wider == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
        soup->triangle = wider;
        soup->room = room;
    }
    soup->triangle[soup->count++] = *triangle;
    return true;
}

bool soup_number(double value, float *out, const char *where, BlyError *err) {
    static const double most = 1e9;
    if (!isfinite(value))
        return bly_fail(err, BLY_E_RANGE, where, "a corner's number is not finite");
    if (fabs(value) > most)
        return bly_fail(err, BLY_E_RANGE, where,
                        "a corner lies at %.4g; expected at most %g either way", value, most);
    float narrow = (float)value;
    *out = narrow == 0.0F ? 0.0F : narrow; /* one zero, so that equal corners have equal bytes */
    return true;
}

/* Open addressing; a power of two of places, at most half full. */
typedef struct Table {
    uint32_t *place; /* index of a point plus one; 0: free */
    size_t mask;
} Table;

static size_t hash_of(const float corner[3]) {
    uint64_t hash = 0;
    for (int k = 0; k < 3; k++) {
        uint32_t word;
        memcpy(&word, &corner[k], sizeof word);
        hash = (hash ^ word) * UINT64_C(0x9E3779B97F4A7C15);
        hash ^= hash >> 29;
    }
    return (size_t)hash;
}

static BlyVec3 scaled(const float corner[3], double unit) {
    return bly_vec((double)corner[0] * unit, (double)corner[1] * unit, (double)corner[2] * unit);
}

/* The point at a corner, made when it is new. Scaling keeps different floats apart. */
static uint32_t find_point(Table *table, BlyMesh *mesh, const float corner[3], double unit) {
    BlyVec3 p = scaled(corner, unit);
    for (size_t at = hash_of(corner) & table->mask;; at = (at + 1) & table->mask) {
        uint32_t held = table->place[at];
        if (held == 0) {
            mesh->points[mesh->point_count] = p;
            table->place[at] = (uint32_t)++mesh->point_count;
            return table->place[at] - 1;
        }
        BlyVec3 q = mesh->points[held - 1];
        if (q.x == p.x && q.y == p.y && q.z == p.z)
            return held - 1;
    }
}

static bool make_room(const Soup *soup, Table *table, BlyMesh *mesh, BlyError *err) {
    size_t places = 16;
    while (places < 6 * soup->count)
        places *= 2;
    table->mask = places - 1;
    table->place = calloc(places, sizeof *table->place);
    mesh->points = calloc(3 * soup->count + 1, sizeof *mesh->points);
    mesh->facets = calloc(soup->count + 1, sizeof *mesh->facets);
    if (table->place != NULL && mesh->points != NULL && mesh->facets != NULL)
        return true;
    free(table->place);
    table->place = NULL;
    bly_mesh_release(mesh);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh of %zu facets", soup->count);
}

bool soup_weld(const Soup *soup, double unit, BlyMesh *out, uint32_t *number, size_t *dropped,
               BlyError *err) {
    Table table;
    BlyMesh mesh = {0};
    if (!make_room(soup, &table, &mesh, err))
        return false;
    *dropped = 0;
    for (size_t i = 0; i < soup->count; i++) {
        uint32_t p[3] = {0};
        for (int k = 0; k < 3; k++)
            p[k] = find_point(&table, &mesh, soup->triangle[i].corner[k], unit);
        if (p[0] == p[1] || p[1] == p[2] || p[2] == p[0]) {
            *dropped += 1;
            continue;
        }
        if (number != NULL)
            number[mesh.facet_count] = (uint32_t)i;
        memcpy(mesh.facets[mesh.facet_count++], p, sizeof p);
    }
    free(table.place);
    *out = mesh;
    return true;
}
