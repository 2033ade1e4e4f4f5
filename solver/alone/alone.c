/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "alone/alone.h"
#include "bench/bench.h"
#include "desk/desk.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct Alone {
    Bench bench;
    BenchReply reply;
};

/* `box`: a text in place of the box beside the builds, as BenchStocker takes it. */
static bool read_box(const char *folder, const char *box, BenchStock *out, BlyError *err) {
    (void)box_find(folder, out->box_path);
    if (box != NULL)
        return bly_catalog_read_box(&out->catalog, box, strlen(box), err);
    return out->box_path[0] == '\0' || box_read(out->box_path, &out->catalog, err);
}

static bool read_book(BenchStock *out, BlyError *err) {
    return !book_usual_path(out->book_path) ||
           (book_load(out->book_path, &out->book, &out->book_there, err) &&
            book_use(&out->book, &out->catalog, &out->habits, err));
}

static bool read_stock(void *context, const char *box, BenchStock *out, BlyError *err) {
    const Bench *bench = context;
    return bly_catalog_shipped(&out->catalog, err) && read_box(bench->folder, box, out, err) &&
           read_book(out, err);
}

Alone *alone_new(const char *folder, BlyError *err) {
    Alone *alone = calloc(1, sizeof *alone);
    BlyCatalog none = {0}; /* the parts are read once, by read_stock */
    if (alone == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the page");
    else if (bench_start(&alone->bench, folder, &none, BLY_METRIC, err) &&
             bench_stock_by(&alone->bench, read_stock, &alone->bench, err))
        return alone;
    alone_free(alone);
    return NULL;
}

void alone_free(Alone *alone) {
    if (alone == NULL)
        return;
    bench_reply_release(&alone->reply);
    bench_release(&alone->bench);
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
