/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was not saved yet: one file for each build file, ".NAME.draft" beside it, ".draft" for a
 * build that has no file. It is the page's text as it was, whether it reads as a build or not. */
#include "bench/folder.h"

#include <limits.h>
#include <stdlib.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static const char ending[] = ".draft";

enum { DRAFT_FILE_MAX = BENCH_NAME_MAX + 16 };

bool draft_name_good(const char *name) {
    return name[0] == '\0' || folder_plain_name(name);
}

static void file_of(const char *name, char out[DRAFT_FILE_MAX]) {
    (void)snprintf(out, DRAFT_FILE_MAX, "%s%s%s", name[0] != '\0' ? "." : "", name, ending);
}

bool draft_of_file(const char *file, char name[BENCH_NAME_MAX + 1]) {
    size_t length = strlen(file), end = sizeof ending - 1;
    if (file[0] != '.' || length < end || length > BENCH_NAME_MAX + end ||
        strcmp(file + length - end, ending) != 0)
        return false;
    size_t inside = length == end ? 0 : length - end - 1;
    memcpy(name, file + (inside > 0), inside);
    name[inside] = '\0';
    return draft_name_good(name);
}

bool draft_there(const Bench *bench, const char *name, char **text) {
    char file[DRAFT_FILE_MAX], *bytes = NULL;
    size_t size = 0;
    file_of(name, file);
    bool good = folder_read(bench, file, BENCH_BODY_MAX, &bytes, &size, NULL, NULL) &&
                strlen(bytes) == size;
    if (good && text != NULL)
        *text = bytes;
    else
        free(bytes);
    return good;
}

bool draft_put(const Bench *bench, const char *name, const char *text, int *status, BlyError *err) {
    char file[DRAFT_FILE_MAX];
    file_of(name, file);
    if (folder_write(bench, file, text, strlen(text), false, status, err))
        return true;
    if (err != NULL) /* told of the build, which has the name that a maker knows */
        (void)snprintf(err->where, sizeof err->where, "%s", name);
    return false;
}

void draft_drop(const Bench *bench, const char *name) {
    char file[DRAFT_FILE_MAX], path[PATH_MAX];
    file_of(name, file);
    int n = snprintf(path, sizeof path, "%s/%s", bench->folder, file);
    if (n > 0 && n < PATH_MAX)
        (void)unlink(path);
}
