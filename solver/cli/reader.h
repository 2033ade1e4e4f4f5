/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines from a descriptor, one at a time, in bounded memory. */
#ifndef BALLASTRY_CLI_READER_H
#define BALLASTRY_CLI_READER_H

#include "text/text.h"

enum { LINE_MOST = 1024 * 1024, READER_BLOCK = 64 * 1024 };

typedef struct LineReader {
    int descriptor;
    int output;       /* where answers go: watched while nothing comes in; -1: not watched */
    const char *name; /* of the input, for errors */
    char *block;      /* owned */
    size_t begin, end;
    size_t number; /* of the line last read, from 1; blank lines count */
    bool ended;
} LineReader;

bool reader_open(LineReader *reader, int descriptor, int output, const char *name, BlyError *err);
void reader_close(LineReader *reader); /* leaves the descriptor open */

/* The next line that is not blank, without its end. A line of more than LINE_MOST bytes is passed
 * over and given empty with *too_long. *found is false at the end of the input. False: BLY_E_IO,
 * also where nobody reads the output any more; SIGPIPE is raised first, as a write would do. Where
 * memory runs out line->failed is set. */
bool reader_next(LineReader *reader, BlyText *line, bool *too_long, bool *found, BlyError *err);

#endif
