/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes that give a build's file another name and that take it away. Neither loses a byte: no
 * file is renamed over another, and what is taken away stays beside as "NAME~". */
#include "bench/folder.h"
#include "bench/route.h"

#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <unistd.h>

static bool name_of(const BlyJson *in, const char *key, const char **out, BlyError *err) {
    char where[32];
    (void)snprintf(where, sizeof where, "/%s", key);
    return route_text(in, key, out, err) &&
           (folder_plain_name(*out) || bly_fail(err, BLY_E_RANGE, where, FOLDER_NO_NAME));
}

static void path_of(const Bench *bench, const char *name, const char *end, char out[PATH_MAX]) {
    if (snprintf(out, PATH_MAX, "%s/%s%s", bench->folder, name, end) >= PATH_MAX)
        out[0] = '\0'; /* which no system call takes */
}

static bool refuse(const char *name, int why, int *status, BlyError *err) {
    *status = why == EEXIST ? 409 : why == EACCES || why == EPERM || why == EROFS ? 403 : 500;
    return bly_fail(err, BLY_E_CONFLICT, name, "%s",
                    why == EEXIST    ? "is there already; nothing was changed"
                    : *status == 403 ? "no permission to write to the folder; nothing was changed"
                                     : "cannot be renamed; nothing was changed");
}

/* A second name and then the first one gone: whatever is there already is never written over. */
static bool move(const Bench *bench, const char *name, const char *to, int *status, BlyError *err) {
    char from_path[PATH_MAX], to_path[PATH_MAX];
    path_of(bench, name, "", from_path);
    path_of(bench, to, "", to_path);
    if (link(from_path, to_path) != 0)
        return refuse(errno == EEXIST ? to : name, errno, status, err);
    if (unlink(from_path) == 0)
        return true;
    int why = errno;
    (void)unlink(to_path);
    return refuse(name, why, status, err);
}

static cJSON *named(const char *name) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_text(o, "name", name));
}

cJSON *route_rename(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *name, *to;
    if (!name_of(in, "name", &name, err) || !name_of(in, "to", &to, err))
        return NULL;
    folder_lock(bench);
    bool good =
        folder_unchanged(bench, in, name, status, err) && move(bench, name, to, status, err);
    if (good)
        draft_drop(bench, name);
    folder_unlock(bench);
    return good ? named(to) : NULL;
}

cJSON *route_delete(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *name;
    char from[PATH_MAX], kept[PATH_MAX];
    if (!name_of(in, "name", &name, err))
        return NULL;
    path_of(bench, name, "", from);
    path_of(bench, name, "~", kept);
    folder_lock(bench);
    bool good = folder_unchanged(bench, in, name, status, err) &&
                (rename(from, kept) == 0 || refuse(name, errno, status, err));
    if (good)
        draft_drop(bench, name);
    folder_unlock(bench);
    return good ? named(name) : NULL;
}
