/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the routes share. A route gets the request's JSON and makes the reply's; the status of a
 * failure follows from its BlyError unless *status says another. */
#ifndef BALLASTRY_BENCH_ROUTE_H
#define BALLASTRY_BENCH_ROUTE_H

#include "bench/bench.h"
#include "json/json.h"

typedef cJSON *(*Route)(const Bench *bench, const BlyJson *in, int *status, BlyError *err);

cJSON *route_rest(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_fit(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_swap(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_catalog(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_list(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err);

/* A member that is a text of any length, line breaks and all. */
bool route_text(const BlyJson *in, const char *key, const char **out, BlyError *err) BLY_MUST_CHECK;
/* The member "build" read as a build file. */
bool route_build(const Bench *bench, const BlyJson *in, BlyBuild **out,
                 BlyError *err) BLY_MUST_CHECK;

/* A plain name of a build file: ends in .json, no folder in it, not hidden. */
bool bench_plain_name(const char *name);

/* The lure as it lies, for drawing: mm, x to the right and y down, turned to its rest attitude. */
cJSON *draw_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                 const BlyOutcome *outcome);

/* A file of the page, NULL when there is none of that path. */
const unsigned char *page_asset(const char *path, size_t *size, const char **type);

#endif
