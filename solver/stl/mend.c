/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mending by admesh, fenced off.
 *
 * admesh 0.98.4 prints, and on broken meshes it reads and writes beyond its arrays
 * (CVE-2022-38072) and dies without memory. So it runs in a process of its own, whose output goes
 * nowhere and whose time is limited; what it did comes back through shared memory and counts only
 * when it says that it has finished. The caller checks the result as if it came from a stranger. */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include "stl/soup.h"
#include "fence/fence.h"

#include <admesh/stl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

enum { SECONDS_MOST = 20 };

/* Joined when nearer than these shares of the bounding diagonal, one after the other. */
static const float near_shares[] = {1e-6F, 1e-5F, 1e-4F};

typedef struct Shared {
    int finished;
    size_t count, room;
    double added_area, area;
    BlyStlMends done;
    Triangle triangle[];
} Shared;

static size_t shared_size(size_t room) {
    return sizeof(Shared) + room * sizeof(Triangle);
}

/* Room for what fills holes too. */
static Shared *share(const Soup *soup) {
    size_t room = 2 * soup->count + 1024;
    void *memory =
        mmap(NULL, shared_size(room), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (memory == MAP_FAILED)
        return NULL;
    Shared *shared = memory;
    shared->room = room;
    shared->count = soup->count;
    memcpy(shared->triangle, soup->triangle, soup->count * sizeof *soup->triangle);
    return shared;
}

static void take_in(stl_file *stl, const Shared *shared) {
    memset(stl, 0, sizeof *stl);
    stl->stats.type = inmemory;
    stl->stats.number_of_facets = (int)shared->count;
    stl->stats.original_num_facets = (int)shared->count;
    stl_allocate(stl);
    for (size_t i = 0; i < shared->count; i++) {
        stl_facet facet;
        memset(&facet, 0, sizeof facet);
        memcpy(facet.vertex, shared->triangle[i].corner, sizeof facet.vertex);
        stl->facet_start[i] = facet;
        stl_facet_stats(stl, facet, i == 0);
    }
    stl_get_size(stl);
}

static bool all_connected(const stl_file *stl) {
    return stl->stats.connected_facets_3_edge == stl->stats.number_of_facets;
}

static double facet_area(const stl_facet *facet) {
    const stl_vertex *v = facet->vertex;
    BlyVec3 p[3] = {0};
    for (int k = 0; k < 3; k++)
        p[k] = bly_vec((double)v[k].x, (double)v[k].y, (double)v[k].z);
    return 0.5 * bly_vec_norm(bly_vec_cross(bly_vec_sub(p[1], p[0]), bly_vec_sub(p[2], p[0])));
}

/* Facets from `first` on were added to fill holes. */
static void hand_back(const stl_file *stl, size_t first, Shared *shared) {
    size_t count = (size_t)stl->stats.number_of_facets;
    if (count > shared->room)
        return;
    for (size_t i = 0; i < count; i++) {
        double area = facet_area(&stl->facet_start[i]);
        shared->area += area;
        shared->added_area += i >= first ? area : 0.0;
        memcpy(shared->triangle[i].corner, stl->facet_start[i].vertex,
               sizeof stl->facet_start[i].vertex);
    }
    shared->count = count;
    shared->done = (BlyStlMends){.joined = (size_t)stl->stats.edges_fixed,
                                 .removed = (size_t)stl->stats.facets_removed,
                                 .filled = count > first ? count - first : 0,
                                 .turned = (size_t)stl->stats.facets_reversed};
    shared->finished = 1;
}

static void mend(Shared *shared) {
    stl_file stl;
    take_in(&stl, shared);
    stl_check_facets_exact(&stl);
    for (size_t i = 0; i < sizeof near_shares / sizeof near_shares[0] && !all_connected(&stl); i++)
        stl_check_facets_nearby(&stl, near_shares[i] * stl.stats.bounding_diameter);
    if (!all_connected(&stl))
        stl_remove_unconnected_facets(&stl);
    size_t first = (size_t)stl.stats.number_of_facets;
    if (!all_connected(&stl))
        stl_fill_holes(&stl);
    stl_fix_normal_directions(&stl);
    hand_back(&stl, first, shared);
}

static bool copy_back(const Shared *shared, Mending *out, BlyError *lack) {
    *out = (Mending){.done = shared->done};
    if (!shared->finished || shared->count > shared->room)
        return false;
    out->added_area = shared->area > 0.0 ? shared->added_area / shared->area : 1.0;
    for (size_t i = 0; i < shared->count; i++) {
        Triangle triangle = shared->triangle[i];
        for (int k = 0; k < 9; k++) {
            float *number = &triangle.corner[k / 3][k % 3];
            if (!soup_number((double)*number, number, NULL, NULL))
                return false;
        }
        if (!soup_add(&out->soup, &triangle, lack))
            return false;
    }
    return true;
}

bool soup_mend(const Soup *soup, Mending *out, BlyError *lack) {
    *out = (Mending){0};
    Shared *shared = share(soup);
    if (shared == NULL)
        return bly_fail(lack, BLY_E_MEMORY, NULL, "no memory to mend a mesh");
    size_t room = shared->room;
    pid_t child = fork();
    if (child == 0) {
        if (bly_fence_in(SECONDS_MOST))
            mend(shared);
        _exit(0);
    }
    if (child < 0)
        (void)bly_fail(lack, BLY_E_MEMORY, NULL, "no process to mend a mesh in");
    bool good = child > 0 && bly_fence_ended_well(child) && copy_back(shared, out, lack);
    (void)munmap(shared, shared_size(room));
    if (!good)
        soup_release(&out->soup);
    return good;
}
