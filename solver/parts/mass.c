/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a part weighs by its sizes: length of wire times section times density, area times gauge
 * times density. Formulas, their source and how well they meet the scale: docs/parts.md. */
#include "ballastry/parts.h"

#include <math.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

/* Length of a point leg as a share of the gape; from memory. */
static const double point_leg = 0.9;
/* Wire in a shank as a share of its length: a screw's thread is cut from the wire; a twisted eye
 * has two legs, and twisting takes a tenth. From memory. */
static const double screw_shank = 0.85, twisted_shank = 2.2;
/* A snap's wire as a share of its overall length; from memory. */
static const double snap_wire = 3.2;
/* Three wires brazed side by side are this many wires thick: 1 + 2/sqrt(3) = 2.155 (closed form).
 */
static const double bundle = 2.15;

static bool is_style(const BlyPart *part, const char *style) {
    return part->style != NULL && strcmp(part->style, style) == 0;
}

static double disc(double diameter) {
    return pi / 4 * diameter * diameter;
}

/* One bend: half a circle through the middle of the wire, and the leg that carries the point. */
static double bend_and_leg(const BlyPart *hook) {
    return pi * (hook->gape + hook->wire) / 2 + point_leg * hook->gape;
}

static double hook_wire(const BlyPart *hook) {
    double d = hook->wire, eye = hook->bore;
    double shank = hook->length - (eye + 2 * d) - (hook->gape / 2 + d);
    double loop = pi * (eye + d);
    if (is_style(hook, "single"))
        return shank + bend_and_leg(hook) + loop;
    return 3 * shank + 3 * bend_and_leg(hook) + loop;
}

static double eye_shank(const BlyPart *eye) {
    if (isfinite(eye->shank))
        return eye->shank;
    return (is_style(eye, "twisted") ? twisted_shank : screw_shank) * eye->length;
}

static double eye_bore(const BlyPart *eye) {
    return isfinite(eye->bore) ? eye->bore : eye->outer - 2 * eye->wire;
}

static double eye_loop(const BlyPart *eye) {
    return pi * (eye_bore(eye) + eye->wire);
}

static double hole(const BlyPart *dot) {
    return isfinite(dot->bore) ? dot->bore : 0;
}

/* Volume of metal, m3; m2 for WIRE. NAN where a size is missing. */
static double metal_volume(const BlyPart *part) {
    switch (part->kind) {
    case BLY_PART_HOOK:
        return disc(part->wire) * hook_wire(part);
    case BLY_PART_RING: /* two turns */
        return disc(part->wire) * 2 * pi * (part->outer - part->wire);
    case BLY_PART_EYE:
        return disc(part->wire) * (eye_loop(part) + eye_shank(part));
    case BLY_PART_SNAP:
        return disc(part->wire) * snap_wire * part->length;
    case BLY_PART_DOT:
        return (disc(part->outer) - disc(hole(part))) * part->thickness;
    case BLY_PART_WIRE:
        return disc(part->wire);
    default:
        return NAN;
    }
}

double bly_part_model_mass(const BlyPart *part, const BlyMaterial *material) {
    double density = material != NULL ? material->density.value : part->density.value;
    double mass = density * metal_volume(part);
    return isfinite(mass) && mass > 0 ? mass : NAN;
}

static void complete_eye(BlyPart *eye) {
    eye->bore = eye_bore(eye);
    eye->shank = eye_shank(eye);
    eye->shank_mass = eye->mass.value * eye->shank / (eye_loop(eye) + eye->shank);
    eye->shank_volume = eye->shank_mass / eye->density.value;
}

/* A rectangle yields through and through, and stays bent, at 3/2 of the moment at which its skin
 * begins to yield (plastic over elastic section modulus, bh^2/4 over bh^2/6). */
static const double rectangle_reserve = 1.5;

double bly_material_bending(const BlyMaterial *material, const char *temper) {
    if (material->bending > 0)
        return material->bending;
    bool soft = temper != NULL && strcmp(temper, "annealed") == 0;
    double yield = soft ? material->yield_soft : material->yield_strength;
    return yield > 0 ? rectangle_reserve * yield : NAN;
}

void bly_part_complete(BlyPart *part, const BlyMaterial *material) {
    if (material != NULL)
        part->density = material->density;
    if (isnan(part->mass.value) && part->origin == BLY_FROM_MODEL)
        part->mass.value = bly_part_model_mass(part, material);
    double share = bly_origin_give(part->origin, part->kind);
    if (isnan(part->mass.give))
        part->mass.give = share * part->mass.value;
    if (isnan(part->thickness_give))
        part->thickness_give = share * part->thickness;
    if (part->kind == BLY_PART_EYE)
        complete_eye(part);
    if (part->kind == BLY_PART_SHEET && !part->bending_given)
        part->bending = material != NULL ? bly_material_bending(material, part->temper) : NAN;
    if (!part->volume_given) {
        double inside = part->kind == BLY_PART_EYE ? part->shank_mass : 0;
        part->volume = (part->mass.value - inside) / part->density.value;
    }
}

void bly_catalog_complete(BlyCatalog *catalog) {
    for (size_t i = 0; i < catalog->part_count; i++) {
        BlyPart *part = &catalog->parts[i];
        bly_part_complete(part, bly_catalog_material(catalog, part->material));
    }
}

double bly_part_give_share(const BlyPart *part) {
    if (part->kind == BLY_PART_OUTLINE)
        return 0;
    if (part->kind == BLY_PART_SHEET || part->kind == BLY_PART_STRIP)
        return hypot(part->thickness_give / part->thickness,
                     part->density.give / part->density.value);
    return part->mass.give / part->mass.value;
}

double bly_wire_turn_mass(const BlyPart *wire, const BlyPart *hook) {
    double shank = (is_style(hook, "single") ? 1 : bundle) * hook->wire;
    return wire->mass.value * pi * (shank + wire->wire);
}

double bly_wire_cut_give(const BlyPart *wire, double mass) {
    static const double cut = 0.5e-3; /* m */
    return hypot(cut * wire->mass.value, mass * BLY_SCALE_GIVE / wire->mass.value);
}
