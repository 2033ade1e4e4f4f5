/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets stay the SVG that they are: a browser prints them. */
#include "picture/picture.h"

#include <stdlib.h>
#include <string.h>

bool bly_picture_bytes(const BlySheet *sheet, size_t first, BlyPictureKind kind, char **bytes,
                       size_t *size, BlyError *err) {
    if (kind != BLY_PICTURE_SVG)
        return bly_fail(err, BLY_E_RANGE, "/format",
                        "PDF and PNG need the program; here a sheet is printed, or saved as SVG");
    const char *svg = sheet->pages[first].svg;
    *size = strlen(svg);
    *bytes = strdup(svg);
    return *bytes != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the sheet");
}
