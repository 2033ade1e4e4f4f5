/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The book: what a maker's own finished lures came out at, and what that says of the next one.
 *
 * A finding is a figure of one lure. Findings of one kind and key come from a normal law about the
 * maker's own habit, and habits lie about the usual figure (catalog, plan, rule): the normal
 * hierarchical model, partial pooling. Formulas, textbook, measurements: docs/book.md. Records and
 * arithmetic only; files are read and written by desk. */
#ifndef BALLASTRY_BOOK_BOOK_H
#define BALLASTRY_BOOK_BOOK_H

#include "ballastry/parts.h"

enum { BOOK_KIND_MAX = 32, BOOK_KEY_MAX = 96, BOOK_UNIT_MAX = 16, BOOK_NAME_MAX = 128 };
enum { BOOK_DATE_MAX = 11, BOOK_READINGS_MAX = 512 }; /* "2026-11-30" */

/* ---- kinds.c: what is known of kinds of findings. Others are kept and pooled alike. ---- */

typedef struct BookKind {
    const char *name, *unit; /* "coat", "mm" */
    double si;               /* of one unit */
    double scatter;    /* share of the usual give that is from lure to lure rather than the maker's
                          own; NAN: `each` says it */
    double each;       /* give from piece to piece as a share of the value, beside the usual one */
    const char *words; /* "thickness of coats" */
} BookKind;
extern const BookKind book_kinds[];
extern const size_t book_kind_count;
#define BOOK_DENSITY "density"
#define BOOK_COAT "coat"
#define BOOK_COAT_DENSITY "coat-density"
#define BOOK_HOOK "hook"
#define BOOK_DRAG "drag"
/* Of the drawn lure, by shape: the force on lips, the drag of hooks and rings, where on the lip the
 * force acts. */
#define BOOK_LIP "lip"
#define BOOK_WIRE "wire"
#define BOOK_LIP_CENTRE "lip-centre"
const BookKind *book_kind(const char *name); /* NULL: not one that is known */

/* "epoxy-clear", or "epoxy-clear, dipped". */
void book_coat_key(const char *material, const char *way, char out[BOOK_KEY_MAX]);
/* What a body looks like to the water, from its greatest length, width and height (m): "slender
 * round", "stout deep". Docs/book.md has the bounds. */
void book_shape_key(double length, double width, double height, char out[BOOK_KEY_MAX]);

/* ---- record.c ---- */

/* All figures are in `unit`; gives are half-widths of 95 of 100. */
typedef struct BookFinding {
    char kind[BOOK_KIND_MAX], key[BOOK_KEY_MAX], unit[BOOK_UNIT_MAX];
    BlyFigure value;  /* as found of this lure; give > 0 */
    BlyFigure before; /* as it was taken for before; value NAN: nothing was known */
    BlyFigure usual;  /* by catalog, plan or rule; value NAN: not said */
} BookFinding;

typedef struct BookLure {
    char name[BOOK_NAME_MAX]; /* no two alike in a book */
    char build[BOOK_NAME_MAX], date[BOOK_DATE_MAX];
    char readings[BOOK_READINGS_MAX]; /* in words: of the same build, the same say the same lure */
    BookFinding *at;                  /* owned */
    size_t count;
    double *together; /* count squared, correlations of the values; NULL: none. Owned */
    double *before;   /* the same of the figures before; rows of what nothing was known of count
                         for nothing; NULL: none. Owned */
} BookLure;

/* What was seen of a lure on the water, in the maker's words; nothing is computed from it. */
enum { BOOK_SEEN_WORDS = 161, BOOK_SEEN_MOST = 500 };
typedef struct BookSeen {
    char shape[BOOK_KEY_MAX], build[BOOK_NAME_MAX], words[BOOK_SEEN_WORDS];
} BookSeen;

typedef struct Book {
    bool off; /* nothing is added to it or taken from it */
    BookLure *lures;
    size_t count;
    BookSeen *seen; /* owned, the oldest first */
    size_t seen_count;
} Book;

enum { BOOK_FINDINGS_MAX = 64, BOOK_LURES_MAX = 100000 };

void book_release(Book *book);
void book_lure_release(BookLure *lure);
/* Room for `count` findings and, if `tied`, both matrices as identities. */
bool book_lure_begin(BookLure *lure, size_t count, bool tied, BlyError *err) BLY_MUST_CHECK;
BookLure *book_find(const Book *book, const char *name); /* NULL: none */
/* Takes the lure over, in every case. Its name must be new. */
bool book_append(Book *book, BookLure *lure, BlyError *err) BLY_MUST_CHECK;
/* What a further test of a lure that is in the book says: `later` was taken for what the earlier
 * test left, so what was known before any test stays that of `lure`. Takes `later` over. */
bool book_renew(BookLure *lure, BookLure *later, BlyError *err) BLY_MUST_CHECK;
bool book_same(const BookLure *a, const BookLure *b); /* of one build, and read the same */
/* Keeps the words, unless they stand there already (*there); beyond BOOK_SEEN_MOST the oldest are
 * let go. */
bool book_see(Book *book, const BookSeen *seen, bool *there, BlyError *err) BLY_MUST_CHECK;
/* Takes a lure out with what was seen of a build of its name, or all findings of one kind and key
 * ("seen" and a shape: the words); how many there were. */
size_t book_forget_lure(Book *book, const char *name);
size_t book_forget_figure(Book *book, const char *kind, const char *key);
/* What a finding must be: gives above 0, correlations such as figures can have. err->where is
 * "/findings/2/give" or "/together". */
bool book_lure_check(const BookLure *lure, BlyError *err) BLY_MUST_CHECK;

/* What became of the findings of a tank test. */
typedef enum BookKept {
    BOOK_NOT_ASKED,
    BOOK_ADDED,      /* a new lure */
    BOOK_RENEWED,    /* a further test of one that is there */
    BOOK_REPLACED,   /* the same lure read anew, as --lure said */
    BOOK_THERE,      /* the very same findings are there already */
    BOOK_UNFINISHED, /* no reading of the finished lure, or seats are empty */
    BOOK_UNKNOWN,    /* corrected by a tank test that is not in the book */
    BOOK_OFF
} BookKept;

/* ---- habits.c: what the book says ---- */

typedef struct BookHabit {
    const char *kind, *key, *unit; /* of the book, which must outlive it */
    BlyFigure usual;
    BlyFigure own;  /* the maker's own middle */
    BlyFigure next; /* what the next lure comes out at */
    double scatter; /* from lure to lure, standard deviation */
    size_t lures;   /* that told of it */
    double learnt;  /* share of the variance of the maker's middle that the lures took away */
} BookHabit;

typedef struct BookHabits {
    BookHabit *at; /* owned, in the order in which the book first names them */
    size_t count;
    double *together; /* count squared: covariance of the maker's middles, in their units; owned */
    const BookSeen *seen; /* of the book, which must outlive it */
    size_t seen_count;
} BookHabits;

/* The usual figure of a kind and key today, in its unit; false: unknown, the book's own counts. */
typedef bool (*BookUsual)(void *context, const char *kind, const char *key, BlyFigure *out);

enum { BOOK_POOLED_MOST = 200 }; /* the latest lures count */

/* Pools. usual may be NULL. A book that is off, or empty, gives none. BLY_E_CONFLICT where units
 * of one kind and key differ, BLY_E_MEMORY, BLY_E_INTERNAL. Release in every case. */
bool book_pool(const Book *book, BookUsual usual, void *context, BookHabits *out,
               BlyError *err) BLY_MUST_CHECK;
void book_habits_release(BookHabits *habits);
int book_habit(const BookHabits *habits, const char *kind, const char *key); /* -1: none */

#endif
