/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* pipe2 */
#include "picture/apart.h"
#include "fence/fence.h"
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

enum { SECONDS_MOST = 20 };

/* The error first (BLY_OK where there is none), then the bytes. */
static void draw_and_send(int to, PictureDraw draw, const BlySheet *sheet, size_t first) {
    BlyText text = {0};
    BlyError err = {0};
    bool good = bly_fence_in(SECONDS_MOST);
    if (good && draw(sheet, first, &text, &err) && !bly_text_good(&text, &err))
        bly_text_release(&text);
    good = good && bly_file_send(to, (const char *)&err, sizeof err) &&
           (err.code != BLY_OK || bly_file_send(to, bly_text_string(&text), text.length));
    _exit(good ? 0 : 1);
}

/* The next bytes into `at`; how many, 0 at the end. */
static size_t receive(int from, char *at, size_t most) {
    ssize_t got;
    do
        got = read(from, at, most);
    while (got < 0 && errno == EINTR);
    return got > 0 ? (size_t)got : 0;
}

static void collect(int from, BlyError *err, size_t *err_size, BlyText *out) {
    char bytes[1 << 14];
    for (size_t got; *err_size < sizeof *err; *err_size += got) {
        got = receive(from, (char *)err + *err_size, sizeof *err - *err_size);
        if (got == 0)
            return;
    }
    for (size_t got; (got = receive(from, bytes, sizeof bytes)) > 0;)
        bly_text_append_bytes(out, bytes, got);
}

bool picture_apart(PictureDraw draw, const BlySheet *sheet, size_t first, BlyText *out,
                   BlyError *err) {
    int ends[2];
    BlyError told = {0};
    size_t told_size = 0;
    if (pipe2(ends, O_CLOEXEC) != 0)
        return bly_fail(err, BLY_E_IO, NULL, "no pipe to draw through: %s", strerror(errno));
    pid_t child = fork();
    if (child == 0)
        draw_and_send(ends[1], draw, sheet, first);
    (void)close(ends[1]);
    if (child > 0)
        collect(ends[0], &told, &told_size, out);
    (void)close(ends[0]);
    if (child < 0)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no process to draw in");
    if (!bly_fence_ended_well(child) || told_size < sizeof told)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "the drawing libraries gave up; is there memory left?");
    return told.code == BLY_OK || bly_fail(err, told.code, told.where, "%s", told.text);
}
