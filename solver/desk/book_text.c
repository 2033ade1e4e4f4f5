/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The book's JSON. */
#include "desk/book.h"
#include "json/json.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { VERSION = 1 };

/* ---- reading ---- */

static bool read_number(const BlyJson *at, const char *key, double *out, BlyError *err) {
    BlyJson field;
    return bly_json_require(at, key, &field, err) && bly_json_number(&field, -1e12, 1e12, out, err);
}

static bool read_give(const BlyJson *at, double *out, BlyError *err) {
    BlyJson give = bly_json_member(at, "give");
    if (!read_number(at, "give", out, err))
        return false;
    return *out > 0.0 || bly_json_refuse(&give, BLY_E_RANGE, err, "expected more than 0");
}

static bool read_figure(const BlyJson *at, const char *key, BlyFigure *out, BlyError *err) {
    static const char *const keys[] = {"value", "give"};
    BlyJson figure = bly_json_member(at, key);
    *out = (BlyFigure){NAN, 0.0};
    return figure.node == NULL ||
           (bly_json_object(&figure, keys, 2, err) &&
            read_number(&figure, "value", &out->value, err) && read_give(&figure, &out->give, err));
}

static bool read_word(const BlyJson *at, const char *key, size_t room, char *out, BlyError *err) {
    BlyJson field;
    const char *text;
    if (!bly_json_require(at, key, &field, err) || !bly_json_string(&field, room - 1, &text, err))
        return false;
    (void)snprintf(out, room, "%s", text);
    return true;
}

static bool read_finding(const BlyJson *at, BookFinding *out, BlyError *err) {
    static const char *const keys[] = {"kind", "key", "unit", "value", "give", "before", "usual"};
    BlyJson unit = bly_json_member(at, "unit");
    if (!bly_json_object(at, keys, sizeof keys / sizeof keys[0], err) ||
        !read_word(at, "kind", BOOK_KIND_MAX, out->kind, err) ||
        !read_word(at, "key", BOOK_KEY_MAX, out->key, err) ||
        !read_word(at, "unit", BOOK_UNIT_MAX, out->unit, err) ||
        !read_number(at, "value", &out->value.value, err) ||
        !read_give(at, &out->value.give, err) || !read_figure(at, "before", &out->before, err) ||
        !read_figure(at, "usual", &out->usual, err))
        return false;
    const BookKind *kind = book_kind(out->kind);
    return kind == NULL || strcmp(kind->unit, out->unit) == 0 ||
           bly_json_refuse(&unit, BLY_E_UNIT, err, "a finding of the kind %s is in %s", out->kind,
                           kind->unit);
}

/* Row i holds the i + 1 correlations of the next with those before it. */
static bool read_matrix(const BlyJson *at, const char *key, size_t n, double *out, BlyError *err) {
    BlyJson rows = bly_json_member(at, key);
    if (rows.node == NULL)
        return true;
    if (n < 2)
        return bly_json_refuse(&rows, BLY_E_CONFLICT, err, "ties one figure to no other");
    if (!bly_json_array(&rows, n - 1, n - 1, err))
        return false;
    for (BlyJson row = bly_json_first(&rows); row.node != NULL; bly_json_next(&row)) {
        size_t i = (size_t)row.index + 1;
        if (!bly_json_array(&row, i, i, err))
            return false;
        for (BlyJson item = bly_json_first(&row); item.node != NULL; bly_json_next(&item)) {
            double r;
            if (!bly_json_number(&item, -1.0, 1.0, &r, err))
                return false;
            out[i * n + (size_t)item.index] = out[(size_t)item.index * n + i] = r;
        }
    }
    return true;
}

static bool is_date(const char *d) {
    for (int i = 0; i < BOOK_DATE_MAX - 1; i++) {
        bool hyphen = i == 4 || i == 7;
        if (hyphen ? d[i] != '-' : d[i] < '0' || d[i] > '9')
            return false;
    }
    return d[BOOK_DATE_MAX - 1] == '\0';
}

static bool read_lure(const BlyJson *at, BookLure *out, BlyError *err) {
    static const char *const keys[] = {"lure",     "build",    "date",           "readings",
                                       "findings", "together", "together_before"};
    BlyJson findings, date = bly_json_member(at, "date");
    if (!bly_json_object(at, keys, sizeof keys / sizeof keys[0], err) ||
        !read_word(at, "lure", BOOK_NAME_MAX, out->name, err) ||
        !read_word(at, "build", BOOK_NAME_MAX, out->build, err) ||
        !read_word(at, "date", BOOK_DATE_MAX, out->date, err))
        return false;
    if (bly_json_member(at, "readings").node != NULL &&
        !read_word(at, "readings", BOOK_READINGS_MAX, out->readings, err))
        return false;
    if (!is_date(out->date))
        return bly_json_refuse(&date, BLY_E_SYNTAX, err, "expected a day such as \"2026-05-31\"");
    if (!bly_json_require(at, "findings", &findings, err) ||
        !bly_json_array(&findings, 1, BOOK_FINDINGS_MAX, err) ||
        !book_lure_begin(out, bly_json_count(&findings), true, err))
        return false;
    for (BlyJson item = bly_json_first(&findings); item.node != NULL; bly_json_next(&item)) {
        if (!read_finding(&item, &out->at[item.index], err))
            return false;
    }
    if (!read_matrix(at, "together", out->count, out->together, err) ||
        !read_matrix(at, "together_before", out->count, out->before, err))
        return false;
    if (book_lure_check(out, err))
        return true;
    if (err != NULL)
        bly_error_prefix(err, at->where);
    return false;
}

static bool read_version(const BlyJson *root, BlyError *err) {
    BlyJson version;
    int64_t number;
    if (!bly_json_require(root, "ballastry_book", &version, err) ||
        !bly_json_integer(&version, INT64_MIN, INT64_MAX, &number, err))
        return false;
    return number == VERSION ||
           bly_json_refuse(&version, BLY_E_RANGE, err, "is version %" PRId64 "; expected %d",
                           number, VERSION);
}

static bool read_seen(const BlyJson *root, Book *out, BlyError *err) {
    static const char *const keys[] = {"shape", "build", "words"};
    BlyJson list = bly_json_member(root, "seen");
    if (list.node == NULL)
        return true;
    if (!bly_json_array(&list, 0, BOOK_SEEN_MOST, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        BookSeen seen;
        bool there;
        if (!bly_json_object(&at, keys, 3, err) ||
            !read_word(&at, "shape", BOOK_KEY_MAX, seen.shape, err) ||
            !read_word(&at, "build", BOOK_NAME_MAX, seen.build, err) ||
            !read_word(&at, "words", BOOK_SEEN_WORDS, seen.words, err) ||
            !book_see(out, &seen, &there, err))
            return false;
    }
    return true;
}

static bool read_book(const BlyJson *root, Book *out, BlyError *err) {
    static const char *const keys[] = {"ballastry_book", "off", "lures", "seen"};
    BlyJson off = bly_json_member(root, "off"), lures = bly_json_member(root, "lures");
    if (!bly_json_object(root, keys, 4, err) || !read_version(root, err) ||
        (off.node != NULL && !bly_json_bool(&off, &out->off, err)) ||
        (lures.node != NULL && !bly_json_array(&lures, 0, BOOK_LURES_MAX, err)))
        return false;
    for (BlyJson item = bly_json_first(&lures); item.node != NULL; bly_json_next(&item)) {
        BookLure lure = {0};
        if (!read_lure(&item, &lure, err)) {
            book_lure_release(&lure);
            return false;
        }
        if (book_find(out, lure.name) != NULL) {
            book_lure_release(&lure);
            return bly_json_refuse(&item, BLY_E_CONFLICT, err, "its name appears twice");
        }
        if (!book_append(out, &lure, err))
            return false;
    }
    return read_seen(root, out, err);
}

bool book_read_text(const char *text, size_t size, Book *out, BlyError *err) {
    *out = (Book){0};
    cJSON *doc = bly_json_parse(text, size, err);
    if (doc == NULL)
        return false;
    BlyJson root = bly_json_root(doc);
    bool good = read_book(&root, out, err);
    cJSON_Delete(doc);
    if (!good)
        book_release(out);
    return good;
}

/* ---- writing ---- */

static bool put_figure(cJSON *o, const char *key, BlyFigure figure) {
    if (isnan(figure.value))
        return true;
    cJSON *tree = cJSON_CreateObject();
    return put_tree(o, key,
                    json_finished(tree, tree != NULL && put_number(tree, "value", figure.value) &&
                                            put_number(tree, "give", figure.give)));
}

static cJSON *finding_tree(const BookFinding *f) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_text(o, "kind", f->kind) && put_text(o, "key", f->key) &&
               put_number(o, "value", f->value.value) && put_number(o, "give", f->value.give) &&
               put_text(o, "unit", f->unit) && put_figure(o, "before", f->before) &&
               put_figure(o, "usual", f->usual));
}

static bool matters(const double *matrix, size_t n) {
    for (size_t i = 0; matrix != NULL && i < n * n; i++) {
        if (i % (n + 1) != 0 && matrix[i] != 0.0)
            return true;
    }
    return false;
}

/* Nine digits: what is left of a knot between figures is a thousand times more. */
static bool put_matrix(cJSON *o, const char *key, const double *matrix, size_t n) {
    if (n < 2 || !matters(matrix, n))
        return true;
    cJSON *rows = cJSON_AddArrayToObject(o, key);
    bool good = rows != NULL;
    for (size_t i = 1; good && i < n; i++) {
        cJSON *row = cJSON_CreateArray();
        for (size_t j = 0; row != NULL && j < i; j++) {
            double r = round(matrix[i * n + j] * 1e9) / 1e9;
            if (!put_last(row, cJSON_CreateNumber(r == 0.0 ? 0.0 : r))) {
                cJSON_Delete(row);
                row = NULL;
            }
        }
        good = put_last(rows, row);
    }
    return good;
}

static cJSON *lure_tree(const BookLure *lure) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "lure", lure->name) && put_text(o, "build", lure->build) &&
                put_text(o, "date", lure->date) &&
                (lure->readings[0] == '\0' || put_text(o, "readings", lure->readings));
    cJSON *list = good ? cJSON_AddArrayToObject(o, "findings") : NULL;
    good = list != NULL;
    for (size_t i = 0; good && i < lure->count; i++)
        good = put_last(list, finding_tree(&lure->at[i]));
    return json_finished(o, good && put_matrix(o, "together", lure->together, lure->count) &&
                                put_matrix(o, "together_before", lure->before, lure->count));
}

static bool put_seen(cJSON *root, const Book *book) {
    cJSON *list = book->seen_count > 0 ? cJSON_AddArrayToObject(root, "seen") : NULL;
    bool good = list != NULL || book->seen_count == 0;
    for (size_t i = 0; good && i < book->seen_count; i++) {
        const BookSeen *s = &book->seen[i];
        cJSON *o = cJSON_CreateObject();
        good = put_last(list, json_finished(o, o && put_text(o, "shape", s->shape) &&
                                                   put_text(o, "build", s->build) &&
                                                   put_text(o, "words", s->words)));
    }
    return good;
}

bool book_put_text(const Book *book, BlyText *out, BlyError *err) {
    cJSON *root = cJSON_CreateObject();
    bool good = root != NULL && put_number(root, "ballastry_book", VERSION) &&
                (!book->off || put_bool(root, "off", true));
    cJSON *list = good ? cJSON_AddArrayToObject(root, "lures") : NULL;
    good = list != NULL;
    for (size_t i = 0; good && i < book->count; i++)
        good = put_last(list, lure_tree(&book->lures[i]));
    good = good && put_seen(root, book);
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the book");
    good = good && bly_json_print(root, out, err);
    cJSON_Delete(root);
    return good;
}
