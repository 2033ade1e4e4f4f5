/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench without a server, for the page as one file: who has it asks its routes by calls. A
 * request goes to the very function that answers the bench's sockets (bench/bench.h).
 * solver/alone/stand_ins has what a browser lacks; nothing there is compiled into the program. */
#ifndef BALLASTRY_ALONE_H
#define BALLASTRY_ALONE_H

#include "ballastry/error.h"

#include <stddef.h>

typedef struct Alone Alone;

/* Builds lie in `folder`, which is there; box and book where the program looks for them (box_find,
 * book_usual_path). NULL with err when one of these cannot be read. */
Alone *alone_new(const char *folder, BlyError *err) BLY_MUST_CHECK;
void alone_free(Alone *alone);

/* Answers one request to "/api/ROUTE"; `units` as the header X-Bench-Units, NULL for none. The
 * status is HTTP's; what else there is of the answer is had below until the next request. */
int alone_ask(Alone *alone, const char *path, const char *units, const char *body, size_t size);
const char *alone_type(const Alone *alone);
const char *alone_bytes(const Alone *alone); /* borrowed; NULL: none */
size_t alone_size(const Alone *alone);
size_t alone_pages(const Alone *alone);

#endif
