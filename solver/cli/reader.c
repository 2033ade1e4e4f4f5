/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/reader.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool reader_open(LineReader *reader, int descriptor, int output, const char *name, BlyError *err) {
    *reader = (LineReader){
        .descriptor = descriptor, .output = output, .name = name, .block = malloc(READER_BLOCK)};
    return reader->block != NULL ||
           bly_fail(err, BLY_E_MEMORY, NULL, "no memory to read lines into");
}

void reader_close(LineReader *reader) {
    free(reader->block);
    reader->block = NULL;
}

/* Until something comes in, or its end. Without a watch on the output a command whose input is idle
 * would outlive those who wanted its answers. */
static bool wait_for_input(const LineReader *reader, BlyError *err) {
    struct pollfd ends[] = {{.fd = reader->descriptor, .events = POLLIN}, {.fd = reader->output}};
    while (poll(ends, 2, -1) < 0) {
        if (errno != EINTR)
            return true; /* then reading tells */
    }
    if ((ends[1].revents & (POLLERR | POLLHUP)) == 0)
        return true;
    (void)raise(SIGPIPE);
    return bly_fail(err, BLY_E_IO, "standard output", "cannot be written to");
}

static bool fill(LineReader *reader, BlyError *err) {
    for (;;) {
        if (!wait_for_input(reader, err))
            return false;
        ssize_t got = read(reader->descriptor, reader->block, READER_BLOCK);
        if (got >= 0) {
            reader->begin = 0;
            reader->end = (size_t)got;
            return true;
        }
        if (errno != EINTR)
            return bly_fail(err, BLY_E_IO, reader->name, "cannot be read: %s", strerror(errno));
    }
}

/* Up to the end of a line, or of the block; says whether it was the line's. */
static bool take(LineReader *reader, BlyText *line, bool *too_long) {
    const char *from = reader->block + reader->begin;
    size_t left = reader->end - reader->begin;
    const char *newline = memchr(from, '\n', left);
    size_t length = newline != NULL ? (size_t)(newline - from) : left;
    if (*too_long || length > LINE_MOST - line->length) {
        *too_long = true;
        bly_text_cut(line, 0);
    } else {
        bly_text_append_bytes(line, from, length);
    }
    reader->begin += length + (newline != NULL);
    return newline != NULL;
}

static bool is_blank(const BlyText *line) {
    return !line->failed && strspn(bly_text_string(line), " \t\r") == line->length;
}

bool reader_next(LineReader *reader, BlyText *line, bool *too_long, bool *found, BlyError *err) {
    *found = false;
    while (!reader->ended) {
        bool whole = false, any = false;
        bly_text_cut(line, 0);
        *too_long = false;
        while (!whole && !reader->ended) {
            if (reader->begin == reader->end && !fill(reader, err))
                return false;
            reader->ended = reader->begin == reader->end;
            any = any || !reader->ended;
            whole = !reader->ended && take(reader, line, too_long);
        }
        reader->number += any;
        if (any && (*too_long || !is_blank(line))) {
            *found = true;
            return true;
        }
    }
    return true;
}
