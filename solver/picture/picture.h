/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages of SVG into files that people open: SVG, PDF or PNG. The only room that knows librsvg and
 * cairo. */
#ifndef BALLASTRY_PICTURE_PICTURE_H
#define BALLASTRY_PICTURE_PICTURE_H

#include "sheet/sheet.h"

typedef enum BlyPictureKind { BLY_PICTURE_SVG, BLY_PICTURE_PDF, BLY_PICTURE_PNG } BlyPictureKind;

/* Dots an inch of a PNG. */
#define BLY_PICTURE_DPI 200.0

/* By the file's ending, in either case; false for any other. */
bool bly_picture_kind(const char *file, BlyPictureKind *out);

/* Where page `number` (from 0) of a document goes: a PDF holds all pages; of the other two the
 * first page goes to the file as named and the next ones to NAME-2.svg, NAME-3.svg .. beside it.
 * free() by the caller; NULL without memory. */
char *bly_picture_file(const char *file, size_t number) BLY_MUST_CHECK;

/* The bytes of one file: for PDF all pages from `first` on, else that page alone. free(*bytes) by
 * the caller. The same SVG gives the same bytes with the same libraries and fonts. */
bool bly_picture_bytes(const BlySheet *sheet, size_t first, BlyPictureKind kind, char **bytes,
                       size_t *size, BlyError *err) BLY_MUST_CHECK;

/* Writes the file or files, each whole or not at all; *files (may be NULL) counts them. */
bool bly_picture_write(const BlySheet *sheet, const char *file, size_t *files,
                       BlyError *err) BLY_MUST_CHECK;

#endif
