/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was seen of lures on the water, as words by shape. */
#include "book/book.h"
#include "book/seen.h"

#include <stdlib.h>
#include <string.h>

bool book_see(Book *book, const BookSeen *seen, bool *there, BlyError *err) {
    *there = false;
    for (size_t i = 0; i < book->seen_count && !*there; i++)
        *there = strcmp(book->seen[i].shape, seen->shape) == 0 &&
                 strcmp(book->seen[i].build, seen->build) == 0 &&
                 strcmp(book->seen[i].words, seen->words) == 0;
    if (*there)
        return true;
    if (book->seen_count >= BOOK_SEEN_MOST) {
        book->seen_count = BOOK_SEEN_MOST - 1;
        memmove(book->seen, book->seen + 1, book->seen_count * sizeof *book->seen);
    }
    BookSeen *more = realloc(book->seen, (book->seen_count + 1) * sizeof *more);
    if (more == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what was seen");
    book->seen = more;
    book->seen[book->seen_count++] = *seen;
    return true;
}

size_t seen_forget(Book *book, const char *shape, const char *build) {
    size_t left = 0, all = book->seen_count;
    for (size_t i = 0; i < all; i++) {
        const BookSeen *s = &book->seen[i];
        if (!(shape != NULL && strcmp(s->shape, shape) == 0) &&
            !(build != NULL && strcmp(s->build, build) == 0))
            book->seen[left++] = *s;
    }
    book->seen_count = left;
    return all - left;
}
