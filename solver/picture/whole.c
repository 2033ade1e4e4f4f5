/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "picture/whole.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ENTRY = 20, TAIL = 64 }; /* bytes: a line of the table, "startxref" and what follows */

static bool begins(const char *bytes, size_t size, size_t at, const char *words) {
    size_t length = strlen(words);
    return at <= size && size - at >= length && memcmp(bytes + at, words, length) == 0;
}

/* A copy that ends, as strtoul wants it; where too little is left, of what is there. */
static void piece(const char *bytes, size_t size, size_t at, char out[TAIL]) {
    size_t length = at < size ? size - at : 0;
    length = length < TAIL - 1 ? length : TAIL - 1;
    if (length > 0)
        memcpy(out, bytes + at, length);
    out[length] = '\0';
}

/* Where the table begins: the number after the last "startxref"; 0 without it. */
static size_t table_of(const char *bytes, size_t size) {
    char tail[TAIL];
    piece(bytes, size, size > 40 ? size - 40 : 0, tail);
    const char *at = strstr(tail, "startxref\n");
    char *end;
    if (at == NULL)
        return 0;
    unsigned long table = strtoul(at + strlen("startxref\n"), &end, 10);
    return strcmp(end, "\n%%EOF\n") == 0 ? table : 0;
}

static bool object_stands(const char *bytes, size_t size, size_t entry, unsigned long number) {
    char line[TAIL], head[TAIL];
    piece(bytes, size, entry, line);
    (void)snprintf(head, sizeof head, "%lu 0 obj", number);
    return strlen(line) >= ENTRY && begins(bytes, size, strtoul(line, NULL, 10), head);
}

bool picture_pdf_whole(const char *bytes, size_t size) {
    static const char words[] = "xref\n0 ";
    size_t table = table_of(bytes, size);
    char line[TAIL];
    if (table == 0 || !begins(bytes, size, table, words))
        return false;
    piece(bytes, size, table + strlen(words), line);
    unsigned long count = strtoul(line, NULL, 10);
    const char *end = strchr(line, '\n');
    if (count < 2 || end == NULL)
        return false;
    size_t entries = table + strlen(words) + (size_t)(end - line) + 1;
    bool whole = true;
    for (unsigned long i = 1; whole && i < count; i++) /* number 0 is no object */
        whole = object_stands(bytes, size, entries + i * ENTRY, i);
    return whole;
}

bool picture_png_whole(const char *bytes, size_t size) {
    static const char end[] = "IEND\xae\x42\x60\x82";
    return size >= strlen(end) && begins(bytes, size, size - strlen(end), end);
}
