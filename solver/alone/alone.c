/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "alone/alone.h"
#include "bench/bench.h"
#include "desk/desk.h"

#include <stdio.h>
#include <stdlib.h>

struct Alone {
    Bench bench;
    Book book;
    BookHabits habits; /* the catalog reads both */
    BenchReply reply;
};

static bool read_box(const char *folder, BlyCatalog *catalog, BlyError *err) {
    char path[BOX_PATH_MAX];
    return !box_find(folder, path) || box_read(path, catalog, err);
}

static bool read_book(Alone *alone, BlyCatalog *catalog, BlyError *err) {
    char path[BOOK_PATH_MAX];
    bool there;
    return !book_usual_path(path) || (book_load(path, &alone->book, &there, err) &&
                                      book_use(&alone->book, catalog, &alone->habits, err));
}

static bool begin(Alone *alone, const char *folder, BlyError *err) {
    BlyCatalog catalog = {0};
    if (bly_catalog_shipped(&catalog, err) && read_box(folder, &catalog, err) &&
        read_book(alone, &catalog, err))
        return bench_start(&alone->bench, folder, &catalog, BLY_METRIC, err);
    bly_catalog_release(&catalog);
    return false;
}

Alone *alone_new(const char *folder, BlyError *err) {
    Alone *alone = calloc(1, sizeof *alone);
    if (alone == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the page");
    else if (begin(alone, folder, err))
        return alone;
    alone_free(alone);
    return NULL;
}

void alone_free(Alone *alone) {
    if (alone == NULL)
        return;
    bench_reply_release(&alone->reply);
    bench_release(&alone->bench);
    book_habits_release(&alone->habits);
    book_release(&alone->book);
    free(alone);
}

int alone_ask(Alone *alone, const char *path, const char *units, const char *body, size_t size) {
    char host[32], origin[48];
    (void)snprintf(host, sizeof host, "127.0.0.1:%u", alone->bench.port);
    (void)snprintf(origin, sizeof origin, "http://%s", host);
    const BenchRequest request = {.method = "POST",
                                  .path = path,
                                  .host = host,
                                  .origin = origin,
                                  .token = alone->bench.token,
                                  .type = "application/json",
                                  .units = units,
                                  .body = body,
                                  .size = size};
    bench_reply_release(&alone->reply);
    bench_answer(&alone->bench, &request, &alone->reply);
    return alone->reply.status;
}

const char *alone_type(const Alone *alone) {
    return alone->reply.type;
}

const char *alone_bytes(const Alone *alone) {
    return alone->reply.bytes;
}

size_t alone_size(const Alone *alone) {
    return alone->reply.size;
}

size_t alone_pages(const Alone *alone) {
    return alone->reply.pages;
}
