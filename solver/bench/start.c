/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a bench is started with: catalog, folder, token. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "bench/folder.h"
#include "bench/jobs.h"
#include "bench/stock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>

static bool make_token(char out[BENCH_TOKEN_LENGTH + 1], BlyError *err) {
    unsigned char bytes[BENCH_TOKEN_LENGTH / 2];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes)
        return bly_fail(err, BLY_E_IO, NULL, "the system gives no random bytes for a token");
    for (size_t i = 0; i < sizeof bytes; i++)
        (void)snprintf(out + 2 * i, 3, "%02x", bytes[i]);
    return true;
}

/* FNV-1a of 32 bits. */
static uint32_t mark_of(const char *folder) {
    uint32_t hash = 2166136261u;
    for (const unsigned char *p = (const unsigned char *)folder; *p != '\0'; p++)
        hash = (hash ^ *p) * 16777619u;
    return hash;
}

/* Splits the place into folder and file. */
static bool find_place(Bench *bench, const char *place, BlyError *err) {
    struct stat st;
    char *real = realpath(place, NULL);
    if (real == NULL || stat(real, &st) != 0) {
        free(real);
        return bly_fail(err, BLY_E_IO, place, "no such file or folder");
    }
    bench->folder = real;
    if (S_ISDIR(st.st_mode))
        return true;
    char *slash = strrchr(real, '/');
    if (!S_ISREG(st.st_mode) || slash == NULL || !folder_plain_name(slash + 1))
        return bly_fail(err, BLY_E_RANGE, place, "should be a folder or a build file NAME.json");
    (void)snprintf(bench->start, sizeof bench->start, "%s", slash + 1);
    slash[slash == real] = '\0'; /* the root folder keeps its slash */
    return true;
}

static bool make_locks(BenchLocks **out) {
    BenchLocks *locks = calloc(1, sizeof *locks);
    if (locks != NULL && pthread_mutex_init(&locks->disk, NULL) == 0) {
        *out = locks;
        if (pthread_mutex_init(&locks->picture, NULL) == 0)
            return true;
        (void)pthread_mutex_destroy(&locks->disk);
    }
    free(locks);
    *out = NULL;
    return false;
}

static void locks_free(BenchLocks *locks) {
    if (locks == NULL)
        return;
    (void)pthread_mutex_destroy(&locks->disk);
    (void)pthread_mutex_destroy(&locks->picture);
    free(locks);
}

static bool make_live(Bench *bench, BlyError *err) {
    bench->jobs = jobs_new();
    bench->kept = bly_kept_make(NULL);
    return (bench->jobs != NULL && bench->kept != NULL && make_locks(&bench->locks)) ||
           bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the bench");
}

/* Moved in every case; the shipped one where there is none. */
static bool take_catalog(Bench *bench, BlyCatalog *catalog, BlyError *err) {
    BenchStock *first = stock_new();
    if (first != NULL && catalog != NULL) {
        first->catalog = *catalog;
        *catalog = (BlyCatalog){0};
    } else if (catalog != NULL) {
        bly_catalog_release(catalog);
    }
    if (first != NULL && catalog == NULL && !bly_catalog_shipped(&first->catalog, err)) {
        stock_let_go(first);
        return false;
    }
    bench->shelf = first != NULL ? shelf_new(first) : NULL;
    if (bench->shelf == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the bench");
    bench->stock = shelf_hold(bench->shelf);
    bench->catalog = &bench->stock->catalog;
    return true;
}

bool bench_start(Bench *bench, const char *place, BlyCatalog *catalog, BlySystem system,
                 BlyError *err) {
    *bench = (Bench){.system = system, .idle_secs = 15, .request_secs = 30};
    if (!take_catalog(bench, catalog, err) || !find_place(bench, place != NULL ? place : ".", err))
        return false;
    bench->mark = mark_of(bench->folder);
    return make_token(bench->token, err) && make_live(bench, err);
}

void bench_release(Bench *bench) {
    jobs_free(bench->jobs);
    locks_free(bench->locks);
    bly_kept_free(bench->kept);
    free(bench->folder);
    stock_let_go(bench->stock);
    shelf_free(bench->shelf);
    *bench = (Bench){0};
}
