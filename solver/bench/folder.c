/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of files: list, open, save, and drafts of what was not saved. One lock for all that
 * writes, so that of two tabs that save at once the second is told. */
#include "bench/folder.h"
#include "bench/route.h"

#include <dirent.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { LIST_MAX = 500 };

void folder_lock(const Bench *bench) {
    (void)pthread_mutex_lock(&bench->locks->disk);
}

void folder_unlock(const Bench *bench) {
    (void)pthread_mutex_unlock(&bench->locks->disk);
}

/* A member that names a file; with `drafts` it may be "". */
static bool name_of(const BlyJson *in, const char *key, bool drafts, const char **out,
                    BlyError *err) {
    char where[32];
    if (!route_text(in, key, out, err))
        return false;
    (void)snprintf(where, sizeof where, "/%s", key);
    if (drafts ? draft_name_good(*out) : folder_plain_name(*out))
        return true;
    return bly_fail(err, BLY_E_RANGE, where, "%s%s", FOLDER_NO_NAME, drafts ? ", or \"\"" : "");
}

/* ---- list ---- */

typedef struct Names {
    char *at[LIST_MAX];
    size_t count, left_out; /* left_out: names too long or odd, or beyond the most */
} Names;

static void names_add(Names *names, const char *name) {
    if (names->count < LIST_MAX && (names->at[names->count] = strdup(name)) != NULL)
        names->count++;
    else
        names->left_out++;
}

static void names_free(Names *names) {
    for (size_t i = 0; i < names->count; i++)
        free(names->at[i]);
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static bool ordinary(const Bench *bench, const char *name) {
    struct stat st;
    char path[PATH_MAX];
    int n = snprintf(path, sizeof path, "%s/%s", bench->folder, name);
    return n > 0 && n < PATH_MAX && lstat(path, &st) == 0 && S_ISREG(st.st_mode);
}

static bool is_json(const char *name) {
    size_t n = strlen(name);
    return n > 5 && strcmp(name + n - 5, ".json") == 0;
}

static void gather(const Bench *bench, Names *files, Names *drafts) {
    DIR *dir = opendir(bench->folder);
    for (const struct dirent *entry; dir != NULL && (entry = readdir(dir)) != NULL;) {
        char name[BENCH_NAME_MAX + 1];
        if (folder_plain_name(entry->d_name) && ordinary(bench, entry->d_name))
            names_add(files, entry->d_name);
        else if (draft_of_file(entry->d_name, name) && ordinary(bench, entry->d_name))
            names_add(drafts, name);
        else if (entry->d_name[0] != '.' && is_json(entry->d_name))
            files->left_out++;
    }
    if (dir != NULL)
        (void)closedir(dir);
    qsort(files->at, files->count, sizeof files->at[0], by_name);
    qsort(drafts->at, drafts->count, sizeof drafts->at[0], by_name);
}

static cJSON *names_tree(const Names *names) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < names->count; i++)
        good = cJSON_AddItemToArray(list, cJSON_CreateString(names->at[i]));
    return json_finished(list, good);
}

/* Asked by a page that is looked at, now and then: the mark tells whether it is the same folder. */
cJSON *route_alive(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status, (void)err;
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "mark", (double)bench->mark));
}

cJSON *route_list(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status, (void)err;
    Names files = {.count = 0}, drafts = {.count = 0};
    gather(bench, &files, &drafts);
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_tree(o, "files", names_tree(&files)) &&
                put_text(o, "start", bench->start) && put_tree(o, "drafts", names_tree(&drafts)) &&
                put_number(o, "left_out", (double)files.left_out);
    names_free(&files);
    names_free(&drafts);
    return json_finished(o, good);
}

/* ---- open and save ---- */

static cJSON *file_answer(const char *name, const char *text) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_text(o, "name", name) && put_text(o, "build", text));
}

cJSON *route_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *name;
    char *text = NULL, *draft = NULL;
    size_t size = 0;
    if (!name_of(in, "name", false, &name, err) ||
        !folder_read(bench, name, BENCH_BODY_MAX, &text, &size, NULL, err))
        return NULL;
    cJSON *o = NULL;
    if (strlen(text) != size) {
        (void)bly_fail(err, BLY_E_SYNTAX, name, "holds a NUL character");
    } else {
        o = file_answer(name, text);
        bool differs = draft_there(bench, name, &draft) && strcmp(draft, text) != 0;
        cJSON *left = differs ? cJSON_CreateString(draft) : cJSON_CreateNull();
        if (o == NULL || !put_tree(o, "draft", left))
            o = json_finished(o, false);
    }
    free(text);
    free(draft);
    return o;
}

bool folder_unchanged(const Bench *bench, const BlyJson *in, const char *name, int *status,
                      BlyError *err) {
    BlyJson was;
    BlyError reading = {0};
    bool there;
    char *text = NULL;
    size_t size = 0;
    if (!bly_json_require(in, "was", &was, err))
        return false;
    if (!cJSON_IsString(was.node) && !cJSON_IsNull(was.node))
        return bly_json_refuse(&was, BLY_E_SYNTAX, err,
                               "should be the text that was read, or null");
    if (!folder_read(bench, name, BENCH_BODY_MAX, &text, &size, &there, &reading) && there)
        return bly_fail(err, reading.code, reading.where, "%s", reading.text);
    bool same = there ? cJSON_IsString(was.node) && strlen(was.node->valuestring) == size &&
                            memcmp(was.node->valuestring, text, size) == 0
                      : cJSON_IsNull(was.node);
    free(text);
    if (same)
        return true;
    *status = 409;
    const char *why = !there                   ? "is gone from the disk"
                      : cJSON_IsNull(was.node) ? "is there already"
                                               : "changed on the disk since it was read";
    return bly_fail(err, BLY_E_CONFLICT, name, "%s; nothing was written", why);
}

/* The text as this project prints JSON, so that files keep one look. */
static bool house_print(const char *build, BlyText *out, BlyError *err) {
    cJSON *tree = bly_json_parse(build, strlen(build), err);
    bool good = tree != NULL && bly_json_print(tree, out, err);
    cJSON_Delete(tree);
    return good;
}

cJSON *route_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *name, *text, *draft = NULL;
    BlyBuild *build;
    if (!name_of(in, "name", false, &name, err) || !route_text(in, "build", &text, err) ||
        (bly_json_member(in, "draft").node != NULL && !name_of(in, "draft", true, &draft, err)) ||
        !route_build(bench, in, &build, err))
        return NULL;
    bly_build_free(build); /* only a build that reads well is worth keeping */
    BlyText out;
    bly_text_init(&out);
    cJSON *o = NULL;
    folder_lock(bench);
    if (folder_unchanged(bench, in, name, status, err) && house_print(text, &out, err) &&
        folder_write(bench, name, bly_text_string(&out), out.length, true, status, err)) {
        draft_drop(bench, name);
        if (draft != NULL)
            draft_drop(bench, draft);
        o = file_answer(name, bly_text_string(&out));
    }
    folder_unlock(bench);
    bly_text_release(&out);
    return o;
}

/* ---- drafts ---- */

static cJSON *name_answer(const char *name) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_text(o, "name", name));
}

cJSON *route_draft(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *name, *text;
    if (!name_of(in, "name", true, &name, err) || !route_text(in, "build", &text, err))
        return NULL;
    folder_lock(bench);
    bool good = draft_put(bench, name, text, status, err);
    folder_unlock(bench);
    return good ? name_answer(name) : NULL;
}

cJSON *route_draft_drop(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *name;
    if (!name_of(in, "name", true, &name, err))
        return NULL;
    folder_lock(bench);
    draft_drop(bench, name);
    folder_unlock(bench);
    return name_answer(name);
}

cJSON *route_draft_open(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *name;
    char *text = NULL;
    if (!name_of(in, "name", true, &name, err))
        return NULL;
    if (!draft_there(bench, name, &text)) {
        (void)bly_fail(err, BLY_E_IO, name, "has no draft");
        return NULL;
    }
    cJSON *o = file_answer(name, text);
    free(text);
    return o;
}
