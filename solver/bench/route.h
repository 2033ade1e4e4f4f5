/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the routes share. A route gets the request's JSON and makes the reply's tree (NULL: it
 * failed, with err filled unless memory ran out); the status of a failure follows from its BlyError
 * unless *status says another. */
#ifndef BALLASTRY_BENCH_ROUTE_H
#define BALLASTRY_BENCH_ROUTE_H

#include "bench/bench.h"
#include "json/json.h"

#include <stdio.h>

typedef cJSON *(*Route)(const Bench *bench, const BlyJson *in, int *status, BlyError *err);

cJSON *route_rest(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_along(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_sure(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_swap(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_fit_start(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_fit_look(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_fit_stop(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_tow(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_cures(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_water(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_tank(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_mend(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_import(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_rename(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_delete(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_box(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_box_put(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_box_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_book(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_book_switch(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_book_forget(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_pour(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_catalog(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_bodies(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_alive(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_mountable(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_list(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_draft(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_draft_drop(const Bench *bench, const BlyJson *in, int *status, BlyError *err);
cJSON *route_draft_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err);

/* The one route that gives a file; it fills type, bytes, size and pages. */
bool route_sheet(const Bench *bench, const BlyJson *in, BenchReply *reply,
                 BlyError *err) BLY_MUST_CHECK;

/* A member that is a text of any length, line breaks and all; the second leaves *out alone where
 * there is none. */
bool route_text(const BlyJson *in, const char *key, const char **out, BlyError *err) BLY_MUST_CHECK;
bool route_text_maybe(const BlyJson *in, const char *key, const char **out,
                      BlyError *err) BLY_MUST_CHECK;
/* The member "build" read as a build file. */
bool route_build(const Bench *bench, const BlyJson *in, BlyBuild **out,
                 BlyError *err) BLY_MUST_CHECK;
/* The rig with the swaps of a list of {seat, kind, id} at `at` made; release it. */
bool route_rig(const Bench *bench, const BlyBuild *build, const BlyJson *at, BlyRig *out,
               BlyError *err) BLY_MUST_CHECK;

/* Text for people: what `write` (with its context) prints becomes the member `key`. */
bool route_put_text(cJSON *object, const char *key, void (*write)(FILE *out, void *context),
                    void *context);

/* A file of the page, NULL when there is none of that path. */
const unsigned char *page_asset(const char *path, size_t *size, const char **type);

#endif
