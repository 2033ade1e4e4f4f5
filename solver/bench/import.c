/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The route that brings a file into the folder: a caliper list, a drawing or a mesh, once a build
 * that names it reads well with it. */
#include "bench/folder.h"
#include "bench/route.h"

#include <stdlib.h>
#include <string.h>

/* ---- base64, RFC 4648, section 4 ---- */

static int digit_of(char c) {
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const char *at = c != '\0' ? strchr(digits, c) : NULL;
    return at != NULL ? (int)(at - digits) : -1;
}

/* free(*bytes); false: it is no base64, or no memory (*bytes NULL). A NUL stands behind. */
static bool decode(const char *text, char **bytes, size_t *size) {
    size_t length = strlen(text), pad = 0;
    while (pad < 2 && length > pad && text[length - 1 - pad] == '=')
        pad++;
    *size = length / 4 * 3 - (length > 0 ? pad : 0);
    *bytes = length % 4 == 0 ? malloc(length / 4 * 3 + 1) : NULL;
    if (*bytes == NULL)
        return false;
    uint32_t group = 0;
    char *out = *bytes;
    for (size_t i = 0; i < length; i++) {
        int digit = i + pad >= length ? 0 : digit_of(text[i]);
        if (digit < 0) {
            free(*bytes);
            *bytes = NULL;
            return false;
        }
        group = group << 6 | (uint32_t)digit;
        if (i % 4 == 3) {
            *out++ = (char)(group >> 16 & 0xff);
            *out++ = (char)(group >> 8 & 0xff);
            *out++ = (char)(group & 0xff);
        }
    }
    (*bytes)[*size] = '\0';
    return true;
}

/* ---- the file as if it lay in the folder ---- */

typedef struct Brought {
    const char *name;
    const char *bytes;
    size_t size;
    BlyBuildFiles folder;
    bool asked; /* the build names it */
} Brought;

static bool read_brought(void *context, const char *name, char **text, size_t *size,
                         BlyError *err) {
    Brought *brought = context;
    if (strcmp(name, brought->name) != 0)
        return brought->folder.read(brought->folder.context, name, text, size, err);
    brought->asked = true;
    *text = malloc(brought->size + 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the file");
    memcpy(*text, brought->bytes, brought->size + 1);
    *size = brought->size;
    return true;
}

static bool reads_well(const Bench *bench, const BlyJson *in, Brought *brought, BlyError *err) {
    const char *text;
    BlyBuild *build;
    const BlyBuildFiles files = {.read = read_brought, .context = brought};
    brought->folder = folder_files(bench);
    if (!route_text(in, "build", &text, err) ||
        !bly_build_read_with(text, strlen(text), bench->catalog, &files, &build, err))
        return false;
    bly_build_free(build);
    return brought->asked || bly_fail(err, BLY_E_CONFLICT, "/build", "does not name the file");
}

/* One of the same bytes may be there; another one only where that is said. */
static bool may_write(const Bench *bench, const Brought *brought, bool over, int *status,
                      BlyError *err) {
    char *there = NULL;
    size_t size = 0;
    bool any;
    BlyError reading = {0};
    bool good = folder_read(bench, brought->name, (size_t)512 << 20, &there, &size, &any, &reading);
    if (!good && any)
        return bly_fail(err, reading.code, reading.where, "%s", reading.text);
    bool same = good && size == brought->size && memcmp(there, brought->bytes, size) == 0;
    free(there);
    if (!good || same || over)
        return true;
    *status = 409;
    return bly_fail(err, BLY_E_CONFLICT, brought->name,
                    "a file of that name is there already; nothing was written");
}

static cJSON *bring(const Bench *bench, const BlyJson *in, Brought *brought, bool over, int *status,
                    BlyError *err) {
    if (!reads_well(bench, in, brought, err))
        return NULL;
    folder_lock(bench);
    bool good =
        may_write(bench, brought, over, status, err) &&
        folder_write(bench, brought->name, brought->bytes, brought->size, true, status, err);
    folder_unlock(bench);
    cJSON *o = good ? cJSON_CreateObject() : NULL;
    return json_finished(o, o != NULL && put_text(o, "name", brought->name));
}

cJSON *route_import(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    Brought brought = {0};
    const char *base64;
    char *bytes;
    bool over = false;
    BlyJson said = bly_json_member(in, "over");
    if (!route_text(in, "name", &brought.name, err) || !route_text(in, "base64", &base64, err) ||
        (said.node != NULL && !bly_json_bool(&said, &over, err)))
        return NULL;
    if (!folder_shape_name(brought.name))
        return (void)bly_fail(err, BLY_E_RANGE, "/name",
                              "should be a plain file name ending in .csv, .svg or .stl"),
               NULL;
    if (!decode(base64, &bytes, &brought.size))
        return (void)bly_fail(err, BLY_E_SYNTAX, "/base64", "should be a file in base64"), NULL;
    brought.bytes = bytes;
    cJSON *o = bring(bench, in, &brought, over, status, err);
    free(bytes);
    return o;
}
