/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballastry/error.h"
#include "text/format.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
    BlyCode code;
    const char *words;
} code_table[] = {
    {BLY_OK, "no error"},
    {BLY_E_SYNTAX, "cannot be read"},
    {BLY_E_UNIT, "wrong unit"},
    {BLY_E_RANGE, "out of range"},
    {BLY_E_MISSING, "missing"},
    {BLY_E_UNKNOWN, "unknown"},
    {BLY_E_CONFLICT, "contradiction"},
    {BLY_E_IO, "file"},
    {BLY_E_MEMORY, "out of memory"},
    {BLY_E_INTERNAL, "internal fault"},
};

#undef bly_fail /* as the analyser is told */
bool bly_fail(BlyError *err, BlyCode code, const char *where, const char *fmt, ...) {
    if (err == NULL)
        return false;
    err->code = code;
    (void)snprintf(err->where, sizeof err->where, "%s", where != NULL ? where : "");
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(err->text, sizeof err->text, fmt, args);
    va_end(args);
    return false;
}

void bly_error_prefix(BlyError *err, const char *prefix) {
    if (err == NULL)
        return;
    char joined[BLY_WHERE_MAX];
    size_t head = strnlen(prefix, sizeof joined - 1);
    size_t tail = strnlen(err->where, sizeof joined - 1 - head);
    memcpy(joined, prefix, head);
    memcpy(joined + head, err->where, tail);
    joined[head + tail] = '\0';
    memcpy(err->where, joined, head + tail + 1);
}

const char *bly_code_words(BlyCode code) {
    for (size_t i = 0; i < sizeof code_table / sizeof code_table[0]; i++) {
        if (code_table[i].code == code)
            return code_table[i].words;
    }
    return "unknown error";
}

bool bly_code_of_input(BlyCode code) {
    return code >= BLY_E_SYNTAX && code <= BLY_E_IO;
}
