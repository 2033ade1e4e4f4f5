/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text/text.h"
#include "text/format.h"

#include <stdlib.h>
#include <string.h>

enum { FIRST_ROOM = 128 };

void bly_text_init(BlyText *text) {
    *text = (BlyText){0};
}

void bly_text_release(BlyText *text) {
    free(text->bytes);
    bly_text_init(text);
}

/* Room for `more` bytes and the NUL, doubled so that appending stays linear. */
static bool make_room(BlyText *text, size_t more) {
    if (text->failed)
        return false;
    if (more >= BLY_TEXT_LIMIT || text->length + more >= BLY_TEXT_LIMIT) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1, room = text->room > 0 ? text->room : FIRST_ROOM;
    while (room < need)
        room *= 2;
    if (room == text->room)
        return true;
    char *bytes = realloc(text->bytes, room);
    if (bytes == NULL) {
        text->failed = true;
        return false;
    }
    text->bytes = bytes;
    text->room = room;
    return true;
}

void bly_text_append_bytes(BlyText *text, const char *bytes, size_t length) {
    if (!make_room(text, length))
        return;
    if (length > 0)
        memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = '\0';
}

void bly_text_append(BlyText *text, const char *string) {
    bly_text_append_bytes(text, string, strlen(string));
}

void text_vappendf(BlyText *text, const char *fmt, va_list args) {
    va_list again;
    va_copy(again, args);
    int length = bly_vformat(NULL, 0, fmt, args);
    if (length < 0)
        text->failed = true;
    else if (make_room(text, (size_t)length)) {
        (void)bly_vformat(text->bytes + text->length, (size_t)length + 1, fmt, again);
        text->length += (size_t)length;
    }
    va_end(again);
}

void bly_text_appendf(BlyText *text, const char *fmt, ...) {
    va_list args;
    va_start(args, fmt);
    text_vappendf(text, fmt, args);
    va_end(args);
}

void bly_text_repeat(BlyText *text, char c, size_t count) {
    if (!make_room(text, count))
        return;
    memset(text->bytes + text->length, c, count);
    text->length += count;
    text->bytes[text->length] = '\0';
}

void bly_text_cut(BlyText *text, size_t length) {
    if (length >= text->length)
        return;
    text->length = length;
    text->bytes[length] = '\0';
}

const char *bly_text_string(const BlyText *text) {
    return text->bytes != NULL ? text->bytes : "";
}

bool bly_text_good(const BlyText *text, BlyError *err) {
    if (text->failed)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a text of more than %zu bytes",
                        text->length);
    return true;
}

char *bly_text_detach(BlyText *text) {
    bly_text_append_bytes(text, "", 0);
    char *bytes = NULL;
    if (!text->failed) {
        bytes = text->bytes;
        text->bytes = NULL;
    }
    bly_text_release(text);
    return bytes;
}
