/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Put before a program with LD_PRELOAD, for what no fork can try (denied.c): its requests for
 * memory succeed until the one numbered FAIL_AT, counted from 1 when main is about to run; with
 * FAIL_ALL that one and all behind it fail, else that one alone. COUNT_TO names a file that gets
 * the number of requests at the end. Processes that it forks count on with it.
 *
 * Leans on glibc, whose own functions stay reachable under these other names. */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* The names are glibc's, reserved for it. */
extern void *__libc_malloc(size_t size);               /* NOLINT */
extern void *__libc_calloc(size_t count, size_t size); /* NOLINT */
extern void *__libc_realloc(void *old, size_t size);   /* NOLINT */

static atomic_ulong *requests; /* shared */
static unsigned long fail_at;
static bool counting, fail_all;

static bool fails(void) {
    if (!counting)
        return false;
    unsigned long number = atomic_fetch_add(requests, 1) + 1;
    bool fail = fail_at != 0 && (number == fail_at || (fail_all && number > fail_at));
    if (fail)
        errno = ENOMEM; /* pthread_create insists on it */
    return fail;
}

void *malloc(size_t size) {
    return fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size) {
    return fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size) {
    return fails() ? NULL : __libc_realloc(old, size);
}

__attribute__((constructor)) static void begin(void) {
    const char *at = getenv("FAIL_AT");
    void *page =
        mmap(NULL, sizeof *requests, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (page == MAP_FAILED)
        _exit(99);
    requests = page;
    fail_at = at != NULL ? strtoul(at, NULL, 10) : 0;
    fail_all = getenv("FAIL_ALL") != NULL;
    counting = true;
}

__attribute__((destructor)) static void end(void) {
    const char *path = getenv("COUNT_TO");
    counting = false;
    if (path == NULL)
        return;
    int descriptor = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    char text[32];
    int length = snprintf(text, sizeof text, "%lu\n", atomic_load(requests));
    if (descriptor < 0 || write(descriptor, text, (size_t)length) != length)
        _exit(99);
    (void)close(descriptor);
}
