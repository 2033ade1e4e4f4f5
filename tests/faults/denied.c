/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Put before a program with LD_PRELOAD: runs its main once well, and then once for every request
 * for memory that is tried, with that request denied (and a second time with all behind it denied
 * too). A try is a fork at the request itself, so that what came before it is not run again; it is
 * judged as tests/faults/try.h says.
 *
 * Counted are the requests of the program and of the libraries that compute for it (cJSON, GSL,
 * GLPK, the C library on their behalf): those lists must be empty again when main returns.
 *
 * FAULT_FOLDER  working folder: its "in" holds the files that the command finds
 * FAULT_FIRST   the first request that is tried (1)
 * FAULT_TRIES   about so many tries, evenly spread; 0 for every request
 *
 * Leans on glibc, whose own functions stay reachable under these other names. */
#define _GNU_SOURCE
#include "try.h"

#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* The names are glibc's, reserved for it. */
extern void *__libc_malloc(size_t size);               /* NOLINT */
extern void *__libc_calloc(size_t count, size_t size); /* NOLINT */
extern void *__libc_realloc(void *old, size_t size);   /* NOLINT */
extern void __libc_free(void *block);                  /* NOLINT */

typedef enum Whose { OURS, C_LIBRARY, FOREIGN } Whose;
typedef enum Deny { NONE, ONE, ALL } Deny;

typedef struct Region {
    const char *from, *to;
    Whose whose;
} Region;

enum { REGIONS = 512, TABLE = 1 << 18 };

static Region regions[REGIONS];
static size_t region_count;
static bool counting;
/* A fork in another thread would be of that thread alone. */
static _Thread_local bool in_main;
static Deny deny;
static unsigned long requests, next_try, step;

/* ---- whose request is it? ---- */

static void read_regions(void) {
    FILE *maps = fopen("/proc/self/maps", "r");
    char line[1024], rights[8], path[512];
    static const char *const computing[] = {"ballastry", "answers", "libcjson", "libgsl",
                                            "libglpk",   "libm.",   "libadmesh"};
    region_count = 0;
    while (maps != NULL && region_count < REGIONS && fgets(line, sizeof line, maps) != NULL) {
        void *from, *to;
        if (sscanf(line, "%p-%p %7s %*s %*s %*s %511s", &from, &to, rights, path) != 4 ||
            strchr(rights, 'x') == NULL)
            continue;
        const char *slash = strrchr(path, '/'), *name = slash != NULL ? slash + 1 : path;
        Whose whose = strncmp(name, "libc.", 5) == 0 ? C_LIBRARY : FOREIGN;
        for (size_t i = 0; i < sizeof computing / sizeof computing[0]; i++)
            whose = strncmp(name, computing[i], strlen(computing[i])) == 0 ? OURS : whose;
        regions[region_count++] = (Region){from, to, whose};
    }
    if (maps != NULL)
        (void)fclose(maps);
}

static Whose region_of(const void *address) {
    for (size_t i = 0; i < region_count; i++) {
        if ((const char *)address >= regions[i].from && (const char *)address < regions[i].to)
            return regions[i].whose;
    }
    return FOREIGN;
}

/* What the C library asks for belongs to who called it. */
static const void *owner(const void *caller) {
    void *frames[16];
    if (region_of(caller) != C_LIBRARY)
        return caller;
    int count = backtrace(frames, 16);
    for (int i = 0; i < count; i++) {
        if (frames[i] == caller) { /* from there outwards */
            while (i < count && region_of(frames[i]) == C_LIBRARY)
                i++;
            return i < count ? frames[i] : caller;
        }
    }
    return caller;
}

/* ---- what is not given back ---- */

typedef struct Block {
    const char *at, *owner; /* `at` is NULL where nothing is */
} Block;

static Block blocks[TABLE];
static size_t block_count;

static size_t slot_of(const void *at) {
    return ((size_t)at / 16 * 0x9E3779B97F4A7C15u) >> 46;
}

static void note(const void *at, const void *who) {
    if (at == NULL)
        return;
    if (++block_count > TABLE / 2)
        try_give_up("the table of blocks is full");
    size_t i = slot_of(at);
    while (blocks[i].at != NULL)
        i = (i + 1) % TABLE;
    blocks[i] = (Block){at, who};
}

static void forget(const void *at) {
    size_t i = slot_of(at), hole;
    while (blocks[i].at != NULL && blocks[i].at != at)
        i = (i + 1) % TABLE;
    if (at == NULL || blocks[i].at == NULL)
        return; /* not of a counted request */
    block_count--;
    for (hole = i;;) { /* close the gap, so that those behind it are still found */
        i = (i + 1) % TABLE;
        if (blocks[i].at == NULL)
            break;
        if ((i - slot_of(blocks[i].at)) % TABLE >= (i - hole) % TABLE) {
            blocks[hole] = blocks[i];
            hole = i;
        }
    }
    blocks[hole].at = NULL;
}

static bool is_glpk(const void *who) {
    Dl_info info = {0};
    return who != NULL && dladdr(who, &info) != 0 && strstr(info.dli_fname, "libglpk") != NULL;
}

static bool in_half_made_trust; /* the denied request was one for GSL's trust region method */

/* GSL 2.7 loses the head of a matrix for which there is no block, and all of the trust region
 * method when a part of it fails. */
static bool gsl_loses(const void *who) {
    Dl_info info = {0};
    if (dladdr(who, &info) == 0 || strstr(info.dli_fname, "libgsl.") == NULL)
        return false;
    return in_half_made_trust ||
           (info.dli_sname != NULL && strcmp(info.dli_sname, "gsl_matrix_alloc") == 0);
}

static bool within(const char *function) {
    void *frames[24];
    int count = backtrace(frames, 24);
    for (int i = 0; i < count; i++) {
        Dl_info info = {0};
        if (dladdr(frames[i], &info) != 0 && info.dli_sname != NULL &&
            strcmp(info.dli_sname, function) == 0)
            return true;
    }
    return false;
}

/* The buffers of the standard streams stay until the end of the process. */
static void tell_leaks(void) {
    const char *kept[] = {stdin->_IO_buf_base, stdout->_IO_buf_base, stderr->_IO_buf_base};
    size_t leaks = 0;
    const char *first = NULL;
    for (size_t i = 0; i < TABLE; i++) {
        if (blocks[i].at == NULL || blocks[i].at == kept[0] || blocks[i].at == kept[1] ||
            blocks[i].at == kept[2])
            continue;
        if (gsl_loses(blocks[i].owner))
            continue;
        leaks++;
        first = blocks[i].owner;
    }
    if (leaks > 0) {
        Dl_info info = {0};
        (void)dladdr(first, &info);
        try_say_leak(leaks, info.dli_fname, first - (const char *)info.dli_fbase);
    }
}

/* ---- the requests ---- */

/* With FAULT_TRACE, where the denied request comes from, for addr2line. */
static void trace(void) {
    void *frames[24];
    int count = getenv("FAULT_TRACE") != NULL ? backtrace(frames, 24) : 0;
    backtrace_symbols_fd(frames, count, try_report());
}

/* Forks once for each way of denying; true in the process that is to go on without the memory. */
static bool fork_tries(const void *who) {
    static const Deny ways[] = {ONE, ALL};
    Dl_info info = {0};
    (void)dladdr(who, &info);
    for (int i = 0; i < 2; i++) {
        if (try_fork(requests, ways[i] == ALL, info.dli_fname,
                     (const char *)who - (const char *)info.dli_fbase)) {
            deny = ways[i];
            in_half_made_trust = within("gsl_multifit_nlinear_alloc");
            trace();
            return true;
        }
    }
    return false;
}

/* NULL where the request is to be denied or is not of the counted kind; *denied tells which. */
static const void *counted(const void *caller, bool *denied) {
    *denied = false;
    if (!counting || !in_main)
        return NULL;
    counting = false; /* what is asked for in here is not the program's */
    const void *who = owner(caller);
    bool ours = region_of(who) == OURS;
    if (ours) {
        requests++;
        if (deny != NONE)
            *denied = deny == ALL;
        else if (requests == next_try) {
            *denied = fork_tries(who);
            next_try += step;
        }
    }
    counting = true;
    if (*denied)
        errno = ENOMEM;
    return ours ? who : NULL;
}

void *malloc(size_t size) {
    bool denied;
    const void *who = counted(__builtin_return_address(0), &denied);
    void *block = denied ? NULL : __libc_malloc(size);
    if (who != NULL)
        note(block, who);
    return block;
}

void *calloc(size_t count, size_t size) {
    bool denied;
    const void *who = counted(__builtin_return_address(0), &denied);
    void *block = denied ? NULL : __libc_calloc(count, size);
    if (who != NULL)
        note(block, who);
    return block;
}

void *realloc(void *old, size_t size) {
    bool denied;
    const void *who = counted(__builtin_return_address(0), &denied);
    if (denied) {
        if (is_glpk(who))
            forget(old); /* GLPK 5.0 loses the block that it cannot make larger */
        return NULL;
    }
    void *block = __libc_realloc(old, size);
    if (counting && in_main && (block != NULL || size == 0)) {
        forget(old);
        if (who != NULL)
            note(block, who);
    }
    return block;
}

void free(void *block) {
    if (counting && in_main)
        forget(block);
    __libc_free(block);
}

/* A process that the program begins for itself (the one that mends a mesh) has no tries of its own,
 * which nobody would judge; what is denied when it is begun stays denied in it. */
typedef pid_t (*Fork)(void);
pid_t fork(void) {
    Fork real;
    void *symbol = dlsym(RTLD_NEXT, "fork");
    memcpy(&real, &symbol, sizeof real);
    pid_t child = real();
    if (child == 0 && deny == NONE)
        counting = false;
    return child;
}

/* ---- around main ---- */

typedef int (*Main)(int argc, char **argv, char **env);
static Main real_main;

static int counted_main(int argc, char **argv, char **env) {
    read_regions();
    in_main = counting = true;
    int status = real_main(argc, argv, env);
    counting = false;
    tell_leaks();
    return status;
}

static int around_main(int argc, char **argv, char **env) {
    void *warm[4];
    (void)backtrace(warm, 4); /* loads its library now */
    tzset();                  /* the system keeps its time zone */
    try_begin(getenv("FAULT_FOLDER"));
    if (try_good_run()) { /* a process of its own */
        int status = counted_main(argc, argv, env);
        try_say_requests(requests);
        return status;
    }
    const char *first = getenv("FAULT_FIRST"), *tries = getenv("FAULT_TRIES");
    unsigned long total = try_requests(), most = tries != NULL ? strtoul(tries, NULL, 10) : 0;
    next_try = first != NULL ? strtoul(first, NULL, 10) : 1;
    step = most > 0 && total > next_try + most ? (total - next_try) / most : 1;
    int status = counted_main(argc, argv, env);
    if (deny != NONE)
        return status; /* a try, which its parent judges */
    return try_end();
}

typedef int (*StartMain)(Main main, int argc, char **argv, void (*init)(void), void (*fini)(void),
                         void (*rtld_fini)(void), void *stack_end);

/* What the program's first lines call with its main. */
int __libc_start_main(Main main, int argc, char **argv, void (*init)(void), /* NOLINT */
                      void (*fini)(void), void (*rtld_fini)(void), void *stack_end);
int __libc_start_main(Main main, int argc, char **argv, void (*init)(void), /* NOLINT */
                      void (*fini)(void), void (*rtld_fini)(void), void *stack_end) {
    StartMain real;
    void *symbol = dlsym(RTLD_NEXT, "__libc_start_main");
    memcpy(&real, &symbol, sizeof real);
    real_main = main;
    return real(around_main, argc, argv, init, fini, rtld_fini, stack_end);
}
