/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stations that stand out of their row: mostly a decimal point. docs/slip.md. */
#include "ballastry/slip.h"

#include <math.h>
#include <stdio.h>

static const double step_most = 3.0;  /* against both neighbours */
static const double beside_end = 8.0; /* the same where one of them is an end, which is small */
static const double end_most = 2.0;   /* an end against its neighbour */
static const double in_mm = 1e3;

static void station_place(const char *file, const size_t *line, size_t i, char *out, size_t size) {
    if (file != NULL)
        (void)snprintf(out, size, "%s, line %zu", file, line[i]);
    else
        (void)snprintf(out, size, "/body/stations/%zu", i);
}

/* 1 where a size stands out over both neighbours, -1 where it falls short of both. Towards a point
 * nothing is known. */
static int steps(double before, double here, double after, double most) {
    if (!(before > 0 && after > 0))
        return 0;
    if (here < fmin(before, after) / step_most)
        return -1;
    return here > most * fmax(before, after) ? 1 : 0;
}

static int step_at(const BlyStation *station, size_t count, size_t i, bool wide) {
    const BlyStation *s = &station[i];
    if (i == 0 || i + 1 >= count)
        return 0;
    double most = i == 1 || i + 2 == count ? beside_end : step_most;
    return wide ? steps(s[-1].width, s->width, s[1].width, most)
                : steps(s[-1].height, s->height, s[1].height, most);
}

/* Width or height of station i. Beside a dip, which hardly any lure has, a true size looks too
 * large: the dip is said. */
static bool is_slip(const BlyStation *station, size_t count, size_t i, bool wide) {
    int here = step_at(station, count, i, wide);
    return here < 0 || (here > 0 && step_at(station, count, i - 1, wide) >= 0 &&
                        step_at(station, count, i + 1, wide) >= 0);
}

/* A first or last station that flares out; beside a dip it is the dip that is said. */
static bool slip_end(BlySlips *to, const BlyStation *station, size_t count, bool last,
                     const char *place, BlyError *err) {
    size_t near = last ? count - 2 : 1;
    const BlyStation *end = &station[last ? count - 1 : 0], *beside = &station[near];
    bool wide = beside->width > 0 && end->width > end_most * beside->width &&
                step_at(station, count, near, true) == 0;
    bool high = beside->height > 0 && end->height > end_most * beside->height &&
                step_at(station, count, near, false) == 0;
    return (!wide && !high) ||
           bly_slip_add(
               to, err, place,
               "the end is %.4g mm %s, the station beside it %.4g mm: is the decimal point "
               "in its place?",
               in_mm * (wide ? end->width : end->height), wide ? "wide" : "high",
               in_mm * (wide ? beside->width : beside->height));
}

bool bly_slip_stations(BlySlips *to, const BlyStation *station, size_t count, const char *file,
                       const size_t *line, BlyError *err) {
    char end[2][128];
    station_place(file, line, 0, end[0], sizeof end[0]);
    station_place(file, line, count - 1, end[1], sizeof end[1]);
    if (!slip_end(to, station, count, false, end[0], err) ||
        !slip_end(to, station, count, true, end[1], err))
        return false;
    for (size_t i = 1; i + 1 < count; i++) {
        const BlyStation *s = &station[i];
        bool wide = is_slip(station, count, i, true), high = is_slip(station, count, i, false);
        char place[128];
        if (!wide && !high)
            continue;
        station_place(file, line, i, place, sizeof place);
        double before = wide ? s[-1].width : s[-1].height, after = wide ? s[1].width : s[1].height;
        if (!bly_slip_add(to, err, place,
                          "%s is %.4g mm here, but %.4g mm before and %.4g mm behind: is the "
                          "decimal point in its place?",
                          wide && high && s->width == s->height ? "the diameter"
                          : wide                                ? "the width"
                                                                : "the height",
                          in_mm * (wide ? s->width : s->height), in_mm * before, in_mm * after))
            return false;
    }
    return true;
}
