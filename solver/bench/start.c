/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a bench is started with: catalog, folder, token. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "bench/route.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>

bool bench_plain_name(const char *name) {
    size_t n = strlen(name);
    if (n < 6 || n > BENCH_NAME_MAX || name[0] == '.' || strcmp(name + n - 5, ".json") != 0)
        return false;
    for (const unsigned char *p = (const unsigned char *)name; *p != '\0'; p++) {
        if (*p < 0x20 || *p == 0x7f || *p == '/' || *p == '\\')
            return false;
    }
    return true;
}

static bool make_token(char out[BENCH_TOKEN_LENGTH + 1], BlyError *err) {
    unsigned char bytes[BENCH_TOKEN_LENGTH / 2];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes)
        return bly_fail(err, BLY_E_IO, NULL, "the system gives no random bytes for a token");
    for (size_t i = 0; i < sizeof bytes; i++)
        (void)snprintf(out + 2 * i, 3, "%02x", bytes[i]);
    return true;
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
    if (!S_ISREG(st.st_mode) || slash == NULL || !bench_plain_name(slash + 1))
        return bly_fail(err, BLY_E_RANGE, place, "should be a folder or a build file NAME.json");
    (void)snprintf(bench->start, sizeof bench->start, "%s", slash + 1);
    slash[slash == real] = '\0'; /* the root folder keeps its slash */
    return true;
}

bool bench_start(Bench *bench, const char *place, BlyError *err) {
    *bench = (Bench){0};
    return find_place(bench, place != NULL ? place : ".", err) && make_token(bench->token, err) &&
           bly_catalog_shipped(&bench->catalog, err);
}

void bench_release(Bench *bench) {
    free(bench->folder);
    bly_catalog_release(&bench->catalog);
    *bench = (Bench){0};
}
