/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the stl room: facets as they stand in a file, each with its own three corners. */
#ifndef BALLASTRY_STL_SOUP_H
#define BALLASTRY_STL_SOUP_H

#include "ballastry/stl.h"

typedef struct Triangle {
    float corner[3][3]; /* in units of the file; finite; no negative zero */
} Triangle;

typedef struct Soup {
    Triangle *triangle; /* owned */
    size_t count, room;
} Soup;

void soup_release(Soup *soup);
bool soup_add(Soup *soup, const Triangle *triangle, BlyError *err) BLY_MUST_CHECK;

/* One number of a file, checked. */
bool soup_number(double value, float *out, const char *where, BlyError *err) BLY_MUST_CHECK;

bool soup_read_binary(const char *bytes, size_t size, Soup *out, BlyError *err) BLY_MUST_CHECK;
bool soup_read_text(const char *bytes, size_t size, Soup *out, BlyError *err) BLY_MUST_CHECK;

/* Corners that are the same become one point; facets with two corners in one place are left out and
 * counted. number[i] becomes the facet's place in the soup, where number is not NULL; it has room
 * for soup->count. */
bool soup_weld(const Soup *soup, double unit, BlyMesh *out, uint32_t *number, size_t *dropped,
               BlyError *err) BLY_MUST_CHECK;

/* How a call of admesh ended. */
typedef struct Mending {
    Soup soup;         /* owned by the caller */
    double added_area; /* share of the surface */
    BlyStlMends done;  /* joined, removed, filled, turned */
} Mending;

/* False when admesh failed, hung or had to be stopped; `lack` is filled only where we had no memory
 * or no process for it (BLY_E_MEMORY). */
bool soup_mend(const Soup *soup, Mending *out, BlyError *lack);

#endif
