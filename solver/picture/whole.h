/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a picture came out whole: cairo 1.16 says nothing when it finds no memory for an object
 * of a PDF, and leaves the object or the end away. */
#ifndef BALLASTRY_PICTURE_WHOLE_H
#define BALLASTRY_PICTURE_WHOLE_H

#include <stdbool.h>
#include <stddef.h>

/* A PDF with one cross-reference table (ISO 32000-1, 7.5.4 and 7.5.5) in which every object stands
 * where the table says. */
bool picture_pdf_whole(const char *bytes, size_t size);

/* A PNG that ends with its end chunk (ISO/IEC 15948, 11.2.5). */
bool picture_png_whole(const char *bytes, size_t size);

#endif
