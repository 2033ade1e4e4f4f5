/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of a build is seldom meant: its records shown to the slip room, with their places. */
#include "build/sections.h"

#include <stdio.h>
#include <string.h>

/* Where the sizes of the body stand in the file. */
static const char *source_of(const BlyJson *body) {
    static const char *const keys[] = {"stations", "outline", "mesh", "measured"};
    static const char *const places[] = {"/body/stations", "/body/outline", "/body/mesh",
                                         "/body/measured"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (build_has(body, keys[i]))
            return places[i];
    }
    return "/body";
}

static bool look_at_waters(BlyBuild *build, BlyError *err) {
    if (!bly_slip_water(&build->slips, build->water.salinity.value, "/water/salinity", err))
        return false;
    for (size_t i = 0; i < build->target_water_count; i++) {
        char place[64];
        double salinity = build->target_waters[i].salinity.value;
        (void)snprintf(place, sizeof place, "/target/water/%zu/salinity", i);
        if (salinity != build->water.salinity.value &&
            !bly_slip_water(&build->slips, salinity, place, err))
            return false;
    }
    return true;
}

static bool look_at_target(BlyBuild *build, BlyError *err) {
    static const double deg = 180 / 3.14159265358979323846;
    const BlyTarget *t = &build->target;
    BlySlips *to = &build->slips;
    if (!build->has_target)
        return true;
    return bly_slip_band(to, "/target/nose_down", deg * t->nose_low, deg * t->nose_high, 0.5, "deg",
                         "deg", err) &&
           bly_slip_band(to, "/target/drift", 1e3 * t->drift_low, 1e3 * t->drift_high, 0.5, "mm/s",
                         "mm/s", err) &&
           bly_slip_band(to, "/target/shows", 100 * t->shows_low, 100 * t->shows_high, 0.5, "%",
                         "a share, 0.2 for 20 %", err);
}

bool build_look(const BlyJson *root, BlyBuild *build, BlyError *err) {
    BlyJson body;
    (void)build_member(root, "body", &body);
    BlySlips *to = &build->slips;
    BlySlipSource source = {source_of(&body), build->mesh_unit, build->filled.value, false};
    source.told = to->count > 0 && strcmp(source.where, "/body/stations") == 0;
    return bly_slip_body(to, &build->blank, &source, build->material, err) &&
           bly_slip_coats(to, build->coats, build->coat_count, err) &&
           bly_slip_pieces(to, &build->facts, err) &&
           bly_slip_seats(to, &build->blank, build->seats, build->seat_count, err) &&
           look_at_target(build, err) && look_at_waters(build, err);
}

bool bly_build_slips(const BlyBuild *build, const BlyRig *rig, BlySlips *to, BlyError *err) {
    for (size_t i = 0; i < build->slips.count; i++) {
        const BlySlip *slip = &build->slips.at[i];
        if (!bly_slip_add(to, err, slip->where, "%s", slip->text))
            return false;
    }
    return bly_slip_rig(to, &build->blank, build->seats, rig, build->catalog, err);
}
