/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines in, worked by several threads, lines out in the same order, in bounded memory: a ring of
 * lines in flight, filled by the calling thread, emptied by whichever worker finished the oldest.
 */
#ifndef BALLASTRY_CLI_RING_H
#define BALLASTRY_CLI_RING_H

#include "text/text.h"

enum { RING_WORKERS_MOST = 256, RING_LINES_A_WORKER = 16 };

typedef struct RingLine {
    size_t number; /* in the input, from 1 */
    const char *text;
    size_t length;
    bool too_long; /* text is empty then */
} RingLine;

typedef enum RingEnd { RING_GOOD, RING_NO_RIG, RING_BAD, RING_FAULT, RING_ENDS } RingEnd;

/* Appends the answer to one line with a newline; called by several threads at once. */
typedef RingEnd (*RingWork)(void *context, const RingLine *line, BlyText *answer);

typedef struct RingSums {
    size_t lines, by[RING_ENDS];
    size_t first_bad; /* number of the first line that ended BAD or FAULT, 0: none */
} RingSums;

typedef struct RingJob {
    int in, out;         /* descriptors */
    const char *in_name; /* for errors */
    size_t workers;      /* from 1 to RING_WORKERS_MOST */
    RingWork work;
    void *context;
    void (*progress)(void *progress_context, const RingSums *sums); /* NULL: none; one at a time */
    void *progress_context;
} RingJob;

/* Runs until the input ends. False when the input cannot be read any more (what was read is
 * answered all the same), the output not written, or memory is out: BLY_E_IO, BLY_E_MEMORY. *sums
 * counts what was written in every case. */
bool ring_run(const RingJob *job, RingSums *sums, BlyError *err);

#endif
