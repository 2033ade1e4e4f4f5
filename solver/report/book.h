/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maker's book told: what it holds, what each figure rests on, what a build takes from it. */
#ifndef BALLASTRY_REPORT_BOOK_H
#define BALLASTRY_REPORT_BOOK_H

#include "book/book.h"
#include "report/result.h"

/* What a build takes from the book, a line each; nothing where it takes nothing. */
void text_book_used(const Report *report, const BlyBuild *build);
bool put_book_used(cJSON *object, const BlyBuild *build); /* "book", the same */

/* What was seen on the water of other lures of the build's shape; nothing where there is none. */
void text_shape_seen(const Report *report, const BlyBuild *build);
bool put_shape_seen(cJSON *object, const BlyBuild *build); /* "seen_of_shape" */

/* What became of a tank test's findings (book/book.h): its name there, and the file. */
void text_book_kept(const Report *report, BookKept kept, const char *name, const char *file);
cJSON *json_book_kept(BookKept kept, const char *name, const char *file);
/* Asks for it, where there is none yet. */
void text_book_offer(const Report *report);

/* The whole of it: figures, then lures. */
void text_book(const Report *report, const Book *book, const BookHabits *habits);
/* What one figure rests on and what it does to a build. */
void text_book_figure(const Report *report, const Book *book, const BookHabit *habit);
/* "off", "figures", "lures". */
cJSON *json_book(const Book *book, const BookHabits *habits);

#endif
