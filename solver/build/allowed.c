/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the build's limits leave of the catalog. */
#include "build/sections.h"

#include "ballastry/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double same_size = 1e-9; /* m */

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

static bool eye_suits(const BlyLimits *limits, const BlyPart *eye) {
    if (isnan(eye->wire))
        return true;
    return limits->eye_wire_high == 0 || (eye->wire >= limits->eye_wire_low - same_size &&
                                          eye->wire <= limits->eye_wire_high + same_size);
}

static bool hook_suits(const BlyLimits *limits, const BlyPart *hook) {
    int grade = bly_hook_grade(hook->grade);
    if (limits->hook_rank_high > 0 &&
        (hook->size_rank < limits->hook_rank_low || hook->size_rank > limits->hook_rank_high))
        return false;
    return limits->grades == 0 || grade == 0 || (limits->grades & (1u << grade)) != 0;
}

/* As bought, or filed as far as it may be. */
static bool sheet_suits(const BlyLimits *limits, const BlyPart *sheet) {
    double thinnest = isfinite(sheet->thinnest) ? sheet->thinnest : sheet->thickness;
    return sheet->thickness >= limits->lip_gauge_low - same_size &&
           thinnest <= limits->lip_gauge_high + same_size;
}

bool bly_limits_allow(const BlyLimits *limits, const BlyPart *part) {
    if (limits->lead_free && part->lead)
        return false;
    if (limits->box_only && part->kind != BLY_PART_OUTLINE && !(part->in_box > 0))
        return false;
    if (id_listed(limits->never, limits->never_count, part->id))
        return false;
    if (part->kind == BLY_PART_EYE)
        return eye_suits(limits, part);
    if (part->kind == BLY_PART_HOOK)
        return hook_suits(limits, part);
    return part->kind != BLY_PART_SHEET || limits->lip_gauge_high == 0 || sheet_suits(limits, part);
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
