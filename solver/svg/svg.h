/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines out of SVG drawings (SVG 2, W3C Candidate Recommendation of 4 October 2018): paths,
 * basic shapes, groups, transforms and units, in whatever a drawing program saves as plain SVG. The
 * only room that knows expat. It reads bytes that it is given and opens nothing: no files, no
 * network, and a text that declares entities is refused. */
#ifndef BALLASTRY_SVG_SVG_H
#define BALLASTRY_SVG_SVG_H

#include "ballastry/outline.h"

/* Path data (section 9.3) appended as cubics: quadratics exactly, arcs in steps of 1/32 turn, which
 * keeps them to 1e-9 of the radius. On failure err->where is "offset N", counted in bytes from 0,
 * and what was read stays in the trace. Empty data and "none" give nothing. Refused (unlike a
 * viewer, which draws what comes before an error): anything that the grammar does not know, numbers
 * beyond 1e9, data that does not begin with a move. */
bool bly_path_read(const char *data, BlyTrace *out, BlyError *err) BLY_MUST_CHECK;

/* A transform list (section 8.5): matrix, translate, scale, rotate, skewX, skewY. Errors as above.
 */
bool transform_read(const char *text, BlyAffine *out, BlyError *err) BLY_MUST_CHECK;

/* A length (CSS units): "88mm", "3.5in", "12", "10 Q", "50%". User units (px, 1/96 in) come back;
 * *percent tells that it is a percentage, whose number is then in *value. False: no length. */
bool svg_length(const char *text, double *value, bool *percent);

typedef struct BlyDrawing {
    BlyTrace trace; /* millimetres when `sized`, else the drawing's own units; y upward */
    bool sized;     /* the file says how large a unit is */
    bool in_px;     /* .. or says nothing, which is px of 1/96 in */
    size_t shapes;  /* that were taken */
} BlyDrawing;

/* Reads what is drawn by the element with this id (or this label: the name of a layer in drawing
 * programs), an element or a group. id NULL: by the only shape of the drawing; several are refused
 * with their names. What is not shown (defs, clips, display none) counts only when it is named.
 * Errors: where "line 12"; BLY_E_SYNTAX (no SVG, broken XML, entities, path data with its offset),
 * BLY_E_UNKNOWN (no such id, with a near one; use, text and the like, which draw what is not read),
 * BLY_E_RANGE (too large, too deep), BLY_E_CONFLICT (several shapes), BLY_E_MISSING (none). Release
 * with bly_drawing_release, also after a failure. */
bool bly_svg_read(const char *text, size_t size, const char *id, BlyDrawing *out,
                  BlyError *err) BLY_MUST_CHECK;
void bly_drawing_release(BlyDrawing *drawing);

#endif
