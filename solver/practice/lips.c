/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of lips: width, how far they stand out, gauge, and that they do not bend to stay. */
#include "practice/craft.h"

#include <math.h>
#include <string.h>

static const double slack = 1e-6; /* m */

double craft_lip_free(const BlySeat *seat, const BlyChoice *choice) {
    double depth = isfinite(seat->depth) ? seat->depth : 0;
    return fmax(choice->length - depth, 0);
}

/* Near the slot: within a quarter of what stands out. */
double craft_lip_root(const BlySeat *seat, const BlyChoice *choice) {
    enum { SAMPLES = 4 };
    const BlyPart *outline = choice->of[BLY_PART_OUTLINE].part;
    double free_length = craft_lip_free(seat, choice), least = INFINITY;
    for (int i = 0; i <= SAMPLES; i++) {
        double s = choice->length - free_length * (1 - 0.25 * i / SAMPLES);
        least = fmin(least, 2 * bly_outline_half_width(outline, choice->length, s));
    }
    return least;
}

static bool is_metal(const Craft *c, const BlyPart *sheet) {
    const BlyMaterial *material = bly_catalog_material(c->catalog, sheet->material);
    return material != NULL && material->metal;
}

double craft_lip_force(const Craft *c) {
    return fmax(c->rules->bend_force, c->rules->bend_per_g * 1e3 * c->mass);
}

bool craft_gauges(const Craft *c, const BlyPart *sheet, double *least, double *most) {
    const BlyRuleTable *table = &c->rules->gauges;
    *least = craft_between(table, sheet->material, c->length, 1);
    *most = craft_between(table, sheet->material, c->length, 2);
    if (isnan(*least) && is_metal(c, sheet)) {
        *least = craft_between(table, "metal", c->length, 1);
        *most = craft_between(table, "metal", c->length, 2);
    }
    return isfinite(*least);
}

/* Cantilever with a force at its tip: 6 F l / (b t2) at the root. */
static double least_for_bending(const Craft *c, const BlySeat *seat, const BlyChoice *choice) {
    double strength = choice->of[BLY_PART_SHEET].part->bending;
    double root = craft_lip_root(seat, choice);
    if (!craft_binds(c, BLY_RULE_LIP_BENDING) || !(strength > 0) || !(root > 0))
        return 0;
    return sqrt(6 * craft_lip_force(c) * craft_lip_free(seat, choice) / (root * strength));
}

double craft_lip_least(const Craft *c, const BlySeat *seat, const BlyChoice *choice) {
    double least, most;
    if (c->rules == NULL)
        return 0;
    bool known = craft_binds(c, BLY_RULE_LIP_GAUGE) &&
                 craft_gauges(c, choice->of[BLY_PART_SHEET].part, &least, &most);
    return fmax(known ? least : 0, least_for_bending(c, seat, choice));
}

/* A slot that is cut for another lip asks for it. */
static bool asks_width(const BlySeat *seat, double least) {
    return isfinite(seat->width) && seat->width < least - slack;
}

static bool asks_length(const BlySeat *seat, double least, double most) {
    double depth = isfinite(seat->depth) ? seat->depth : 0;
    return (isfinite(seat->length_from) && seat->length_from - depth > most + slack) ||
           (isfinite(seat->length_to) && seat->length_to - depth < least - slack);
}

unsigned craft_lip_outline(const Craft *c, const BlySeat *seat, const BlyChoice *choice) {
    if (c->rules == NULL)
        return 0;
    const BlyPart *outline = choice->of[BLY_PART_OUTLINE].part;
    const BlyPractice *p = c->rules;
    bool flat = c->width < p->flat_from * c->height;
    double most = (flat ? p->lip_flat_most : p->lip_most) * c->width;
    double least = p->lip_least * c->width, free_length = craft_lip_free(seat, choice);
    unsigned broken = 0;
    double shortest = p->free_least * c->length, longest = p->free_most * c->length;
    if ((outline->width < least - slack && !asks_width(seat, least)) ||
        outline->width > most + slack)
        broken |= 1u << BLY_RULE_LIP_WIDTH;
    if ((free_length < shortest - slack || free_length > longest + slack) &&
        !asks_length(seat, shortest, longest))
        broken |= 1u << BLY_RULE_LIP_FREE;
    return broken & c->live;
}

unsigned craft_lip(const Craft *c, const BlySeat *seat, const BlyChoice *choice, double thickness) {
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double least, most;
    if (c->rules == NULL || sheet == NULL || choice->of[BLY_PART_OUTLINE].part == NULL)
        return 0;
    unsigned broken = craft_lip_outline(c, seat, choice);
    if (craft_gauges(c, sheet, &least, &most) &&
        (thickness < least - slack || thickness > most + slack))
        broken |= 1u << BLY_RULE_LIP_GAUGE;
    if (thickness < least_for_bending(c, seat, choice) - slack)
        broken |= 1u << BLY_RULE_LIP_BENDING;
    return broken & c->live;
}
