/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The book on the disk. Two programs that add to it wait for each other: a lock on a file of its
 * own, since the book itself is replaced. */
#define _GNU_SOURCE /* flock */
#include "desk/book.h"
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const size_t book_limit = (size_t)64 << 20;

static bool in_folder(char path[BOOK_PATH_MAX], const char *folder, const char *name) {
    int size = snprintf(path, BOOK_PATH_MAX, "%s%s%s", folder,
                        folder[strlen(folder) - 1] != '/' ? "/" : "", name);
    if (size > 0 && size < BOOK_PATH_MAX)
        return true;
    path[0] = '\0';
    return false;
}

bool book_usual_path(char path[BOOK_PATH_MAX]) {
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    path[0] = '\0';
    if (data != NULL && data[0] == '/')
        return in_folder(path, data, "ballastry/book.json");
    return home != NULL && home[0] == '/' &&
           in_folder(path, home, ".local/share/ballastry/book.json");
}

bool book_load(const char *path, Book *out, bool *there, BlyError *err) {
    struct stat found;
    char *text = NULL;
    size_t size = 0;
    *out = (Book){0};
    *there = stat(path, &found) == 0 || errno != ENOENT;
    if (!*there)
        return true;
    bool good =
        bly_file_read(path, book_limit, &text, &size, err) && book_read_text(text, size, out, err);
    free(text);
    return good;
}

/* The folders of the path; that they are there already is no error, and any other shows when the
 * lock is opened. */
static void make_folders(const char *path) {
    char folder[BOOK_PATH_MAX];
    (void)snprintf(folder, sizeof folder, "%s", path);
    for (char *slash = strchr(folder + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        (void)mkdir(folder, 0700); /* as the XDG convention has it */
        *slash = '/';
    }
}

static int lock(const char *path, BlyError *err) {
    char name[BOOK_PATH_MAX];
    int size = snprintf(name, sizeof name, "%s.lock", path);
    if (path[0] == '\0' || size < 0 || (size_t)size >= sizeof name) {
        (void)bly_fail(err, BLY_E_IO, path, "cannot be the name of a book");
        return -1;
    }
    make_folders(path);
    int descriptor = open(name, O_RDWR | O_CREAT | O_CLOEXEC | O_NOCTTY, 0666);
    if (descriptor < 0) {
        (void)bly_fail(err, BLY_E_IO, path, "cannot be locked: %s", strerror(errno));
        return -1;
    }
    while (flock(descriptor, LOCK_EX) != 0) {
        if (errno == EINTR)
            continue;
        (void)bly_fail(err, BLY_E_IO, path, "cannot be locked: %s", strerror(errno));
        (void)close(descriptor);
        return -1;
    }
    return descriptor;
}

static bool put(const char *path, const Book *book, BlyError *err) {
    BlyText text;
    bly_text_init(&text);
    bool good = book_put_text(book, &text, err) && bly_text_good(&text, err) &&
                bly_file_write(path, bly_text_string(&text), text.length, BLY_KEEP_EARLIER, err);
    bly_text_release(&text);
    return good;
}

bool book_change(const char *path, BookChange change, void *context, BlyError *err) {
    Book book = {0};
    bool there, unchanged = false;
    int held = lock(path, err);
    if (held < 0)
        return false;
    bool good = book_load(path, &book, &there, err) && change(&book, context, &unchanged, err) &&
                (unchanged || put(path, &book, err));
    book_release(&book);
    (void)close(held); /* and with it the lock */
    return good;
}
