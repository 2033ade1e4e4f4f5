/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath */
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { TEMPORARY_TRIES = 100 };

static bool fail_io(BlyError *err, const char *path, const char *what) {
    return bly_fail(err, BLY_E_IO, path, "%s: %s", what, strerror(errno));
}

/* What is cleared away after a failure leaves the failure's errno. */
static void drop_file(const char *path) {
    int kept = errno;
    (void)unlink(path);
    errno = kept;
}

static void drop_descriptor(int descriptor) {
    int kept = errno;
    (void)close(descriptor);
    errno = kept;
}

/* A write may take less than it was given; only then does the next one tell why. */
bool bly_file_send(int descriptor, const char *bytes, size_t length) {
    while (length > 0) {
        ssize_t written = write(descriptor, bytes, length);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        bytes += written;
        length -= (size_t)written;
    }
    return true;
}

/* Devices and pipes: there is nothing to rename, and not all can be flushed. */
static bool write_in_place(const char *path, const char *bytes, size_t length, BlyError *err) {
    int descriptor = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
    if (descriptor < 0)
        return fail_io(err, path, "cannot be opened for writing");
    if (!bly_file_send(descriptor, bytes, length)) {
        (void)fail_io(err, path, "cannot be written");
        drop_descriptor(descriptor);
        return false;
    }
    if (close(descriptor) != 0)
        return fail_io(err, path, "cannot be written");
    return true;
}

/* Opens a file beside `path` that nobody has. Its mode is what a new file gets from the umask. */
static int open_temporary(const char *path, char *name, size_t size) {
    for (int i = 0; i < TEMPORARY_TRIES; i++) {
        int n = snprintf(name, size, "%s.new-%ld-%d", path, (long)getpid(), i);
        if (n < 0 || (size_t)n >= size) {
            errno = ENAMETOOLONG;
            return -1;
        }
        int descriptor = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor >= 0 || errno != EEXIST)
            return descriptor;
    }
    return -1;
}

/* Writes, takes over the old file's permissions and flushes; closes in any case. */
static bool fill(int descriptor, const char *bytes, size_t length, const struct stat *old,
                 const char *path, BlyError *err) {
    bool good = bly_file_send(descriptor, bytes, length);
    if (good && old != NULL)
        good = fchmod(descriptor, old->st_mode & 07777) == 0;
    good = good && fsync(descriptor) == 0;
    if (!good) {
        (void)fail_io(err, path, "cannot be written");
        drop_descriptor(descriptor);
        return false;
    }
    return close(descriptor) == 0 || fail_io(err, path, "cannot be written");
}

/* The old file under the name "PATH~" as well, by a second link, so that it never goes missing. */
static bool keep_earlier(const char *path, BlyError *err) {
    char earlier[PATH_MAX], beside[PATH_MAX];
    int a = snprintf(earlier, sizeof earlier, "%s~", path);
    int b = snprintf(beside, sizeof beside, "%s~%ld", path, (long)getpid());
    if (a < 0 || (size_t)a >= sizeof earlier || b < 0 || (size_t)b >= sizeof beside) {
        errno = ENAMETOOLONG;
        return fail_io(err, path, "the earlier version cannot be kept");
    }
    if (link(path, beside) != 0)
        return fail_io(err, path, "the earlier version cannot be kept");
    if (rename(beside, earlier) != 0) {
        (void)fail_io(err, path, "the earlier version cannot be kept");
        drop_file(beside);
        return false;
    }
    (void)unlink(beside); /* still there if both names were one file already */
    return true;
}

/* Makes the rename itself last. Some file systems cannot flush a folder; the file is whole anyway.
 */
static void flush_folder(const char *path) {
    char folder[PATH_MAX];
    const char *slash = strrchr(path, '/');
    size_t length = slash == NULL ? 0 : (size_t)(slash - path) + (slash == path);
    (void)snprintf(folder, sizeof folder, "%.*s", length > 0 ? (int)length : 1,
                   length > 0 ? path : ".");
    int descriptor = open(folder, O_RDONLY | O_CLOEXEC | O_DIRECTORY);
    if (descriptor < 0)
        return;
    (void)fsync(descriptor);
    (void)close(descriptor);
}

static bool replace(const char *path, const char *bytes, size_t length, const struct stat *old,
                    BlyKeep keep, BlyError *err) {
    char temporary[PATH_MAX];
    int descriptor = open_temporary(path, temporary, sizeof temporary);
    if (descriptor < 0)
        return fail_io(err, path, "cannot be created");
    bool good = fill(descriptor, bytes, length, old, path, err);
    if (good && old != NULL && keep == BLY_KEEP_EARLIER)
        good = keep_earlier(path, err);
    if (good && rename(temporary, path) != 0)
        good = fail_io(err, path, "cannot be replaced");
    if (!good) {
        drop_file(temporary);
        return false;
    }
    flush_folder(path);
    return true;
}

/* Writing through it would make a file somewhere else, writing over it would lose the link. */
static bool refuse_dangling(const char *path, BlyError *err) {
    char target[PATH_MAX];
    ssize_t length = readlink(path, target, sizeof target - 1);
    target[length > 0 ? length : 0] = '\0';
    errno = ENOENT;
    return bly_fail(err, BLY_E_IO, path,
                    "is a link to %.200s, where there is nothing; take the link away, or name that "
                    "file",
                    target);
}

bool bly_file_write(const char *path, const char *bytes, size_t length, BlyKeep keep,
                    BlyError *err) {
    struct stat old;
    if (path[0] == '\0') {
        errno = ENOENT;
        return bly_fail(err, BLY_E_IO, "\"\"", "is not a file name; expected one to write to");
    }
    if (stat(path, &old) != 0) {
        if (errno == ENOENT && lstat(path, &old) == 0)
            return refuse_dangling(path, err);
        if (errno != ENOENT)
            return fail_io(err, path, "cannot be written");
        return replace(path, bytes, length, NULL, keep, err);
    }
    if (S_ISDIR(old.st_mode)) {
        errno = EISDIR;
        return bly_fail(err, BLY_E_IO, path, "is a folder");
    }
    if (!S_ISREG(old.st_mode))
        return write_in_place(path, bytes, length, err);
    if (faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) != 0) /* a rename would not ask */
        return fail_io(err, path, "cannot be written");
    char *real = realpath(path, NULL);
    if (real == NULL)
        return fail_io(err, path, "cannot be written");
    BlyError deeper = {0};
    bool good = replace(real, bytes, length, &old, keep, &deeper);
    if (!good)
        (void)bly_fail(err, deeper.code, path, "%s",
                       deeper.text); /* the name that the user knows */
    int why = errno;
    free(real);
    errno = why;
    return good;
}
