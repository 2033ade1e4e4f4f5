/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same build in another water than its file says; the file's text stays. */
#include "ballastry/build.h"
#include "build/sections.h"

#include <math.h>
#include <string.h>

static bool same_water(const BlyWaterFacts *a, const BlyWaterFacts *b) {
    return a->temperature.value == b->temperature.value && a->salinity.value == b->salinity.value;
}

static void replace(BlyWaterFacts *water, const BlyFigure *temperature, const BlyFigure *salinity) {
    if (temperature != NULL)
        water->temperature = *temperature;
    if (salinity != NULL)
        water->salinity = *salinity;
}

/* What were two waters may be one now. */
static void merge_targets(BlyBuild *build) {
    size_t kept = 0;
    for (size_t i = 0; i < build->target_water_count; i++) {
        bool known = false;
        for (size_t k = 0; k < kept; k++)
            known = known || same_water(&build->target_waters[k], &build->target_waters[i]);
        if (!known)
            build->target_waters[kept++] = build->target_waters[i];
    }
    build->target_water_count = kept;
}

/* A leader's weight in water is the water's. */
static bool weigh_leaders(BlyBuild *build, BlyError *err) {
    BlyJson root = bly_json_root(build->doc), seats, entry, leader;
    if (!build_member(&root, "seats", &seats))
        return true;
    for (entry = bly_json_first(&seats); entry.node != NULL; bly_json_next(&entry)) {
        int at = bly_build_seat(build, bly_json_key(&entry));
        if (at >= 0 && build_member(&entry, "leader", &leader) &&
            !build_read_leader(&leader, &build->water, &build->seats[at].load, err))
            return false;
    }
    return true;
}

bool bly_build_in_water(BlyBuild *build, const BlyFigure *temperature, const BlyFigure *salinity,
                        BlyError *err) {
    BlyWaterFacts water = build->water;
    replace(&water, temperature, salinity);
    if (!bly_water_known(water.temperature.value, water.salinity.value))
        return bly_fail(err, BLY_E_RANGE, "/water", "water is 0 to 40 C with 0 to 42 g/kg of salt");
    build->water = water;
    for (size_t i = 0; i < build->target_water_count; i++)
        replace(&build->target_waters[i], temperature, salinity);
    merge_targets(build);
    return weigh_leaders(build, err);
}
