/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FIRST_ROOM = 4096 };

/* The next room, never more than the limit, one byte to find out that it is passed, and the NUL. */
static size_t next_room(size_t room, size_t limit) {
    size_t most = limit < SIZE_MAX - 2 ? limit + 2 : SIZE_MAX,
           next = room == 0 ? FIRST_ROOM : 2 * room;
    return next < most ? next : most;
}

bool bly_descriptor_read(int descriptor, const char *name, size_t limit, char **bytes,
                         size_t *length, BlyError *err) {
    char *text = NULL;
    size_t used = 0, room = 0;
    for (;;) {
        if (used + 1 >= room) {
            room = next_room(room, limit);
            char *wider = realloc(text, room);
            if (wider == NULL) {
                free(text);
                return bly_fail(err, BLY_E_MEMORY, name, "no memory for the file");
            }
            text = wider;
        }
        ssize_t got = read(descriptor, text + used, room - used - 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            int reason = errno;
            free(text);
            return bly_fail(err, BLY_E_IO, name, "cannot be read: %s", strerror(reason));
        }
        if (got == 0)
            break;
        used += (size_t)got;
        if (used > limit) {
            free(text);
            return bly_fail(err, BLY_E_IO, name, "is larger than %zu bytes", limit);
        }
    }
    text[used] = '\0';
    *bytes = text;
    *length = used;
    return true;
}

bool bly_file_read(const char *path, size_t limit, char **bytes, size_t *length, BlyError *err) {
    if (path[0] == '\0')
        return bly_fail(err, BLY_E_IO, "\"\"", "is not a file name; expected one to read");
    int descriptor = open(path, O_RDONLY | O_CLOEXEC);
    if (descriptor < 0)
        return bly_fail(err, BLY_E_IO, path, "cannot be opened: %s", strerror(errno));
    bool good = bly_descriptor_read(descriptor, path, limit, bytes, length, err);
    (void)close(descriptor); /* nothing was written: nothing can be lost */
    return good;
}
