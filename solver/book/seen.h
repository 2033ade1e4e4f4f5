/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words forgotten; private to this room. */
#ifndef BALLASTRY_BOOK_SEEN_H
#define BALLASTRY_BOOK_SEEN_H

#include "book/book.h"

/* Those of a shape or of a build, each may be NULL; how many there were. */
size_t seen_forget(Book *book, const char *shape, const char *build);

#endif
