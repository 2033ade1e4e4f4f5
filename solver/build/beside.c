/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The texts of files that a build names, and the errors found in them. */
#include "build/sections.h"
#include "text/quote.h"

bool build_fetch(const BlyJson *place, const char *name, const BlyBuildFiles *files, char **text,
                 size_t *size, BlyError *err) {
    if (files == NULL) {
        char quoted[BLY_QUOTE_MAX];
        bly_quote(name, quoted);
        return bly_json_refuse(place, BLY_E_MISSING, err, "the file \"%s\" is not at hand", quoted);
    }
    if (files->read(files->context, name, text, size, err))
        return true;
    if (err != NULL && err->code != BLY_E_IO)
        bly_error_prefix(err, place->where);
    return false;
}

bool build_blame_file(const BlyJson *place, const char *name, const BlyError *found,
                      BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    bly_quote(name, quoted);
    return bly_json_refuse(place, found->code, err, "%s%s%s: %s", quoted,
                           found->where[0] != '\0' ? ", " : "", found->where, found->text);
}
