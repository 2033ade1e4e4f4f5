/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How blunt nose and tail are: the mean of (n.x)^2 over what each shows along x. */
#include "shape/shape.h"

void bly_blunt_add(BlyBluntSums *sums, double ax, double ay, double az) {
    double whole = ax * ax + ay * ay + az * az;
    if (!(whole > 0.0))
        return;
    sums->shown[ax > 0.0] += fabs(ax);
    sums->square[ax > 0.0] += fabs(ax) * ax * ax / whole;
}

/* What ends in an edge shows nothing along x: not blunt. */
void bly_body_blunt(const BlyBody *body, double out[2]) {
    BlyBluntSums sums = {0};
    body->kind->blunt(body, &sums);
    for (int end = 0; end < 2; end++)
        out[end] = sums.shown[end] > 0.0 ? sums.square[end] / sums.shown[end] : 0.0;
}
