/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A maker's box as a list that is written, not only read: one line changed, all else as it stands.
 */
#ifndef BALLASTRY_CATALOG_CATALOG_H
#define BALLASTRY_CATALOG_CATALOG_H

#include "ballastry/error.h"
#include "text/text.h"

#include <stddef.h>

/* What a line of the box is to say; NULL leaves that cell as it is, "" empties it. */
typedef struct BoxLine {
    const char *id, *kind, *size, *style, *grade, *material, *mass, *weighed, *count, *note;
} BoxLine;

/* Writes the list with the line of this id changed, or with a line more where no line has the id or
 * none is asked for; a list that is empty (size 0) is begun. Columns that are missing are added;
 * remarks, separator and order stay. Whether it reads as a box is for bly_catalog_read_box to say.
 * Errors are those of a text that is no CSV, or of a cell with a line break. */
bool box_put_line(const char *text, size_t size, const BoxLine *line, BlyText *out, BlyError *err);

#endif
