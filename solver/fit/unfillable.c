/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why nothing of the catalog goes to a seat, in words. */
#include "fit/candidates.h"
#include "fit/fewer_parts.h"
#include "text/format.h"

#include <math.h>
#include <stdlib.h>

/* The part of a kind with the least of a figure among what the limits leave; NULL: there is none.
 */
static const BlyPart *least_part(const BlyBuild *build, const BlyCatalog *catalog, BlyPartKind kind,
                                 double (*figure)(const BlyPart *part)) {
    const BlyPart **parts = NULL, *least = NULL;
    size_t count = 0;
    if (!fit_fewer_parts(build, catalog, kind, NULL, &parts, &count, NULL))
        return NULL;
    for (size_t i = 0; i < count; i++) {
        if (least == NULL || figure(parts[i]) < figure(least))
            least = parts[i];
    }
    free(parts);
    return least;
}

static double shank(const BlyPart *part) {
    return part->length;
}

static double breadth(const BlyPart *part) {
    return part->width;
}

static bool eye_too_long(const BlyBuild *build, const BlyCatalog *catalog, const BlySeat *seat,
                         char *out, size_t size) {
    const BlyPart *eye = least_part(build, catalog, BLY_PART_EYE, shank);
    BlySection section;
    bool across = seat->side == BLY_AT_BELLY || seat->side == BLY_AT_BACK;
    if (eye == NULL || !across || !bly_body_section(build->shape, seat->x_from, &section) ||
        eye->length < section.height)
        return false;
    (void)bly_format(
        out, size,
        "no eye goes in: the body is %.1f mm high at %.1f mm, the shortest that may be "
        "chosen, %s, has a shank of %.1f mm",
        1e3 * section.height, 1e3 * seat->x_from, eye->id, 1e3 * eye->length);
    return true;
}

static bool lip_too_wide(const BlyBuild *build, const BlyCatalog *catalog, const BlySeat *seat,
                         char *out, size_t size) {
    const BlyPart *lip = least_part(build, catalog, BLY_PART_OUTLINE, breadth);
    if (lip == NULL || !isfinite(seat->width) || lip->width <= seat->width)
        return false;
    (void)bly_format(
        out, size,
        "no lip goes in: the slot takes %.1f mm, the narrowest that may be chosen, %s, "
        "is %.1f mm wide",
        1e3 * seat->width, lip->id, 1e3 * lip->width);
    return true;
}

void seat_unfillable(const BlyBuild *build, const BlyCatalog *catalog, int seat, char *out,
                     size_t size) {
    const BlySeat *s = &build->seats[seat];
    bool hangs = s->kind == BLY_SEAT_HANGER || s->kind == BLY_SEAT_TIE;
    if (hangs && eye_too_long(build, catalog, s, out, size))
        return;
    if (s->kind == BLY_SEAT_SLOT && lip_too_wide(build, catalog, s, out, size))
        return;
    (void)bly_format(out, size, "the limits and the %s leave nothing that fits this %s",
                     build->limits.box_only ? "maker's box (\"box_only\")" : "catalog",
                     bly_seat_kind_name(s->kind));
}
