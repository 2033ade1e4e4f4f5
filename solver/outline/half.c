/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines of which one half alone is drawn, from the centre line. */
#include "ballastry/outline.h"

#include <math.h>
#include <stdio.h>

enum { LOOKS = 256 };
/* An edge counts as the centre line when it strays from a line straight fore and aft by less than
 * this share of the drawn half's height: found by itself, and where the maker says so. */
static const double level_found = 0.005, level_said = 0.02;

/* How straight one edge runs. */
typedef struct Level {
    double mean, low, high;
} Level;

static void look(Level *level, double y) {
    level->mean += y / LOOKS;
    level->low = fmin(level->low, y);
    level->high = fmax(level->high, y);
}

static bool straight(const Level *level, double most) {
    return level->high - level->low <= most;
}

static bool unfold(BlyTrace *trace, double centre, BlyError *err) {
    const BlyAffine over = {1.0, 0.0, 0.0, -1.0, 0.0, 2.0 * centre};
    BlyTrace other = {0};
    bool good = bly_trace_join(&other, trace, err);
    if (good) {
        bly_trace_map(&other, &over);
        good = bly_trace_join(trace, &other, err);
    }
    bly_trace_release(&other);
    return good;
}

bool bly_trace_unfold(BlyTrace *trace, const char *what, BlyHalf half, bool *unfolded,
                      BlyError *err) {
    BlyEdges *edges;
    char where[32];
    *unfolded = false;
    if (half == BLY_HALF_NO)
        return true;
    if (!bly_edges_make(trace, what, &edges, err))
        return false;
    BlyExtent box = bly_edges_extent(edges);
    Level lower = {0.0, HUGE_VAL, -HUGE_VAL}, upper = lower;
    for (int i = 0; i < LOOKS; i++) {
        double low, high, x = box.x_low + (box.x_high - box.x_low) * (i + 0.5) / LOOKS;
        bly_edges_at(edges, x, &low, &high);
        look(&lower, low);
        look(&upper, high);
    }
    bly_edges_free(edges);
    double most = (half == BLY_HALF_YES ? level_said : level_found) * (box.y_high - box.y_low);
    bool below = straight(&lower, most), above = straight(&upper, most);
    if (half == BLY_HALF_FOUND && below == above)
        return true;
    (void)snprintf(where, sizeof where, "/%s", what);
    if (!below && !above)
        return bly_fail(err, BLY_E_RANGE, where,
                        "is to be one half, but neither edge runs straight fore and aft; expected "
                        "a line that begins and ends on the centre line, or is closed along it");
    *unfolded = true;
    return unfold(trace, below ? lower.mean : upper.mean, err);
}
