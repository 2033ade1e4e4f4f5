/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line between lure and rod as pictures show it. */
#include "tow/tow.h"

#include <math.h>

TowLineDrawn tow_line_drawn(const BlyTowed *towed, size_t speed) {
    const BlyTowAt *at = &towed->at[speed];
    const BlyTowCurve *curve = &at->run.line;
    TowLineDrawn d = {.wet = curve->count};
    double last = curve->count > 0 ? curve->ahead[curve->count - 1] : 0;
    double dry = towed->line.length - curve->wet, rod = fmin(towed->line.rod, dry);
    double far = last + sqrt(dry * dry - rod * rod);
    double lower = at->depth.nominal > 0 ? at->depth.said_low / at->depth.nominal : 0,
           upper = at->depth.nominal > 0 ? at->depth.said_high / at->depth.nominal : 0;
    for (size_t i = 0; i < curve->count; i++) {
        d.x[i] = far - curve->ahead[i];
        d.y[i] = -curve->below[i];
        d.low[i] = upper * d.y[i];
        d.high[i] = lower * d.y[i];
    }
    if (d.wet == 0)
        d.x[d.wet++] = far; /* the lure itself, at the surface */
    d.x[d.wet] = 0;
    d.y[d.wet] = rod;
    return d;
}
