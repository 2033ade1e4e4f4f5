/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What programs that use the library may ask of a build. */
#include "build/build.h"

const char *bly_build_name(const BlyBuild *build) {
    return build->name;
}

const BlyWaterFacts *bly_build_water(const BlyBuild *build) {
    return &build->water;
}

const BlyBody *bly_build_body(const BlyBuild *build) {
    return build->shape;
}

const char *bly_build_material(const BlyBuild *build) {
    return build->material;
}

const BlyBodyFacts *bly_build_facts(const BlyBuild *build) {
    return &build->facts;
}

const BlyCoat *bly_build_coats(const BlyBuild *build, size_t *count) {
    *count = build->coat_count;
    return build->coats;
}

const BlyBlank *bly_build_blank(const BlyBuild *build) {
    return &build->blank;
}

const BlySeat *bly_build_seats(const BlyBuild *build, size_t *count) {
    *count = build->seat_count;
    return build->seats;
}

const BlyRig *bly_build_fitted(const BlyBuild *build) {
    return &build->fitted;
}

const BlyTarget *bly_build_target(const BlyBuild *build) {
    return build->has_target ? &build->target : NULL;
}

const BlyWaterFacts *bly_build_target_waters(const BlyBuild *build, size_t *count) {
    *count = build->target_water_count;
    return build->target_waters;
}

const BlyLimits *bly_build_limits(const BlyBuild *build) {
    return &build->limits;
}

const char *const *bly_build_said(const BlyBuild *build, size_t *count) {
    *count = build->said_count;
    return (const char *const *)build->said;
}

const BlySlips *bly_build_own_slips(const BlyBuild *build) {
    return &build->slips;
}

bool bly_build_lure(const BlyBuild *build, const BlyRig *rig, BlyLure *out, BlyError *err) {
    return bly_lure_make(&build->blank, build->seats, rig != NULL ? rig : &build->fitted, out, err);
}
