/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/stock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct Shelf {
    pthread_mutex_t lock;
    BenchStock *now; /* held */
    BenchStocker read;
    void *context;
};

BenchStock *stock_new(void) {
    BenchStock *stock = calloc(1, sizeof *stock);
    if (stock != NULL)
        atomic_init(&stock->users, 1);
    return stock;
}

void stock_hold(BenchStock *stock) {
    (void)atomic_fetch_add(&stock->users, 1);
}

void stock_let_go(BenchStock *stock) {
    if (stock == NULL || atomic_fetch_sub(&stock->users, 1) > 1)
        return;
    bly_catalog_release(&stock->catalog);
    book_habits_release(&stock->habits);
    book_release(&stock->book);
    free(stock);
}

Shelf *shelf_new(BenchStock *first) {
    Shelf *shelf = calloc(1, sizeof *shelf);
    if (shelf != NULL && pthread_mutex_init(&shelf->lock, NULL) == 0) {
        shelf->now = first;
        return shelf;
    }
    free(shelf);
    stock_let_go(first);
    return NULL;
}

void shelf_free(Shelf *shelf) {
    if (shelf == NULL)
        return;
    stock_let_go(shelf->now);
    (void)pthread_mutex_destroy(&shelf->lock);
    free(shelf);
}

void shelf_read_by(Shelf *shelf, BenchStocker read, void *context) {
    shelf->read = read;
    shelf->context = context;
}

BenchStock *shelf_hold(Shelf *shelf) {
    (void)pthread_mutex_lock(&shelf->lock);
    BenchStock *stock = shelf->now;
    stock_hold(stock);
    (void)pthread_mutex_unlock(&shelf->lock);
    return stock;
}

void shelf_put(Shelf *shelf, BenchStock *stock) {
    stock_hold(stock);
    (void)pthread_mutex_lock(&shelf->lock);
    BenchStock *before = shelf->now;
    shelf->now = stock;
    (void)pthread_mutex_unlock(&shelf->lock);
    stock_let_go(before);
}

/* The shipped parts and the box beside the builds. */
static bool read_plain(const Bench *bench, const char *box, BenchStock *out, BlyError *err) {
    if (!bly_catalog_shipped(&out->catalog, err))
        return false;
    (void)box_find(bench->folder, out->box_path);
    if (box != NULL)
        return bly_catalog_read_box(&out->catalog, box, strlen(box), err);
    return out->box_path[0] == '\0' || box_read(out->box_path, &out->catalog, err);
}

BenchStock *shelf_read(Shelf *shelf, const Bench *bench, const char *box, BlyError *err) {
    BenchStock *stock = stock_new();
    if (stock == NULL)
        return (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the parts"), NULL;
    bool good = shelf->read != NULL ? shelf->read(shelf->context, box, stock, err)
                                    : read_plain(bench, box, stock, err);
    if (good)
        return stock;
    stock_let_go(stock);
    return NULL;
}

bool bench_stock_by(Bench *bench, BenchStocker read, void *context, BlyError *err) {
    shelf_read_by(bench->shelf, read, context);
    BenchStock *stock = shelf_read(bench->shelf, bench, NULL, err);
    if (stock == NULL)
        return false;
    shelf_put(bench->shelf, stock);
    stock_let_go(bench->stock);
    bench->stock = stock;
    bench->catalog = &stock->catalog;
    return true;
}
