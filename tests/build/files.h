/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole files into memory, for tests. */
#ifndef BALLASTRY_TESTS_BUILD_FILES_H
#define BALLASTRY_TESTS_BUILD_FILES_H

#include "support/check.h"

/* The file's bytes with a zero behind them; free by the caller. */
static inline char *file_bytes(const char *path, size_t *size) {
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        fail_msg("cannot open %s", path);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    long length = ftell(file);
    assert_true(length >= 0);
    rewind(file);
    char *text = malloc((size_t)length + 1);
    assert_non_null(text);
    *size = fread(text, 1, (size_t)length, file);
    assert_int_equal(*size, length);
    text[*size] = '\0';
    (void)fclose(file);
    return text;
}

#endif
