/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench page's server in two halves: bench_answer turns a request into a reply and knows no
 * sockets, bench_serve carries requests to it. docs/bench.md lists the routes. */
#ifndef BALLASTRY_BENCH_BENCH_H
#define BALLASTRY_BENCH_BENCH_H

#include "ballastry/catalog.h"
#include "ballastry/units.h"
#include "build/build.h"
#include "desk/desk.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdint.h>

enum {
    BENCH_BODY_MAX = 1 << 20,
    BENCH_IMPORT_MAX = 16 << 20,
    BENCH_TOKEN_LENGTH = 32,
    BENCH_NAME_MAX = 100
};

/* One writer of files at a time, so that of two tabs that save at once the second is told; one
 * drawing into PDF or PNG at a time: enough for one maker, and under a sanitizer, where they run in
 * this process (picture/picture.c), the libraries for it want it. */
typedef struct BenchLocks {
    pthread_mutex_t disk, picture;
} BenchLocks;

/* What builds are read with: parts and materials, with the maker's box and book in them. It never
 * changes; once box or book were written another takes its place, and whoever works with this one
 * has it until it is let go. */
typedef struct BenchStock {
    BlyCatalog catalog;
    Book book;
    BookHabits habits;
    bool book_there;
    bool box_fixed;                /* the start said which box, or that there is none */
    char box_path[BOX_PATH_MAX];   /* "": there is no box */
    char book_path[BOOK_PATH_MAX]; /* "": none is kept */
    atomic_uint users;
} BenchStock;

/* Reads a new one into *out, which is empty; `box`: a text in place of the box's file beside the
 * builds, NULL: as it lies there. *out is released by the caller in every case. */
typedef bool (*BenchStocker)(void *context, const char *box, BenchStock *out, BlyError *err);

/* One start of the bench. Never changed once it serves, but for what the pointers lead to, which
 * has locks of its own: requests come in several threads. */
typedef struct Bench {
    struct Shelf *shelf; /* owned: the stock as it now is (stock.h) */
    BenchStock *stock;   /* held: the first one; of a request's copy the one that it works with */
    BlyCatalog *catalog; /* the stock's */
    BlySystem system;
    struct Jobs *jobs;              /* owned: fits under way */
    struct BenchLocks *locks;       /* owned */
    BlyKept *kept;                  /* owned: bodies of meshes */
    char *folder;                   /* owned: the only folder that is read and written */
    uint32_t mark;                  /* of the folder, the same at each start; tells no path */
    char start[BENCH_NAME_MAX + 1]; /* the file it was started on, "" for none */
    char token[BENCH_TOKEN_LENGTH + 1];
    uint16_t port;
    /* When a connection is ended: silent for so long, and so long over one request or over taking
     * its answer. 15 and 30 s; tests are less patient. */
    unsigned idle_secs;
    double request_secs;
} Bench;

/* Texts are NULL where the request has no such header. All is borrowed. */
typedef struct BenchRequest {
    const char *method, *path, *host, *origin, *token, *type, *units;
    const char *body;
    size_t size;
} BenchRequest;

typedef struct BenchReply {
    int status;       /* of HTTP */
    const char *type; /* constant text */
    char *bytes;      /* owned */
    size_t size;
    size_t pages; /* of a sheet, else 0 */
} BenchReply;

/* PLACE is a build file, a folder or NULL for the working folder. The catalog is moved into the
 * bench in every case; NULL: the shipped one. The token is read from the system's source of random
 * bytes. Errors: BLY_E_IO, BLY_E_MEMORY, BLY_E_RANGE for a file name that the page could not open.
 * Release in every case. */
bool bench_start(Bench *bench, const char *place, BlyCatalog *catalog, BlySystem system,
                 BlyError *err) BLY_MUST_CHECK;
void bench_release(Bench *bench);

/* How the stock is read anew, and read at once: before it serves. The context outlives the bench.
 * Without it the shipped parts and a box beside the builds are all there is, and no book. */
bool bench_stock_by(Bench *bench, BenchStocker read, void *context, BlyError *err) BLY_MUST_CHECK;

/* The routes and the members that their requests may have, for tests: false beyond the last. */
bool bench_route(size_t index, const char **path, const char *const **members);

/* Answers one request. Never fails: without memory it is a 500 with no body. */
void bench_answer(const Bench *bench, const BenchRequest *request, BenchReply *reply);
/* How large the body of this request may be; its body is not looked at. */
size_t bench_body_most(const Bench *bench, const BenchRequest *request);
void bench_reply_release(BenchReply *reply);
/* An error of this status in words, as the routes make them. */
void bench_refuse(BenchReply *reply, int status, const char *why);

/* Serves on 127.0.0.1 and, where there is one, ::1 until SIGINT or SIGTERM. port 0: the
 * folder's own, the same at each start, or any that is free. Calls `ready` once the address is
 * known. */
typedef void (*BenchReady)(const Bench *bench, const char *address, void *user);
bool bench_serve(Bench *bench, uint16_t port, BenchReady ready, void *user,
                 BlyError *err) BLY_MUST_CHECK;

#endif
