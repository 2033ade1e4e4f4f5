/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "balance/bar.h"

/* Wet share of a slice whose middle lies at depth d, and its integrals over d. */
static double share(double d, double thick) {
    if (d <= -thick / 2)
        return 0;
    return d >= thick / 2 ? 1 : d / thick + 0.5;
}

static double share_once(double d, double thick) {
    double wet = d + thick / 2;
    if (wet <= 0)
        return 0;
    return d >= thick / 2 ? d : wet * wet / (2 * thick);
}

static double share_twice(double d, double thick) {
    double wet = d + thick / 2;
    if (wet <= 0)
        return 0;
    return d >= thick / 2 ? d * d / 2 + thick * thick / 24 : wet * wet * wet / (6 * thick);
}

/* Both ends at nearly the same depth: the first terms by their difference. */
static BlyBarWet wet_level(double a, double b, double thick) {
    double depth = (a + b) / 2, half = share(depth, thick) / 2;
    double rate = fabs(depth) < thick / 2 ? 1 / thick : 0;
    double tilt = rate * (a - b) / 12;
    return (BlyBarWet){half + tilt, half - tilt, share_once(depth, thick),
                       rate / 3,    rate / 6,    rate / 3};
}

BlyBarWet bar_wet(double a, double b, double thick) {
    double low = fmin(a, b), high = fmax(a, b), length = a - b;
    if (high <= -thick / 2)
        return (BlyBarWet){.work = 0};
    if (low >= thick / 2)
        return (BlyBarWet){.share_a = 0.5, .share_b = 0.5, .work = (a + b) / 2};
    if (high - low < 1e-4 * thick) /* the quotients below would lose their digits */
        return wet_level(a, b, thick);
    /* The work of the whole line is the mean of share_once along it; the shares at the ends are
     * its derivatives by the ends' depths. */
    double work = (share_twice(a, thick) - share_twice(b, thick)) / length;
    BlyBarWet wet = {.work = work};
    wet.share_a = (share_once(a, thick) - work) / length;
    wet.share_b = (work - share_once(b, thick)) / length;
    wet.aa = (share(a, thick) - 2 * wet.share_a) / length;
    wet.bb = (2 * wet.share_b - share(b, thick)) / length;
    wet.ab = (wet.share_a - wet.share_b) / length;
    return wet;
}

double bar_thickness(const BlyItem *item) {
    double volume = fabs(item->volume);
    double length = item->hangs ? item->hang_to - item->hang_from
                                : bly_vec_norm(bly_vec_sub(item->to, item->from));
    return sqrt(volume / fmax(length, cbrt(volume)));
}
