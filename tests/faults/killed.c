/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Put before a program with LD_PRELOAD: counts the calls by which a file is saved and kills the
 * program, as SIGKILL would, before the one numbered KILL_AT (from 1); a write that is killed has
 * put half its bytes out. COUNT_TO names a file that gets the number of calls at the end. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static unsigned long calls;

/* A pointer to a function, taken from dlsym as the standard allows. */
#define REAL(name, type)                                                                           \
    type real;                                                                                     \
    do {                                                                                           \
        void *symbol = dlsym(RTLD_NEXT, name);                                                     \
        memcpy(&real, &symbol, sizeof real);                                                       \
    } while (0)

static int its_turn(void) {
    const char *at = getenv("KILL_AT");
    calls++;
    return at != NULL && calls == strtoul(at, NULL, 10);
}

static void die(void) {
    (void)kill(getpid(), SIGKILL);
}

typedef int (*Open)(const char *, int, ...);
int open(const char *path, int flags, ...) {
    REAL("open", Open);
    va_list rest;
    va_start(rest, flags);
    unsigned mode = flags & O_CREAT ? va_arg(rest, unsigned) : 0;
    va_end(rest);
    if ((flags & O_CREAT) && its_turn())
        die();
    return real(path, flags, mode);
}

typedef ssize_t (*Write)(int, const void *, size_t);
ssize_t write(int descriptor, const void *bytes, size_t size) {
    REAL("write", Write);
    if (its_turn()) {
        (void)real(descriptor, bytes, size / 2);
        die();
    }
    return real(descriptor, bytes, size);
}

typedef int (*OfTwoNames)(const char *, const char *);
int rename(const char *from, const char *to) {
    REAL("rename", OfTwoNames);
    if (its_turn())
        die();
    return real(from, to);
}
int link(const char *from, const char *to) {
    REAL("link", OfTwoNames);
    if (its_turn())
        die();
    return real(from, to);
}

typedef int (*OfDescriptor)(int);
int fsync(int descriptor) {
    REAL("fsync", OfDescriptor);
    if (its_turn())
        die();
    return real(descriptor);
}
int close(int descriptor) {
    REAL("close", OfDescriptor);
    if (its_turn())
        die();
    return real(descriptor);
}

typedef int (*OfName)(const char *);
int unlink(const char *path) {
    REAL("unlink", OfName);
    if (its_turn())
        die();
    return real(path);
}

__attribute__((destructor)) static void end(void) {
    const char *path = getenv("COUNT_TO");
    if (path == NULL)
        return;
    FILE *file = fopen(path, "w");
    if (file != NULL) {
        (void)fprintf(file, "%lu\n", calls);
        (void)fclose(file);
    }
}
