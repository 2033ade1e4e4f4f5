/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maker's book as a file: where it lies, read, added to, what it does to a catalog. */
#ifndef BALLASTRY_DESK_BOOK_H
#define BALLASTRY_DESK_BOOK_H

#include "ballastry/catalog.h"
#include "book/book.h"
#include "desk/tank.h"
#include "text/text.h"

enum { BOOK_PATH_MAX = 4096 };

/* $XDG_DATA_HOME/ballastry/book.json, $HOME/.local/share where that is not set or not absolute (XDG
 * Base Directory Specification 0.8). False, and "" in path, where there is neither. */
bool book_usual_path(char path[BOOK_PATH_MAX]);

/* ---- book_text.c: the book as JSON, docs/book.md and docs/book.schema.json ---- */

/* Errors carry a JSON Pointer. *out is a valid book in every case; release it. */
bool book_read_text(const char *text, size_t size, Book *out, BlyError *err) BLY_MUST_CHECK;
bool book_put_text(const Book *book, BlyText *out, BlyError *err) BLY_MUST_CHECK;

/* ---- book_file.c ---- */

/* *there: whether there is such a file; without one the book is empty. Errors name place or path.
 */
bool book_load(const char *path, Book *out, bool *there, BlyError *err) BLY_MUST_CHECK;

/* One change at a time: the file is locked ("PATH.lock" stays beside it, empty), read, changed and
 * put in place at once, as it was before staying beside it as "PATH~". Folders on the way are made.
 * A change that returns false changes nothing; *unchanged set by it: nothing is written. */
typedef bool (*BookChange)(Book *book, void *context, bool *unchanged, BlyError *err);
bool book_change(const char *path, BookChange change, void *context, BlyError *err) BLY_MUST_CHECK;

/* ---- book_use.c ---- */

/* Pools the book with the catalog's figures as the usual ones, and has builds that are read with
 * the catalog from then on use it; hooks take its masses. Book and habits must outlive both. */
bool book_use(const Book *book, BlyCatalog *catalog, BookHabits *habits,
              BlyError *err) BLY_MUST_CHECK;

/* ---- book_keep.c: what a tank test found, kept ---- */

/* The findings of one tank test, without name and date; none where all is written out. */
bool book_lure_of(const BlyBuild *build, const BlyWaterFacts *water, const BlyTankResult *result,
                  BookLure *out, BlyError *err) BLY_MUST_CHECK;

/* goes_on: the corrected build is written, and later tests of it renew the lure, which then need
 * not be finished. `lure`: its name, NULL: the build's, with a number behind it when that is
 * another lure's. *name: the name it got, BOOK_NAME_MAX bytes. The date is today's, or that of
 * SOURCE_DATE_EPOCH.
 */
bool book_keep(const char *path, const BlyBuild *build, const TankWork *work, const char *lure,
               bool goes_on, BookKept *kept, char name[BOOK_NAME_MAX],
               BlyError *err) BLY_MUST_CHECK;

struct WaterWork;
/* ---- book_water.c: what the water taught of lures of this shape, and what was seen ---- */

/* Under a name of its own beside the lure's. The words are kept with the build's name. *kept stays
 * BOOK_NOT_ASKED where there is nothing to keep. */
bool book_keep_water(const char *path, const BlyBuild *build, const struct WaterWork *work,
                     BookKept *kept, char name[BOOK_NAME_MAX], BlyError *err) BLY_MUST_CHECK;

#endif
