/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An STL file as a whole: read, welded, looked at, and mended where it must be. */
#include "stl/soup.h"
#include "text/format.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { HEAD = 84, FACET = 50 };

/* Holes are small as long as closing them adds no more than this share of the surface. */
static const double filled_most = 0.02;

/* The size tells a binary file for sure: many of them begin with the word "solid" too. */
static bool binary_size(const char *bytes, size_t size) {
    if (size < HEAD)
        return false;
    unsigned char b[4];
    memcpy(b, bytes + 80, sizeof b);
    size_t count = (size_t)b[0] | (size_t)b[1] << 8 | (size_t)b[2] << 16 | (size_t)b[3] << 24;
    return size - HEAD == FACET * count;
}

static bool begins_as_text(const char *bytes, size_t size) {
    static const char word[] = "solid";
    size_t at = 0, length = sizeof word - 1;
    while (at < size && bly_is_space(bytes[at]))
        at++;
    return size - at >= length && strncasecmp(bytes + at, word, length) == 0 &&
           (size - at == length || bly_is_space(bytes[at + length]));
}

bool bly_stl_like(const char *bytes, size_t size) {
    return binary_size(bytes, size) || begins_as_text(bytes, size);
}

static bool read_soup(const char *bytes, size_t size, Soup *soup, BlyError *err) {
    if (size == 0)
        return bly_fail(err, BLY_E_SYNTAX, NULL, "is empty");
    bool text = !binary_size(bytes, size) && begins_as_text(bytes, size);
    if (!(text ? soup_read_text : soup_read_binary)(bytes, size, soup, err))
        return false;
    return soup->count > 0 || bly_fail(err, BLY_E_RANGE, NULL, "has no facets");
}

static const char *fault_words(const BlyMeshCheck *check) {
    switch (check->first) {
    case BLY_MESH_OPEN:
        return "is not closed: an edge has no second facet";
    case BLY_MESH_TURNED:
        return "shows its inside beside its outside: two facets face opposite ways";
    case BLY_MESH_CROWDED:
        return "runs into itself: more than two facets share an edge";
    case BLY_MESH_CLOSED:
        break;
    }
    return "is closed";
}

/* `why` says what mending came to. */
static bool refuse(const BlyMeshCheck *check, const uint32_t *number, const char *why,
                   BlyError *err) {
    BlyVec3 at = check->at;
    size_t edges = check->open + check->turned + check->crowded;
    return bly_fail(err, BLY_E_CONFLICT, NULL,
                    "%s, at facet %u near (%.4g, %.4g, %.4g) mm in the file's axes%s%zu edge%s; %s",
                    fault_words(check), number[check->facet] + 1, 1e3 * at.x, 1e3 * at.y,
                    1e3 * at.z, edges > 1 ? ", the first of " : ", ", edges, edges > 1 ? "s" : "",
                    why);
}

/* What admesh made of it, when that is closed and no more than a small mend. */
static bool try_mended(const Soup *soup, double unit, const BlyMeshCheck *check,
                       const uint32_t *number, BlyMesh *out, BlyStlMends *mends, BlyError *err) {
    static const char redraw[] = "mend it where it was drawn";
    Mending mending;
    BlyMesh mesh = {0};
    BlyMeshCheck again;
    size_t dropped;
    BlyError lack = {0};
    if (!soup_mend(soup, &mending, &lack))
        return lack.code == BLY_OK ? refuse(check, number, redraw, err)
                                   : bly_fail(err, lack.code, NULL, "%s", lack.text);
    bool good = soup_weld(&mending.soup, unit, &mesh, NULL, &dropped, err) &&
                bly_mesh_pair(&mesh, NULL, &again, err);
    soup_release(&mending.soup);
    if (good && (again.first != BLY_MESH_CLOSED || mesh.facet_count == 0))
        good = refuse(check, number, redraw, err);
    if (good && mending.added_area > filled_most)
        good =
            refuse(check, number,
                   "the hole is too large to be closed by guess: mend it where it was drawn", err);
    if (!good) {
        bly_mesh_release(&mesh);
        return false;
    }
    mends->joined = mending.done.joined;
    mends->removed = mending.done.removed;
    mends->filled = mending.done.filled;
    /* what fills a hole is turned to fit as a matter of course */
    mends->turned = check->turned > 0 ? mending.done.turned : 0;
    *out = mesh;
    return true;
}

static bool make_mesh(const Soup *soup, double unit, uint32_t *number, BlyMesh *out,
                      BlyStlMends *mends, BlyError *err) {
    BlyMesh mesh;
    BlyMeshCheck check;
    if (!soup_weld(soup, unit, &mesh, number, &mends->dropped, err))
        return false;
    bool good = bly_mesh_pair(&mesh, NULL, &check, err);
    if (good && mesh.facet_count == 0)
        good = bly_fail(err, BLY_E_RANGE, NULL, "has no facet with an area");
    if (good && check.first == BLY_MESH_CLOSED) {
        *out = mesh;
        return true;
    }
    bly_mesh_release(&mesh);
    if (good && check.first == BLY_MESH_OPEN) {
        mends->open = check.open;
        mends->open_facet = number[check.facet] + 1;
        mends->open_at = check.at;
    }
    return good && try_mended(soup, unit, &check, number, out, mends, err);
}

bool bly_stl_read(const char *bytes, size_t size, double unit, BlyMesh *out, BlyStlMends *mends,
                  BlyError *err) {
    Soup soup = {0};
    BlyStlMends found = {0};
    if (!(unit >= 1e-6 && unit <= 1e3))
        return bly_fail(err, BLY_E_RANGE, NULL, "a unit of %g m, expected 1e-6 to 1e3", unit);
    bool good = read_soup(bytes, size, &soup, err);
    uint32_t *number = good ? calloc(soup.count, sizeof *number) : NULL;
    if (good && number == NULL)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    found.facets = soup.count;
    good = good && make_mesh(&soup, unit, number, out, &found, err);
    free(number);
    soup_release(&soup);
    if (good && mends != NULL)
        *mends = found;
    return good;
}
