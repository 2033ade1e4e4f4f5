/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds as people make them who are new to the tool: starters in usual woods, bodies drawn, turned
 * or measured, short and long ones, each with a plain target. Invented, seeded, the same
 * everywhere. */
#ifndef BALLASTRY_TESTS_SUPPORT_BATTERY_H
#define BALLASTRY_TESTS_SUPPORT_BATTERY_H

#include "build/build.h"

typedef struct BatteryBuild {
    char name[80];
    const char *kind; /* "starter", "small", .. */
    char *text;       /* the build's file; free() by the caller */
    char *outline; /* NULL, or what its "side.csv" holds: a table of points; free() by the caller */
} BatteryBuild;

extern const size_t battery_count;

/* The n-th build. False with err set where the catalog or the library refuses it. */
bool battery_make(size_t n, const BlyCatalog *catalog, BatteryBuild *out,
                  BlyError *err) BLY_MUST_CHECK;
void battery_free(BatteryBuild *made);

/* Reads it; bly_build_free. */
bool battery_read(const BatteryBuild *made, const BlyCatalog *catalog, BlyBuild **out,
                  BlyError *err) BLY_MUST_CHECK;

#endif
