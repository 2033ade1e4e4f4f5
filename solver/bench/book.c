/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of the maker's book: what it holds and what each figure rests on, switched on and off,
 * a lure or a figure forgotten. It lies where the commands keep it. */
#include "bench/route.h"
#include "bench/stock.h"
#include "desk/desk.h"

#include <string.h>

/* As it lies on the disk now. */
static BenchStock *fresh_stock(const Bench *bench, BlyError *err) {
    BenchStock *stock = shelf_read(bench->shelf, bench, NULL, err);
    if (stock != NULL)
        shelf_put(bench->shelf, stock);
    return stock;
}

typedef struct FigureText {
    const BenchStock *stock;
    const BookHabit *habit;
    BlySystem system;
} FigureText;

static void write_figure(FILE *out, void *context) {
    const FigureText *text = context;
    const Report report = {out, text->system};
    text_book_figure(&report, &text->stock->book, text->habit);
}

/* Each figure also explained, as `book explain` prints it. */
static bool put_explained(cJSON *o, const BenchStock *stock, BlySystem system) {
    cJSON *figures = cJSON_GetObjectItemCaseSensitive(o, "figures");
    bool good = figures != NULL;
    for (size_t i = 0; good && i < stock->habits.count; i++) {
        FigureText text = {stock, &stock->habits.at[i], system};
        good = route_put_text(cJSON_GetArrayItem(figures, (int)i), "text", write_figure, &text);
    }
    return good;
}

/* "place": its file, "" where none is kept; "there": whether it was begun. */
static cJSON *book_tree(const Bench *bench, BlyError *err) {
    BenchStock *stock = fresh_stock(bench, err);
    if (stock == NULL)
        return NULL;
    cJSON *o = json_book(&stock->book, &stock->habits);
    bool good = o != NULL && put_text(o, "place", stock->book_path) &&
                put_bool(o, "there", stock->book_there) && put_explained(o, stock, bench->system);
    stock_let_go(stock);
    return json_finished(o, good);
}

cJSON *route_book(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status;
    return book_tree(bench, err);
}

static bool has_place(const Bench *bench, BlyError *err) {
    return bench->stock->book_path[0] != '\0' ||
           bly_fail(err, BLY_E_MISSING, NULL,
                    "no book is kept: the program was started with --no-book, or there is no "
                    "home for it");
}

static bool switch_book(Book *book, void *off, bool *unchanged, BlyError *err) {
    (void)unchanged, (void)err;
    book->off = *(const bool *)off;
    return true;
}

cJSON *route_book_switch(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyJson at;
    bool off;
    return bly_json_require(in, "off", &at, err) && bly_json_bool(&at, &off, err) &&
                   has_place(bench, err) &&
                   book_change(bench->stock->book_path, switch_book, &off, err)
               ? book_tree(bench, err)
               : NULL;
}

typedef struct Forgetting {
    const char *lure, *kind, *key; /* lure, or kind and key */
} Forgetting;

static bool forget_it(Book *book, void *context, bool *unchanged, BlyError *err) {
    const Forgetting *f = context;
    size_t gone = f->lure != NULL ? book_forget_lure(book, f->lure)
                                  : book_forget_figure(book, f->kind, f->key);
    *unchanged = gone == 0;
    return gone > 0 || bly_fail(err, BLY_E_UNKNOWN, NULL, "the book has it no more");
}

cJSON *route_book_forget(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    Forgetting f = {0};
    if (!route_text_maybe(in, "lure", &f.lure, err) ||
        !route_text_maybe(in, "kind", &f.kind, err) || !route_text_maybe(in, "key", &f.key, err))
        return NULL;
    if ((f.lure != NULL) == (f.kind != NULL) || (f.kind != NULL) != (f.key != NULL))
        return (void)bly_fail(err, BLY_E_CONFLICT, NULL, "should name a lure, or kind and key"),
               NULL;
    return has_place(bench, err) && book_change(bench->stock->book_path, forget_it, &f, err)
               ? book_tree(bench, err)
               : NULL;
}
