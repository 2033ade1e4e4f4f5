/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading and writing below one folder. A name is walked step by step from the open folder, each
 * step without following a link, so that nothing that is put in the way can lead out of it. */
#define _XOPEN_SOURCE 700
#include "bench/folder.h"
#include "files/files.h"
#include "text/quote.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* A caliper list; a mesh, of which a million facets take 50 MB, or 270 MB written out as text. */
static const size_t list_limit = (size_t)16 << 20, mesh_limit = (size_t)512 << 20;

static size_t limit_of(const char *name) {
    size_t length = strlen(name);
    return length >= 4 && strcasecmp(name + length - 4, ".stl") == 0 ? mesh_limit : list_limit;
}

/* A name of a file in the folder itself: no folder in it, not hidden. */
static bool is_plain(const char *name) {
    size_t n = strlen(name);
    if (n < 5 || n > BENCH_NAME_MAX || name[0] == '.')
        return false;
    for (const unsigned char *p = (const unsigned char *)name; *p != '\0'; p++) {
        if (*p < 0x20 || *p == 0x7f || *p == '/' || *p == '\\')
            return false;
    }
    return true;
}

bool folder_plain_name(const char *name) {
    size_t n = strlen(name);
    return is_plain(name) && n > 5 && strcmp(name + n - 5, ".json") == 0;
}

bool folder_shape_name(const char *name) {
    static const char *const ends[] = {".csv", ".svg", ".stl"};
    if (!is_plain(name) || strcasecmp(name, "box.csv") == 0)
        return false;
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        if (strcasecmp(name + strlen(name) - 4, ends[i]) == 0)
            return true;
    }
    return false;
}

static void close_kept(int descriptor) {
    int kept = errno;
    (void)close(descriptor);
    errno = kept;
}

/* An open descriptor of the file, -1 with errno. Takes `at`. */
static int walk(int at, const char *name) {
    while (at >= 0) {
        char step[NAME_MAX + 1];
        size_t length = strcspn(name, "/");
        bool last = name[length] == '\0';
        if (length == 0 || length > NAME_MAX || (length <= 2 && strspn(name, ".") >= length)) {
            close_kept(at);
            errno = ENOENT;
            return -1;
        }
        memcpy(step, name, length);
        step[length] = '\0';
        int kind = last ? O_NONBLOCK : O_DIRECTORY; /* a pipe must not make us wait */
        int next = openat(at, step, O_RDONLY | O_NOFOLLOW | O_CLOEXEC | kind);
        close_kept(at);
        if (last)
            return next;
        at = next;
        name += length + 1;
    }
    return -1;
}

static bool refuse(const char *name, const char *why, BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    bly_quote(name, quoted);
    return bly_fail(err, BLY_E_IO, quoted, "%s", why);
}

bool folder_read(const Bench *bench, const char *name, size_t limit, char **bytes, size_t *size,
                 bool *there, BlyError *err) {
    struct stat st;
    int file = walk(open(bench->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC), name);
    int fault = errno;
    if (there != NULL)
        *there = file >= 0 || fault != ENOENT;
    if (file < 0)
        return refuse(name,
                      fault == ENOENT                      ? "is not there"
                      : fault == ELOOP || fault == ENOTDIR ? "is not an ordinary file"
                                                           : "cannot be read",
                      err);
    bool good = fstat(file, &st) == 0 && S_ISREG(st.st_mode);
    if (!good)
        (void)refuse(name, "is not an ordinary file", err);
    BlyError deeper = {0};
    if (good && !bly_descriptor_read(file, name, limit, bytes, size, &deeper))
        good = bly_fail(err, deeper.code, deeper.where, "%s", deeper.text);
    (void)close(file);
    return good;
}

/* What the disk has against a write, in a maker's words. */
static const struct {
    int why, status;
    const char *words;
} refusals[] = {
    {ENOSPC, 507, "the disk is full"},
    {EDQUOT, 507, "your disk quota is used up"},
    {EFBIG, 507, "the disk cannot take a file of this size"},
    {EACCES, 403, "no permission to write to the folder or the file"},
    {EPERM, 403, "no permission to write to the folder or the file"},
    {EROFS, 403, "the disk is read-only"},
    {ENOENT, 404, "the folder is gone"},
    {ENOTDIR, 404, "the folder is gone"},
    {ENAMETOOLONG, 422, "the name is too long for this disk"},
};

static bool refuse_write(const char *name, int why, const char *said, int *status, BlyError *err) {
    const char *words = said;
    *status = 500;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        if (refusals[i].why == why) {
            *status = refusals[i].status;
            words = refusals[i].words;
        }
    }
    char text[BLY_TEXT_MAX];
    (void)snprintf(text, sizeof text, "%.200s; nothing was written", words);
    return refuse(name, text, err);
}

bool folder_write(const Bench *bench, const char *name, const char *bytes, size_t size,
                  bool keep_earlier, int *status, BlyError *err) {
    char path[PATH_MAX];
    struct stat st;
    BlyError deeper = {0};
    int n = snprintf(path, sizeof path, "%s/%s", bench->folder, name);
    if (n < 0 || n >= PATH_MAX)
        return refuse(name, "has too long a name", err);
    if (lstat(path, &st) == 0 ? !S_ISREG(st.st_mode) : errno != ENOENT)
        return refuse(name, "is not an ordinary file", err);
    BlyKeep keep = keep_earlier ? BLY_KEEP_EARLIER : BLY_KEEP_NOTHING;
    return bly_file_write(path, bytes, size, keep, &deeper) ||
           refuse_write(name, errno, deeper.text, status, err);
}

static bool read_beside(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    bly_quote(name, quoted);
    for (const char *step = name;; step++) { /* as the commands say it */
        size_t length = strcspn(step, "/");
        if (name[0] == '/' || (length == 2 && strncmp(step, "..", 2) == 0))
            return bly_fail(err, BLY_E_SYNTAX, NULL,
                            "\"%s\" leaves the build's folder; expected a file in it or below",
                            quoted);
        step += length;
        if (*step == '\0')
            break;
    }
    BlyError deeper = {0};
    return folder_read(context, name, limit_of(name), text, size, NULL, &deeper) ||
           bly_fail(err, deeper.code == BLY_E_IO ? BLY_E_MISSING : deeper.code, NULL, "\"%s\" %s",
                    quoted, deeper.text);
}

BlyBuildFiles folder_files(const Bench *bench) {
    return (BlyBuildFiles){
        .read = read_beside, .context = (void *)(uintptr_t)bench, .kept = bench->kept};
}
