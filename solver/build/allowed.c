/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the build's limits leave of the catalog. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double same_wire = 1e-9; /* m */

static bool id_matches(const char *pattern, const char *id) {
    size_t n = strlen(pattern);
    if (n > 0 && pattern[n - 1] == '*')
        return strncmp(pattern, id, n - 1) == 0;
    return strcmp(pattern, id) == 0;
}

static bool id_listed(char *const *patterns, size_t count, const char *id) {
    for (size_t i = 0; i < count; i++) {
        if (id_matches(patterns[i], id))
            return true;
    }
    return false;
}

/* "only" speaks of the kinds it names: a list of hooks leaves all rings allowed. */
static bool only_speaks_of(const BlyLimits *limits, const BlyCatalog *catalog, BlyPartKind kind) {
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (part->kind == kind && id_listed(limits->only, limits->only_count, part->id))
            return true;
    }
    return false;
}

void bly_build_usual_eyes(BlyLimits *limits, const BlyCatalog *catalog, double length) {
    if (limits->eye_wire_high == 0 && !only_speaks_of(limits, catalog, BLY_PART_EYE))
        limits->eyes_for = length;
}

/* Makers name screw eyes of 2.3 mm for lures of an ounce and more, some 115 mm long, and twisted
 * eyes of two wires of 1.04 mm for 75 to 100 mm, of 1.57 mm from 180 mm (common practice, no
 * source): a fiftieth, and for the hole of a twisted one a fortieth. The finest suit every lure. */
static bool suits_length(const BlyPart *eye, double length) {
    static const double screw = 1.0 / 50.0, twisted = 1.0 / 40.0, finest = 1.05e-3; /* m */
    bool two = eye->style != NULL && strcmp(eye->style, "twisted") == 0;
    double hole = two ? 2 * eye->wire : eye->wire;
    return hole <= fmax((two ? twisted : screw) * length, finest) + same_wire;
}

static bool eye_suits(const BlyLimits *limits, const BlyPart *eye) {
    if (isnan(eye->wire))
        return true;
    if (limits->eyes_for > 0 && !suits_length(eye, limits->eyes_for))
        return false;
    return limits->eye_wire_high == 0 || (eye->wire >= limits->eye_wire_low - same_wire &&
                                          eye->wire <= limits->eye_wire_high + same_wire);
}

bool bly_limits_allow(const BlyLimits *limits, const BlyPart *part) {
    if (limits->lead_free && part->lead)
        return false;
    if (id_listed(limits->never, limits->never_count, part->id))
        return false;
    if (part->kind == BLY_PART_EYE)
        return eye_suits(limits, part);
    if (part->kind == BLY_PART_HOOK && limits->hook_rank_high > 0)
        return part->size_rank >= limits->hook_rank_low &&
               part->size_rank <= limits->hook_rank_high;
    return true;
}

bool bly_limits_parts(const BlyLimits *limits, const BlyCatalog *catalog, BlyPartKind kind,
                      const BlyPart ***out, size_t *count, BlyError *err) {
    *count = 0;
    *out = malloc((catalog->part_count + 1) * sizeof **out);
    if (*out == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the list of parts");
    bool narrowed = only_speaks_of(limits, catalog, kind);
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (part->kind != kind || !bly_limits_allow(limits, part))
            continue;
        if (narrowed && !id_listed(limits->only, limits->only_count, part->id))
            continue;
        (*out)[(*count)++] = part;
    }
    return true;
}
