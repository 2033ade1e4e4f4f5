/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the svg room: elements that draw, and the sizes of views. `attributes` are expat's:
 * names and values in turn, NULL at the end. */
#ifndef BALLASTRY_SVG_SHAPES_H
#define BALLASTRY_SVG_SHAPES_H

#include "svg/svg.h"

const char *svg_attribute(const char *const *attributes, const char *name);

/* Whether the element is a path or basic shape. */
bool svg_draws(const char *element);

/* Appends what it draws, in its own coordinates. err->where is "offset N" of path data or points,
 * else the attribute. */
bool svg_shape(const char *element, const char *const *attributes, BlyTrace *out,
               BlyError *err) BLY_MUST_CHECK;

/* An svg element: what maps its contents into the coordinates around it. Around the outermost these
 * are millimetres, y upward; *sized tells whether its attributes said how large that is. */
typedef struct View {
    double width, height; /* of the coordinates inside */
    BlyAffine inside;
    bool sized;
    bool in_px; /* of the outermost: by no unit but px */
} View;
bool svg_view(const char *const *attributes, const View *around, View *out,
              BlyError *err) BLY_MUST_CHECK;

#endif
