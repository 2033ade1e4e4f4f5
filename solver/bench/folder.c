/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The files of the one folder that the bench was started on: list, open, save. Names are plain,
 * and what is no ordinary file (a link that leads elsewhere, a pipe) is as if it were not there. */
#include "bench/route.h"
#include "files/files.h"
#include "report/report.h"

#include <dirent.h>
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { LIST_MAX = 500 };

static bool path_of(const Bench *bench, const char *name, char out[PATH_MAX], BlyError *err) {
    if (!bench_plain_name(name))
        return bly_fail(err, BLY_E_RANGE, "/name", "should be a plain file name ending in .json");
    int n = snprintf(out, PATH_MAX, "%s/%s", bench->folder, name);
    return (n > 0 && n < PATH_MAX) || bly_fail(err, BLY_E_RANGE, "/name", "is too long");
}

/* *there: whether the name is taken at all. */
static bool look(const char *path, const char *name, bool *there, BlyError *err) {
    struct stat st;
    *there = lstat(path, &st) == 0;
    if (!*there && errno != ENOENT)
        return bly_fail(err, BLY_E_IO, name, "cannot be read");
    if (*there && !S_ISREG(st.st_mode))
        return bly_fail(err, BLY_E_IO, name, "is no ordinary file");
    return true;
}

/* Reads a file that look() let pass; errors name the file and not the folder. */
static bool read_named(const char *path, const char *name, char **text, size_t *size,
                       BlyError *err) {
    BlyError deeper = {0};
    return bly_file_read(path, BENCH_BODY_MAX, text, size, &deeper) ||
           bly_fail(err, deeper.code, name, "%s", deeper.text);
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static size_t gather(const Bench *bench, char *names[LIST_MAX]) {
    size_t count = 0;
    DIR *dir = opendir(bench->folder);
    for (const struct dirent *entry;
         dir != NULL && count < LIST_MAX && (entry = readdir(dir)) != NULL;) {
        char path[PATH_MAX];
        bool there = false;
        if (path_of(bench, entry->d_name, path, NULL) && look(path, entry->d_name, &there, NULL) &&
            there && (names[count] = strdup(entry->d_name)) != NULL)
            count++;
    }
    if (dir != NULL)
        (void)closedir(dir);
    qsort(names, count, sizeof names[0], by_name);
    return count;
}

cJSON *route_list(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status, (void)err;
    char *names[LIST_MAX];
    size_t count = gather(bench, names);
    cJSON *o = cJSON_CreateObject();
    cJSON *list = o != NULL ? cJSON_AddArrayToObject(o, "files") : NULL;
    bool good = list != NULL && put_text(o, "start", bench->start);
    for (size_t i = 0; i < count; i++) {
        good = good && cJSON_AddItemToArray(list, cJSON_CreateString(names[i]));
        free(names[i]);
    }
    if (good)
        return o;
    cJSON_Delete(o);
    return NULL;
}

static cJSON *file_answer(const char *name, const char *text) {
    cJSON *o = cJSON_CreateObject();
    if (o != NULL && put_text(o, "name", name) && put_text(o, "build", text))
        return o;
    cJSON_Delete(o);
    return NULL;
}

cJSON *route_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *name;
    char path[PATH_MAX], *text = NULL;
    size_t size = 0;
    bool there;
    if (!route_text(in, "name", &name, err) || !path_of(bench, name, path, err) ||
        !look(path, name, &there, err) || !read_named(path, name, &text, &size, err))
        return NULL;
    cJSON *o = NULL;
    if (strlen(text) == size)
        o = file_answer(name, text);
    else
        (void)bly_fail(err, BLY_E_SYNTAX, name, "holds a NUL character");
    free(text);
    return o;
}

/* The page sends the text that it read ("was", null: a new file); it must be the disk's, byte for
 * byte. */
static bool unchanged(const BlyJson *in, const char *path, const char *name, int *status,
                      BlyError *err) {
    BlyJson was;
    bool there;
    if (!bly_json_require(in, "was", &was, err) || !look(path, name, &there, err))
        return false;
    char *text = NULL;
    size_t size = 0;
    if (there && !read_named(path, name, &text, &size, err))
        return false;
    bool same = there ? cJSON_IsString(was.node) && strlen(was.node->valuestring) == size &&
                            memcmp(was.node->valuestring, text, size) == 0
                      : cJSON_IsNull(was.node);
    free(text);
    if (same)
        return true;
    *status = 409;
    return bly_fail(err, BLY_E_CONFLICT, name,
                    there ? "changed on the disk since it was read; nothing was written"
                          : "is gone from the disk; nothing was written");
}

/* The text as this project prints JSON, so that files keep one look. */
static bool house_print(const char *build, BlyText *out, BlyError *err) {
    cJSON *tree = bly_json_parse(build, strlen(build), err);
    bool good = tree != NULL && bly_json_print(tree, out, err);
    cJSON_Delete(tree);
    return good;
}

cJSON *route_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *name, *text;
    char path[PATH_MAX];
    BlyBuild *build;
    if (!route_text(in, "name", &name, err) || !route_text(in, "build", &text, err) ||
        !path_of(bench, name, path, err) || !route_build(bench, in, &build, err))
        return NULL;
    bly_build_free(build); /* only a build that reads well is worth keeping */
    BlyText out;
    BlyError deeper = {0};
    bly_text_init(&out);
    cJSON *o = NULL;
    if (unchanged(in, path, name, status, err) && house_print(text, &out, err)) {
        if (bly_file_write(path, bly_text_string(&out), out.length, BLY_KEEP_EARLIER, &deeper))
            o = file_answer(name, bly_text_string(&out));
        else
            (void)bly_fail(err, deeper.code, name, "%s", deeper.text);
    }
    bly_text_release(&out);
    return o;
}
